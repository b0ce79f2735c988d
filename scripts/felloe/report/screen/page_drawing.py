"""The wheel of a sheet made ready for a page: each class, subclass and term a thing to choose."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from felloe.ground.drawing import POINT_MM
from felloe.report.chart import Record
from felloe.report.languages.language_words import Words
from felloe.report.sheet.beside import Beside
from felloe.report.sheet.drawing import draw_labels, draw_wheel
from felloe.report.sheet.head import draw_centre
from felloe.report.sheet.name_fitting import is_lone, proposal
from felloe.report.sheet.paper import A3, sizes_of
from felloe.report.sheet.plan import Plan, plan_sheet
from felloe.report.sheet.shapes import Group, Shape, sector
from felloe.report.sheet.sheets import on_least_paper
from felloe.report.typeface.shaping import Typesetter

# A3 with lower rings around the words, so that these are set larger on a screen.
SCREEN = replace(
    A3, name="screen", felloe=13.0, name_depth=9.0, rim=3.8, hub=0.22, tree=0.40,
    subclasses=12 * POINT_MM, key=11 * POINT_MM,
)  # fmt: skip
MARGIN = 3.0  # around the rim
WIDEST = 12.0  # degrees in which a term can be pointed at


@dataclass(frozen=True)
class PageWheel:
    """
    A wheel for a page.

    Attributes
    ----------
    body : Group
    plan : Plan
    beside : Beside
        What the key of the sheet is told from.
    attributes : dict of str to (dict of str to str)
        Of the elements of groups, by the groups' names.
    """

    body: Group
    plan: Plan
    beside: Beside
    attributes: Mapping[str, Mapping[str, str]]

    def attributes_of(self, group: Group) -> dict[str, str]:
        """Return the attributes of a group's element."""
        if group.name in self.attributes:
            return dict(self.attributes[group.name])
        if group.kind == "look":
            return {"class": "look", "aria-hidden": "true"}
        return {"id": f"wheel-{group.name}" if group.name else "", "class": group.kind}

    @property
    def box(self) -> str:
        """The drawing's own coordinates, for `viewBox`."""
        half = self.plan.rings.outer + MARGIN
        return f"{-half:g} {-half:g} {2 * half:g} {2 * half:g}"


def page_wheel(
    chart: Record, setter: Typesetter, weak: float, note: str, words: Words
) -> PageWheel:
    """
    Draw a chart for a page.

    Parameters
    ----------
    chart : dict
        `chart.json`.
    setter : Typesetter
    weak : float
        Share of redraws under which two classes have no peg.
    note : str
        Who sorted.
    words : mapping of str to str

    Raises
    ------
    StudyError
        If letters are missing, or a label is too long; each is named.
    """
    sizes = sizes_of(SCREEN, closer=True)
    plan = on_least_paper(sizes, chart, setter, lambda form: plan_sheet(chart, form, setter))
    beside = Beside(setter, plan.form, chart, plan, words, note, weak)
    wheel = draw_wheel(chart, plan, weak)
    groups = [part for part in wheel.parts if isinstance(part, Group)]
    families = [group for group in groups if group.kind == "class"]
    hub, *pegs = [group for group in groups if group.kind != "class"]
    body = Group("scene", kind="scene")
    entries = {class_["id"]: class_ for class_ in chart["classes"]}
    drawn = [family(one, entries[one.name.removeprefix("class-")], plan) for one in families]
    body.add(hub, Group("chords", kind="chords"), *pegs, draw_labels(beside))
    body.add(*drawn, draw_centre(beside))
    return PageWheel(body, plan, beside, attributes(chart, plan, drawn, words))


def family(group: Group, class_: Record, plan: Plan) -> Group:
    """
    Set a class, its subclasses and its terms side by side, which on a sheet lie in one another.

    What can be chosen must not stand in something else that can.
    """
    entries = {f"class-{class_['id']}": class_}
    for subclass in class_["subclasses"]:
        entries[f"subclass-{subclass['id']}"] = subclass
        entries.update({f"term-{term['id']}": term for term in subclass["terms"]})
    made = Group(f"family-{class_['id']}", kind="family")
    for each in within(group):
        own = [part for part in each.parts if not isinstance(part, Group)]
        if own:
            entry = entries[each.name]
            piece = Group(each.name, each.title, each.kind)
            look = Group(kind="look", parts=[area(each.kind, entry, class_, plan), *own])
            piece.add(look)
            made.add(piece)
    return made


def within(group: Group) -> list[Group]:
    """Return a class's group and those in it, in the order in which they are drawn."""
    inner = [one for part in group.parts if isinstance(part, Group) for one in within(part)]
    return [group, *inner]


def area(tier: str, entry: Record, class_: Record, plan: Plan) -> Shape:
    """Return where a pointer meets a class, subclass or term; it is not seen itself."""
    rings, first, last = plan.rings, entry["start_deg"], entry["end_deg"]
    between = rings.subclass + 0.3, rings.names[0] + 0.4
    bounds = {
        "class": (rings.tyre if is_lone(class_) else rings.felloe, rings.outer),
        "subclass": between,
        "term": (plan.leaf, between[0]),
    }
    if tier == "term" and last - first > WIDEST:  # few terms: an area stays beside its word
        middle = (first + last) / 2
        first, last = middle - WIDEST / 2, middle + WIDEST / 2
    return sector(*bounds[tier], first, last, fill="none", role="area")


def attributes(
    chart: Record, plan: Plan, drawn: list[Group], words: Words
) -> dict[str, dict[str, str]]:
    """Return the attributes of all that can be chosen, by the names of its groups."""
    pieces = {part.name for one in drawn for part in one.parts if isinstance(part, Group)}
    told = dict(spoken(chart, words))
    found: dict[str, dict[str, str]] = {}
    for name in (name for name in told if name in pieces):
        found[name] = {
            "id": f"wheel-{name}",
            "data-key": name,
            "class": f"piece {name.partition('-')[0]}",
            "role": "img",  # the script makes a button of it
            "aria-label": told[name],
        }
    return found


def spoken(chart: Record, words: Words) -> list[tuple[str, str]]:
    """Return what is read aloud for every class, subclass and term, by name of its group."""
    found = []
    for class_ in chart["classes"]:
        count = sum(len(subclass["terms"]) for subclass in class_["subclasses"])
        terms = words.counted("page.count.term", count)
        name = proposal(class_)
        text = words.fill("page.class", name=name, terms=terms)
        found.append((f"class-{class_['id']}", text))
        for subclass in class_["subclasses"]:
            text = words.fill("page.subclass", name=proposal(subclass), above=name)
            found.append((f"subclass-{subclass['id']}", text))
            for term in subclass["terms"]:
                status = words[f"page.short_{term['status']}"]
                text = words.fill("page.term", name=term["label"], above=name, status=status)
                found.append((f"term-{term['id']}", text))
    return found
