"""
What a sheet is made of: outlines and lines of text in named groups, in millimetres.

The origin is the wheel's centre, x runs to the right and y downwards, as on a page. Angles are
degrees clockwise from the top.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import atan2, cos, degrees, radians, sin, tan
from typing import Literal, TypedDict, Unpack

from felloe.report.typeface.faces import PLAIN, Face

Point = tuple[float, float]
# move and line: x, y; arc: radius, whether more than half a circle, whether clockwise, x, y
Step = tuple[Literal["M", "L", "C", "A", "Z"], tuple[float, ...]]
Anchor = Literal["start", "middle", "end"]
TURN = 360.0


@dataclass(frozen=True)
class Shape:
    """
    An outline.

    Attributes
    ----------
    steps : tuple of Step
    fill, stroke : str
        #rrggbb, or empty for none.
    width : float
        Of the stroke.
    role : str
        Which tone of the sheet the colour is, for pages with tones of their own; empty for the
        colours of the chart.
    dash : tuple of float
    """

    steps: tuple[Step, ...]
    fill: str = ""
    stroke: str = ""
    width: float = 0.0
    role: str = ""
    dash: tuple[float, ...] = ()


class Look(TypedDict, total=False):
    """How an outline is painted; see `Shape`."""

    fill: str
    stroke: str
    width: float
    role: str


@dataclass(frozen=True)
class Text:
    """
    A straight line of text.

    Attributes
    ----------
    text : str
    x, y : float
        The end that `anchor` names, on the baseline.
    turn : float
        Degrees clockwise.
    size : float
    color : str
    """

    text: str
    x: float
    y: float
    size: float
    color: str
    face: Face = PLAIN
    turn: float = 0.0
    anchor: Anchor = "start"
    role: str = "ink"


@dataclass(frozen=True)
class ArcText:
    """
    A line of text along a circle around the centre.

    Attributes
    ----------
    radius : float
        Of the baseline.
    middle : float
        Degrees of the line's middle.
    inwards : bool
        Whether its letters stand with their heads towards the centre: in the lower half.
    """

    text: str
    radius: float
    middle: float
    inwards: bool
    size: float
    color: str
    face: Face = PLAIN
    role: str = "ink"


@dataclass
class Group:
    """
    Parts that belong together.

    Attributes
    ----------
    name, title, kind : str
        `title` is what a reader who points at them is told.
    parts : list of Part
    at : Point
        Where the centre lies around which they stand, seen from that of the group around them.
    """

    name: str = ""
    title: str = ""
    kind: str = ""
    parts: list["Part"] = field(default_factory=list)
    at: Point = (0.0, 0.0)

    def add(self, *parts: "Part") -> None:
        """Add parts, the later ones over the earlier ones."""
        self.parts.extend(parts)


Part = Shape | Text | ArcText | Group


@dataclass(frozen=True)
class Sheet:
    """
    A drawn sheet.

    Attributes
    ----------
    width, height : float
    centre : Point
        Of the wheel, from the upper left corner.
    title, description, language : str
    body : Group
    worded : bool
        Whether the terms are written.
    """

    width: float
    height: float
    centre: Point
    title: str
    description: str
    language: str
    body: Group
    worded: bool = True


def leaves(group: Group) -> Iterator[Shape | Text | ArcText]:
    """Yield the shapes and texts of a group, in the order in which they are drawn."""
    for part in group.parts:
        if isinstance(part, Group):
            yield from leaves(part)
        else:
            yield part


def place(radius: float, angle: float) -> Point:
    """Return a place on a circle around the centre."""
    return radius * sin(radians(angle)), -radius * cos(radians(angle))


def arc_degrees(length: float, radius: float) -> float:
    """Return how many degrees a length spans on a circle."""
    return degrees(length / radius)


def line(*points: Point, stroke: str, width: float, role: str = "") -> Shape:
    """Return a line through points."""
    steps: list[Step] = [("M", points[0]), *(("L", point) for point in points[1:])]
    return Shape(tuple(steps), stroke=stroke, width=width, role=role)


def arc_steps(radius: float, first: float, last: float) -> tuple[Step, ...]:
    """Return the steps along a circle, to be joined to a place that was reached before."""
    halves = max(1, -(-int(abs(last - first)) // 170))
    ends = [first + (last - first) * (at + 1) / halves for at in range(halves)]
    clockwise = float(last > first)
    return tuple(("A", (radius, 0.0, clockwise, *place(radius, end))) for end in ends)


def arc(
    radius: float,
    first: float,
    last: float,
    stroke: str,
    width: float,
    role: str = "",
    dash: tuple[float, ...] = (),
) -> Shape:
    """Return a part of a circle."""
    steps: tuple[Step, ...] = (("M", place(radius, first)), *arc_steps(radius, first, last))
    return Shape(steps, stroke=stroke, width=width, role=role, dash=dash)


def sector(inner: float, outer: float, first: float, last: float, **look: Unpack[Look]) -> Shape:
    """
    Return a segment of a ring.

    Parameters
    ----------
    inner, outer : float
    first, last : float
        Degrees, `first` before `last`.
    look
        `fill`, `stroke`, `width`, `role` of the shape.
    """
    steps: tuple[Step, ...] = (
        ("M", place(outer, first)),
        *arc_steps(outer, first, last),
        ("L", place(inner, last)),
        *arc_steps(inner, last, first),
        ("Z", ()),
    )
    return Shape(steps, **look)


def disc(centre: Point, radius: float, **look: Unpack[Look]) -> Shape:
    """Return a circle anywhere."""
    x, y = centre
    k = 0.5522847498 * radius  # cubic curves that are a quarter of a circle to 3 parts in 10,000
    steps: tuple[Step, ...] = (
        ("M", (x, y - radius)),
        ("C", (x + k, y - radius, x + radius, y - k, x + radius, y)),
        ("C", (x + radius, y + k, x + k, y + radius, x, y + radius)),
        ("C", (x - k, y + radius, x - radius, y + k, x - radius, y)),
        ("C", (x - radius, y - k, x - k, y - radius, x, y - radius)),
        ("Z", ()),
    )
    return Shape(steps, **look)


def box(x: float, y: float, wide: float, high: float, /, **look: Unpack[Look]) -> Shape:
    """Return a rectangle; x and y are its upper left corner."""
    corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    steps: list[Step] = [("M", corners[0]), *(("L", each) for each in corners[1:]), ("Z", ())]
    return Shape(tuple(steps), **look)


def shifted(shape: Shape, by: Point) -> Shape:
    """Return an outline elsewhere; arcs, which lie around the centre, become curves."""
    if by == (0.0, 0.0):
        return shape
    steps: list[Step] = []
    last = start = (0.0, 0.0)
    for step in shape.steps:
        for name, values in arc_as_curves(last, step) if step[0] == "A" else [step]:
            moved = tuple(value + by[at % 2] for at, value in enumerate(values))
            steps.append((name, moved))
            last = (values[-2], values[-1]) if values else start
        if step[0] == "M":
            start = last
    return replace(shape, steps=tuple(steps))


def arc_as_curves(start: Point, step: Step) -> list[Step]:
    """Return an arc around the centre as cubic curves, for formats that have no arcs."""
    radius, _, clockwise, x, y = step[1]
    first = _angle(start)
    last = _angle((x, y))
    if clockwise and last < first:
        last += TURN
    if not clockwise and last > first:
        last -= TURN
    parts = max(1, -(-int(abs(last - first)) // 45))
    curves: list[Step] = []
    for at in range(parts):
        a = first + (last - first) * at / parts
        b = first + (last - first) * (at + 1) / parts
        k = 4 / 3 * tan(radians(b - a) / 4) * radius
        (x0, y0), (x3, y3) = place(radius, a), place(radius, b)
        (dx0, dy0), (dx3, dy3) = place(k, a + 90), place(k, b + 90)
        curves.append(("C", (x0 + dx0, y0 + dy0, x3 - dx3, y3 - dy3, x3, y3)))
    return curves


def _angle(point: Point) -> float:
    return degrees(atan2(point[0], -point[1])) % TURN
