"""The lines that join the terms that moved, each with its term's name between the wheels."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from felloe.editions.columns.figure_words import label_of, way_told
from felloe.editions.correspondence import POSSIBLE, ROBUST
from felloe.editions.wheels.form import CLEAR, LABEL, MOST_LABEL, START, Bearings, Form
from felloe.editions.wheels.lanes import (
    LEFT,
    RIGHT,
    Point,
    Way,
    belongs,
    heights,
    label_order,
    ways,
)
from felloe.ground.drawing import PAPER
from felloe.ground.files.tables import Row
from felloe.report.sheet.level import Level
from felloe.report.sheet.paper import SMALLEST
from felloe.report.sheet.shapes import Group, Shape, Step, Text, arc_steps, disc, line
from felloe.report.sheet.spoke_fitting import MIDDLE
from felloe.report.typeface.faces import PLAIN
from felloe.report.typeface.shaping import Typesetter

WIDTHS = {ROBUST: 0.75, POSSIBLE: 0.55}
DASHES: dict[str, tuple[float, ...]] = {ROBUST: (), POSSIBLE: (2.2, 1.3)}

DOT = 0.85  # radius of the dot with which a line begins
FREE = 1.0  # between a line and its label
LEADING = 1.3


@dataclass(frozen=True)
class End:
    """
    How a line looks on one side.

    Attributes
    ----------
    colour : str
    own : bool
        Whether the term has a place of its own on the ring; if not, it gave its group the name.
    """

    colour: str
    own: bool


def label_width(labels: Sequence[str], setter: Typesetter) -> float:
    """Return the width of the column of labels; 0 for none."""
    return min(MOST_LABEL, max([0.0, *(setter.width(one, PLAIN) * LABEL for one in labels)]))


def label_places(bearings: Sequence[Bearings], form: Form) -> tuple[float, ...]:
    """Return the height of each label, seen from the wheels' centres."""
    order = label_order(*bearings)
    sides = list(zip(*bearings, strict=True))
    wanted = [belongs(sides[label], form.radius) for label in order]
    found = heights(wanted, 1.5 * LEADING * LABEL, -form.radius, form.radius)
    places = dict(zip(order, found, strict=True))
    return tuple(places[label] for label in range(len(order)))


def type_size(places: Sequence[float]) -> float:
    """Return the size of the labels' type; 0 where they lie too close to be read."""
    ordered = sorted(places)
    nearest = min([b - a for a, b in pairwise(ordered)], default=LABEL * 2)
    size = min(LABEL, nearest / LEADING)
    return size if size >= SMALLEST else 0.0


def stroke_of(grade: str, thin: float = 1.0) -> tuple[float, tuple[float, ...]]:
    """Return the width and the dash of a line; many lines are thinner, and stay full or dashed."""
    return thin * WIDTHS[grade], DASHES[grade]


def draw_joins(
    moved: Sequence[Row],
    bearings: Sequence[Bearings],
    looks: Sequence[Sequence[End]],
    form: Form,
    level: Level,
) -> Group:
    """
    Draw the lines and their labels.

    Parameters
    ----------
    moved : sequence of dict
        Rows of the terms.
    bearings : (sequence, sequence)
        Where each stands on either wheel.
    looks : (sequence of End, sequence of End)
    form : Form
    level : Level
    """
    group = Group("moves", kind="moves")
    if not moved:
        return group
    places = label_places(bearings, form)
    size = type_size(places)
    thin = min(1.0, 0.6 * form.lanes / WIDTHS[ROBUST])  # lanes stay apart
    middle = (form.centres[0][0] + form.centres[1][0]) / 2
    lines = [Group(f"move-{row['term']}", way_told(row), "move") for row in moved]
    for number, facing in enumerate((LEFT, RIGHT)):
        centre = form.centres[number]
        reach = abs(middle - centre[0]) - form.label / 2 - 2 * FREE
        here = [place for place, one in enumerate(bearings[number]) if one is not None]
        ends = [(float(bearings[number][at] or 0.0), (reach, places[at])) for at in here]
        first = form.radius + CLEAR
        for at, way in zip(here, ways(ends, form.radius + START, first, form.lanes), strict=True):
            part = Group(kind="side", at=centre)
            part.add(*draw_way(way, facing, moved[at]["migration"], looks[number][at], thin))
            lines[at].add(part)
    for row, part, height, *both in zip(moved, lines, places, *looks, strict=True):
        place = middle, form.centres[0][1] + height
        colours, stroke = [end.colour for end in both], stroke_of(row["migration"], thin)
        part.add(*draw_label(label_of(row), place, size, form, level, colours, stroke))
    group.add(*lines)
    return group


def draw_way(way: Way, facing: float, grade: str, end: End, thin: float) -> list[Shape]:
    """Draw one line from its wheel to its label, with a dot where it begins."""
    flip = 1.0 if facing == LEFT else -1.0

    def to(point: Point) -> Point:
        return flip * point[0], point[1]

    steps: list[Step] = [("M", to(way.start))]
    if way.turn and way.lane:
        one, other, last = map(to, way.turn)
        steps.append(("C", (*one, *other, *last)))
        radius, enters, leaves = way.lane
        if abs(enters - leaves) > 0.01:
            steps += arc_steps(radius, facing + flip * enters, facing + flip * leaves)
    steps.append(("L", to(way.end)))
    width, dash = stroke_of(grade, thin)
    return [
        Shape(tuple(steps), stroke=end.colour, width=width, dash=dash),
        disc(to(way.start), DOT, fill=end.colour if end.own else PAPER, stroke=end.colour,
             width=0.3),
    ]  # fmt: skip


def draw_label(
    text: str,
    at: Point,
    size: float,
    form: Form,
    level: Level,
    colours: Sequence[str],
    stroke: tuple[float, tuple[float, ...]],
) -> list[Shape | Text]:
    """Write a term between the wheels, its lines led to both its ends."""
    x, y = at
    half = form.label / 2
    own = min(level.width(text, size) / 2, half) if size else 0.0
    set_size = size
    if size and level.width(text, size) > form.label:
        set_size = max(SMALLEST, size * form.label / level.width(text, size))
        text = level.shortened(text, form.label, set_size)
    parts: list[Shape | Text] = []
    for sign, colour in zip((-1.0, 1.0), colours, strict=True):
        ends = (x + sign * (half + 2 * FREE), y), (x + sign * (own + FREE if size else 0.0), y)
        lead = line(*ends, stroke=colour, width=stroke[0])
        parts.append(replace(lead, dash=stroke[1]))
    if size:
        parts += level.texts(text, x, y + MIDDLE * set_size, set_size, anchor="middle")
    return parts
