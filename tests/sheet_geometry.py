"""
What is wrong with a drawn sheet, found from the ink of its letters alone.

Nothing here knows how a sheet was planned: letters are taken as outlines, and each line as the
box of its ink, turned as the line is or bent as its arc is.
"""

from itertools import pairwise

import numpy as np
from felloe.report.sheet.outlines import outlined
from felloe.report.sheet.shapes import ArcText, Group, Text, leaves

POINT = 25.4 / 72
SMALLEST = 6.0 * POINT


def ink(part, setter):
    """Return all points of a line's outlines, control points too: the ink lies within them."""
    points = [
        (step[1][at], step[1][at + 1])
        for glyph in outlined(part, setter)
        for step in glyph.steps
        for at in range(0, len(step[1]), 2)
    ]
    return np.array(points)


def straight_box(part, setter):
    """Return the four corners of the box of a straight line's ink."""
    points = ink(part, setter)
    turn = np.radians(part.turn)
    axes = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    along, across = (points @ axes.T).T
    corners = [
        (x, y) for x in (along.min(), along.max()) for y in (across.min(), across.max())
    ]  # fmt: skip
    order = [corners[0], corners[1], corners[3], corners[2]]
    return np.array(order) @ axes


def polar_box(part, setter):
    """Return the radii and the degrees that a bent line's ink spans."""
    points = ink(part, setter)
    radius = np.hypot(*points.T)
    away = (np.degrees(np.arctan2(points[:, 0], -points[:, 1])) - part.middle + 180) % 360 - 180
    return radius.min(), radius.max(), part.middle + away.min(), part.middle + away.max()


def apart(one, other, clear=0.0):
    """Return whether two convex outlines do not meet: an axis separates them."""
    for corners in (one, other):
        for start, end in pairwise([*corners, corners[0]]):
            edge = end - start
            normal = np.array([-edge[1], edge[0]]) / np.hypot(*edge)
            a, b = one @ normal, other @ normal
            if a.max() + clear <= b.min() or b.max() + clear <= a.min():
                return True
    return False


def named(group, kind):
    """Yield the groups of a kind."""
    for part in group.parts:
        if isinstance(part, Group):
            if part.kind == kind:
                yield part
            yield from named(part, kind)


def own_texts(group):
    """Return the lines of a group that are in none of its inner groups."""
    return [part for part in group.parts if isinstance(part, Text | ArcText)]


def troubles(sheet, setter):
    """Return what is wrong with the lettering of a sheet, a sentence each."""
    return [
        *too_small(sheet),
        *off_the_paper(sheet, setter),
        *upside_down(sheet),
        *meeting_words(sheet, setter),
        *names_out_of_room(sheet, setter),
        *mixed_directions(sheet),
        *meeting_blocks(sheet, setter),
    ]


def too_small(sheet):
    """Find type under 6 pt."""
    for part in leaves(sheet.body):
        if isinstance(part, Text | ArcText) and part.size < SMALLEST - 1e-6:
            yield f"{part.text!r} is set in {part.size / POINT:.2f} pt"


def off_the_paper(sheet, setter):
    """Find ink outside the page."""
    x, y = sheet.centre
    for part in leaves(sheet.body):
        if isinstance(part, Text | ArcText) and part.text.strip():
            points = ink(part, setter) + (x, y)
            if points.min() < 0 or (points > (sheet.width, sheet.height)).any():
                yield f"{part.text!r} leaves the paper"


def upside_down(sheet):
    """Find lines that stand on their head."""
    for part in leaves(sheet.body):
        if isinstance(part, Text):
            turn = (part.turn + 180.0) % 360.0 - 180.0
            if not -90.0 - 1e-6 <= turn <= 90.0 + 1e-6:
                yield f"{part.text!r} is turned by {turn:.1f} degrees"
        elif isinstance(part, ArcText):
            up = np.cos(np.radians(part.middle)) * (-1 if part.inwards else 1)
            if up < -1e-6:
                yield f"{part.text!r} stands on its head"


def meeting_words(sheet, setter):
    """Find terms whose boxes meet: each with every other."""
    boxes = [
        (part.text, straight_box(part, setter))
        for group in named(sheet.body, "term")
        for part in own_texts(group)
    ]
    for at, (text, box) in enumerate(boxes):
        for other_text, other in boxes[at + 1 :]:
            if not apart(box, other):
                yield f"{text!r} and {other_text!r} meet"


def names_out_of_room(sheet, setter):
    """Find names that leave the span of their group's arcs, or meet one another."""
    boxes = []
    for kind in ("class", "subclass"):
        for group in named(sheet.body, kind):
            spans = span_of(group) if own_texts(group) else (0.0, 0.0)
            for part in own_texts(group):
                low, high, first, last = polar_box(part, setter)
                boxes.append((part.text, low, high, first, last))
                room = 1.25 if kind == "subclass" else 0.0  # into the gap beside it
                if first < spans[0] - room - 1e-6 or last > spans[1] + room + 1e-6:
                    yield f"{part.text!r} spans {first:.1f} to {last:.1f} of {spans}"
    for at, (text, low, high, first, last) in enumerate(boxes):
        for other_text, other_low, other_high, other_first, other_last in boxes[at + 1 :]:
            turn = round(((first + last) - (other_first + other_last)) / 720) * 360
            if (
                low < other_high
                and other_low < high
                and first < other_last + turn
                and other_first + turn < last
            ):
                yield f"{text!r} and {other_text!r} meet"


def span_of(group):
    """Return the degrees that the outlines of a group span, from its own shapes."""
    from felloe.report.sheet.shapes import Shape

    arcs = [part for part in group.parts if isinstance(part, Shape)]
    middle = own_texts(group)[0].middle
    angles = []
    for arc in arcs:
        for step in arc.steps:
            if step[1]:
                x, y = step[1][-2:]
                angles.append((np.degrees(np.arctan2(x, -y)) - middle + 180) % 360 - 180 + middle)
    return min(angles), max(angles)


def mixed_directions(sheet):
    """Find rings whose lines do not all run along it, or all across it."""
    for kind, wanted in (("term", Text), ("subclass", ArcText), ("class", ArcText)):
        for group in named(sheet.body, kind):
            for part in own_texts(group):
                if not isinstance(part, wanted):
                    yield f"{part.text!r} runs otherwise than the rest of its ring"


def meeting_blocks(sheet, setter):
    """Find level lines around the wheel that meet one another, or the wheel."""
    level = []
    for kind in ("head", "unsettled", "numbered", "key"):
        for group in named(sheet.body, kind):
            level += [
                (part.text, straight_box(part, setter))
                for part in leaves(group)
                if isinstance(part, Text) and part.text.strip()
            ]
    for at, (text, box) in enumerate(level):
        for other_text, other in level[at + 1 :]:
            if not apart(box, other, 0.02):
                yield f"{text!r} and {other_text!r} meet"
    rim = rim_of(sheet)
    for text, box in level:
        nearest = min(distance_to(box))
        if nearest < rim:
            yield f"{text!r} lies on the wheel"


def rim_of(sheet):
    """Return the outer radius of the wheel."""
    from felloe.report.sheet.shapes import Shape

    return max(
        [0.0]
        + [
            float(np.hypot(*step[1][-2:]))
            for group in named(sheet.body, "class")
            for part in group.parts
            if isinstance(part, Shape)
            for step in part.steps
            if step[1]
        ]
    )


def distance_to(box):
    """Yield how far the edges of a box are from the centre, at many places."""
    for start, end in pairwise([*box, box[0]]):
        for share in np.linspace(0, 1, 9):
            yield float(np.hypot(*(start + share * (end - start))))
