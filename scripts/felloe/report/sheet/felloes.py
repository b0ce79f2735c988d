"""The felloes: classes as the arcs of the rim, subclasses inside them, and the pegs between."""

from felloe.ground.drawing import INK, MUTED
from felloe.report.chart import Record, on_ring
from felloe.report.sheet.name_fitting import Name, is_lone
from felloe.report.sheet.plan import Plan
from felloe.report.sheet.shapes import ArcText, Group, Part, Shape, arc, line, place, sector

SURE = 0.75  # share of redraws from which a peg is thick (rule of thumb, no source)


def draw_felloe(class_: Record, plan: Plan) -> list[Part]:
    """Draw a class: its band, its frame and its name; a class of one word is a band alone."""
    rings, colour = plan.rings, class_["colour"]
    first, last = class_["start_deg"], class_["end_deg"]
    hair = plan.form.hairline
    band = sector(
        rings.tyre, rings.outer, first, last,
        fill=colour["used"], stroke=colour["outline"], width=hair,
    )  # fmt: skip
    if is_lone(class_):
        return [band]
    frame = {"stroke": colour["outline"], "width": 2.0 * hair}
    edge = arc(rings.felloe, first, last, colour["outline"], 2.0 * hair)
    sides = [line(place(rings.felloe, at), place(rings.tyre, at), **frame) for at in (first, last)]
    return [band, edge, *sides, *name(plan.classes[class_["id"]])]


def draw_subclass(subclass: Record, class_: Record, plan: Plan) -> list[Part]:
    """Draw the arc and the name of a subclass; dotted while nobody has given it a name."""
    found = plan.subclasses.get(subclass["id"])
    if found is None:
        return []
    width = 0.5 * plan.form.k
    dash = (width * 1.1, width * 1.9) if subclass["name_is_proposal"] else ()
    first, last = subclass["start_deg"], subclass["end_deg"]
    colour = class_["colour"]["outline"]
    return [arc(plan.rings.subclass, first, last, colour, width, dash=dash), *name(found)]


def name(found: Name) -> list[ArcText]:
    """Return the lines of a name."""
    proposed = found.entry["name_is_proposal"]
    return [
        ArcText(
            text, radius, found.middle, found.inwards, found.size,
            MUTED if proposed else INK, found.face, "muted" if proposed else "ink",
        )
        for text, radius in zip(found.lines, found.radii, strict=True)
    ]  # fmt: skip


def draw_pegs(chart: Record, plan: Plan, weak: float) -> Group:
    """Draw a peg between two classes that stay neighbours when participants are redrawn."""
    group = Group("pegs", kind="pegs")
    ring = on_ring(chart["classes"])
    if len(ring) < 2:
        return group
    for here, there in zip(ring, ring[1:] + ring[:1], strict=True):
        share = here["next_support"]
        first, last = here["end_deg"], there["start_deg"]
        while last < first:
            last += 360.0
        thick = peg_thickness(share, weak, plan)
        if thick and last - first < 180.0:
            group.add(peg(plan, first, last, thick))
    return group


def peg_thickness(share: float | None, weak: float, plan: Plan) -> float:
    """Return how thick a peg is: none under `weak`, thin under `SURE`."""
    if share is None or share < weak:
        return 0.0
    return (2.7 if share >= SURE else 0.9) * plan.form.k


def peg(plan: Plan, first: float, last: float, thick: float) -> Shape:
    """Return a peg from one felloe into the next."""
    middle = (plan.rings.outer + plan.rings.felloe) / 2
    ends = middle - thick / 2, middle + thick / 2
    return sector(*ends, first, last, fill=MUTED, role="muted")
