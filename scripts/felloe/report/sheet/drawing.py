"""A chart drawn on a sheet: its parts in named groups, ready for every format."""

from felloe.errors import Fault
from felloe.report.chart import Record, chart_terms, on_ring
from felloe.report.languages.language_words import interface_words
from felloe.report.mark_words import marked_title
from felloe.report.sheet.beside import Beside, hundred
from felloe.report.sheet.felloes import draw_felloe, draw_pegs, draw_subclass
from felloe.report.sheet.head import draw_centre, draw_head
from felloe.report.sheet.hub import draw_hub, share_labels, tells_shares
from felloe.report.sheet.key import draw_key
from felloe.report.sheet.lists import draw_numbered, draw_unsettled
from felloe.report.sheet.paper import SMALLEST, Format
from felloe.report.sheet.plan import Plan, plan_sheet
from felloe.report.sheet.shapes import Group, Sheet, arc_degrees
from felloe.report.sheet.spoke_fitting import TooSmall
from felloe.report.sheet.spokes import class_sides, draw_spoke
from felloe.report.typeface.shaping import Typesetter


def draw_sheet(
    chart: Record,
    form: Format,
    setter: Typesetter,
    note: str,
    description: str,
    *,
    weak: float,
) -> Sheet | list[TooSmall]:
    """
    Draw a chart.

    Parameters
    ----------
    chart : dict
        `chart.json`.
    form : Format
    setter : Typesetter
    note : str
        Who sorted, under the title.
    description : str
        The chart in words.
    weak : float
        Share of redraws under which two classes have no peg.

    Returns
    -------
    Sheet or list of TooSmall
        The latter if terms cannot be set large enough to be read.
    """
    plan = plan_sheet(chart, form, setter)
    if isinstance(plan, list):
        return plan
    words = interface_words(chart["language"])
    beside = Beside(setter, form, chart, plan, words, note, weak)
    wheel = draw_wheel(chart, plan, weak)
    wheel.add(draw_labels(beside), draw_centre(beside))
    body = Group("sheet", kind="sheet")
    body.add(
        draw_head(beside), draw_unsettled(beside), wheel, draw_numbered(beside), draw_key(beside)
    )
    return Sheet(
        form.width, form.height, form.centre, marked_title(chart, words), description,
        chart["language"], body, form.worded,
    )  # fmt: skip


def draw_wheel(chart: Record, plan: Plan, weak: float) -> Group:
    """Draw the wheel alone: hub, classes with their subclasses and terms, pegs."""
    words = {word.entry["id"]: word for word in plan.words}
    colours = class_sides(chart)
    wheel = Group("wheel", kind="wheel")
    wheel.add(draw_hub(chart, plan))
    for class_ in on_ring(chart["classes"]):
        group = Group(f"class-{class_['id']}", class_["name"], "class")
        group.add(*draw_felloe(class_, plan))
        for subclass in class_["subclasses"]:
            part = Group(f"subclass-{subclass['id']}", subclass["name"], "subclass")
            part.add(*draw_subclass(subclass, class_, plan))
            for term in subclass["terms"]:
                title = spoken(class_, subclass, term)
                part.add(draw_spoke(words[term["id"]], plan, colours, title))
            if part.parts:
                group.add(part)
        wheel.add(group)
    wheel.add(draw_pegs(chart, plan, weak))
    return wheel


def spoken(class_: Record, subclass: Record, term: Record) -> str:
    """Return what a reader who points at a term is told."""
    path = " / ".join(dict.fromkeys((class_["name"], subclass["name"], term["label"])))
    return f"{path} ({hundred(term['home_probability'])}/100)"


def draw_labels(beside: Beside) -> Group:
    """Write the shares on the hub's circles, in the widest gap between two classes."""
    group, plan = Group(kind="shares"), beside.plan
    ring = on_ring(beside.chart["classes"])
    gaps = [(class_["gap_after_deg"] or 0.0, class_["end_deg"]) for class_ in ring]
    if not gaps or not tells_shares(beside.chart):
        return group
    gap, end = max(gaps)
    size = 0.86 * plan.form.key
    if gap < arc_degrees(0.9 * size, plan.leaf):
        return group
    group.add(*share_labels(plan, end + gap / 2, max(size, SMALLEST)))
    return group


def faults_of_letters(chart: Record, setter: Typesetter) -> list[Fault]:
    """Return what of a chart cannot be set in the fonts at hand, by the id of its term."""
    texts = {f"the term {term['id']}": term["label"] for _, _, term in chart_terms(chart)}
    for class_ in chart["classes"]:
        for tier, group in [
            ("class", class_),
            *(("subclass", one) for one in class_["subclasses"]),
        ]:
            texts[f"the name of the {tier} {group['id']}"] = group["name"]
    for population in chart["populations"]:
        texts[f"the label of the population {population['id']}"] = population["label"]
    texts |= {"the title": chart["title"], "the edition": chart["edition"]}
    return setter.faults(texts)
