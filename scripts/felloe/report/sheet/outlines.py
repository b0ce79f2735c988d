"""Lines of text as outlines on the sheet: each glyph a shape in its place."""

from collections.abc import Iterator
from math import cos, degrees, radians, sin

from felloe.report.sheet.name_fitting import TRACKING
from felloe.report.sheet.shapes import ArcText, Shape, Step, Text, place
from felloe.report.typeface.shaping import Command, Typesetter

Transform = tuple[float, float, float, float]  # x, y, turn in degrees, size


def outlined(part: Text | ArcText, setter: Typesetter) -> Iterator[Shape]:
    """
    Yield the glyphs of a text.

    Parameters
    ----------
    part : Text or ArcText
    setter : Typesetter

    Yields
    ------
    Shape
    """
    spots = straight(part, setter) if isinstance(part, Text) else bent(part, setter)
    line = setter.line(part.text, part.face)
    for glyph, spot in zip(line.glyphs, spots, strict=True):
        steps = moved(setter.outline(glyph, part.face), spot)
        if steps:
            yield Shape(steps, fill=part.color, role=part.role)


def as_shape(part: Text | ArcText, setter: Typesetter) -> Shape:
    """Return a text as one shape: all its glyphs."""
    steps = tuple(step for glyph in outlined(part, setter) for step in glyph.steps)
    return Shape(steps, fill=part.color, role=part.role)


def straight(part: Text, setter: Typesetter) -> list[Transform]:
    """Return where each glyph of a straight line stands."""
    line = setter.line(part.text, part.face)
    begin = {"start": 0.0, "middle": -line.width / 2, "end": -line.width}[part.anchor]
    c, s = cos(radians(part.turn)), sin(radians(part.turn))
    found = []
    for glyph in line.glyphs:
        along, up = (begin + glyph.x) * part.size, glyph.y * part.size
        x, y = part.x + along * c + up * s, part.y + along * s - up * c
        found.append((x, y, part.turn, part.size))
    return found


def bent(part: ArcText, setter: Typesetter) -> list[Transform]:
    """Return where each glyph of a line along a circle stands: upright at its own middle."""
    line = setter.line(part.text, part.face)
    extra = TRACKING * max(0, len(line.glyphs) - 1)
    begin, found = -(line.width + extra) / 2, []
    sign = -1.0 if part.inwards else 1.0
    for at, glyph in enumerate(line.glyphs):
        middle = (begin + glyph.x + at * TRACKING + glyph.advance / 2) * part.size
        angle = part.middle + sign * degrees(middle / part.radius)
        x, y = place(part.radius + sign * glyph.y * part.size, angle)
        turn = angle if not part.inwards else angle + 180.0
        half = glyph.advance / 2 * part.size
        x, y = x - half * cos(radians(turn)), y - half * sin(radians(turn))
        found.append((x, y, turn, part.size))
    return found


def moved(commands: tuple[Command, ...], spot: Transform) -> tuple[Step, ...]:
    """Return an outline in its place; quadratic curves become cubic ones."""
    x, y, turn, size = spot
    c, s = cos(radians(turn)) * size, sin(radians(turn)) * size

    def to(point: tuple[float, float]) -> tuple[float, float]:
        return x + point[0] * c + point[1] * s, y + point[0] * s - point[1] * c

    steps: list[Step] = []
    last = (0.0, 0.0)
    for name, points in commands:
        if name == "move":
            steps.append(("M", to(points[0])))
        elif name == "line":
            steps.append(("L", to(points[0])))
        elif name == "cube":
            steps.append(("C", (*to(points[0]), *to(points[1]), *to(points[2]))))
        elif name == "quad":
            control, end = points
            one = tuple(a + 2 / 3 * (b - a) for a, b in zip(last, control))
            two = tuple(a + 2 / 3 * (b - a) for a, b in zip(end, control))
            steps.append(("C", (*to((one[0], one[1])), *to((two[0], two[1])), *to(end))))
        else:
            steps.append(("Z", ()))
        if points:
            last = points[-1]
    return tuple(steps)
