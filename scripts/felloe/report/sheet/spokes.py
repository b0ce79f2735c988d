"""The spokes: every term with its ray, the colour that was picked for it, and its evidence."""

from collections.abc import Callable, Mapping
from math import radians

from felloe.ground.drawing import INK, MUTED, RULE
from felloe.report.chart import Record, on_ring
from felloe.report.sheet.plan import Plan
from felloe.report.sheet.shapes import (
    Anchor,
    Group,
    Part,
    Shape,
    Text,
    arc_degrees,
    disc,
    line,
    place,
    sector,
)
from felloe.report.sheet.spoke_fitting import LINE, MIDDLE, Word, runs_inwards

GAP = 0.8  # between a word and its ray, in millimetres of A3
LEAST_SHOWN = 0.005  # share of redraws from which a rival is drawn
DOT = 0.45  # of the room of a term that the radius of its dot takes at the most
EDGE = 0.12  # of the width of a piece of evidence that its outline takes at the most
NARROW = 0.2  # of a term's sector that its evidence leaves free on either side, at the most
SLIVER = 0.4  # millimetres that a rival takes at least, so that print shows it
Sides = Mapping[str, Callable[[float], tuple[str, bool]]]


def draw_spoke(word: Word, plan: Plan, sides: Sides, title: str) -> Group:
    """Draw a term."""
    group = Group(f"term-{word.entry['id']}", title, "term")
    group.add(ray(word, plan), *lettering(word, plan))
    group.add(picked(word, plan), *evidence(word, plan, sides))
    return group


def ray(word: Word, plan: Plan) -> Shape:
    """Return the hairline that leads from the tree to the word."""
    k = plan.form.k
    ends = place(plan.leaf, word.middle), place(max(word.inner - GAP * k, plan.leaf), word.middle)
    return line(*ends, stroke=RULE, width=plan.form.hairline, role="rule")


def lettering(word: Word, plan: Plan) -> list[Part]:
    """Return the lines of a word, their outer ends flush."""
    inwards = runs_inwards(word.middle)
    turn = (word.middle + 90.0 if inwards else word.middle - 90.0) % 360.0
    parts: list[Part] = []
    count = len(word.lines)
    for at, text in enumerate(word.lines):
        # lines lie side by side: shift each along the tangent, the first one on top
        over = ((count - 1) / 2 - at) * LINE - MIDDLE
        side = over * word.size * (1 if inwards else -1)
        x, y = place(plan.rings.word, word.middle)
        dx, dy = place(side, word.middle + 90.0)
        anchor: Anchor = "start" if inwards else "end"
        parts.append(Text(text, x + dx, y + dy, word.size, INK, word.face, turn, anchor))
    return parts


def picked(word: Word, plan: Plan) -> Shape:
    """Return the colour that people picked: a dot, or a dash where they agreed on none."""
    rings, form = plan.rings, plan.form
    colour = word.entry["colour"]["picked"]
    if colour is None or word.entry["colour"]["reason"] == "tint_two_groups":
        half = 0.75 * form.dot
        ends = place(rings.dot - half, word.middle), place(rings.dot + half, word.middle)
        return line(*ends, stroke=MUTED, width=1.6 * form.hairline, role="muted")
    at, width = place(rings.dot, word.middle), 0.5 * form.hairline
    own = radians(word.entry["end_deg"] - word.entry["start_deg"]) * rings.dot
    return disc(at, min(form.dot, DOT * own), fill=str(colour), stroke=INK, width=width)


def evidence(word: Word, plan: Plan, sides: Sides) -> list[Shape]:
    """
    Return the piece of the rim under a term.

    Its class's colour takes the share of redraws that put the term there, its rival's the share
    that put it with the rival, on the side on which that class lies; what is left went elsewhere.
    Open where the committee moved it.
    """
    term, (outer, inner) = word.entry, plan.rings.rim
    free = arc_degrees(0.35 * plan.form.k, inner)
    free = min(free, NARROW * (term["end_deg"] - term["start_deg"]))
    first, last = term["start_deg"] + free, term["end_deg"] - free
    widest = arc_degrees(3.2 * (outer - inner), inner)
    if last - first > widest:  # few terms: a piece stays a piece
        first, last = word.middle - widest / 2, word.middle + widest / 2
    own = word.class_["colour"]
    edge = min(plan.form.hairline * 1.4, EDGE * radians(last - first) * inner)
    frame = {"stroke": own["outline"], "width": edge}
    if term["status"] == "moved":
        return [sector(inner, outer, first, last, **frame)]
    home, rival = term["home_probability"] or 0.0, term["rival_probability"] or 0.0
    there = rival > LEAST_SHOWN and term["rival_class"] in sides
    shares = [(home, str(own["used"]))]
    if there:
        colour, before = sides[term["rival_class"]](word.middle)
        shown = max(min(rival, 1.0 - home), arc_degrees(SLIVER, inner) / (last - first))
        shares = [(min(home, 1.0 - shown), str(own["used"])), (shown, colour)]
        shares = shares[::-1] if before else shares
        rest = max(0.0, 1.0 - sum(share for share, _ in shares))
        at = first + (last - first) * (rest if before else 0.0)
    else:
        at = first
    parts = []
    for share, colour in shares:
        end = at + (last - first) * share
        if share > 0:
            parts.append(sector(inner, outer, at, end, fill=colour))
        at = end
    return [*parts, sector(inner, outer, first, last, **frame)]


def class_sides(chart: Record) -> Sides:
    """Return by class what tells its colour, and whether it lies before a place on the ring."""

    def side_of(class_: Record) -> Callable[[float], tuple[str, bool]]:
        middle = (class_["start_deg"] + class_["end_deg"]) / 2
        colour = str(class_["colour"]["used"])
        return lambda at: (colour, (middle - at) % 360.0 > 180.0)

    ring = on_ring(chart["classes"])
    return {class_["id"]: side_of(class_) for class_ in ring}
