"""The wheel as SVG elements for a page: every segment a thing of its own, with its label."""

import unicodedata
from dataclasses import dataclass

import numpy as np

from felloe.report.chart import Record
from felloe.report.label_fitting import (
    LINE,
    Label,
    Sector,
    fit_label,
    line_radii,
    point,
    reads_upside_down,
    runs_inwards,
)

RINGS = {"class": (96.0, 214.0), "subclass": (218.0, 318.0), "term": (322.0, 484.0)}
RIM = 484.0
LARGEST = {"class": 21.0, "subclass": 14.5, "term": 13.8}
HAIRLINE = 0.7
BASELINE = 0.35  # of the capitals' middle over the baseline, in sizes of the type
# Advance widths in sizes of the type, on the wide side of the usual sans-serif faces.
NARROW, ORDINARY, CAPITAL, BROAD, FULL = 0.36, 0.63, 0.76, 0.98, 1.02
SLIM = frozenset("iljtfrI.,:;'|!()[] -")
WIDE = frozenset("mwMWÆŒæœ@%")


@dataclass(frozen=True)
class Line:
    """One line of a label: along an arc of its own, or at a place with a turn."""

    text: str
    size: float
    arc: str = ""
    x: float = 0.0
    y: float = 0.0
    turn: float = 0.0
    anchor: str = "middle"


@dataclass(frozen=True)
class Segment:
    """One segment of a ring with its label and its mark."""

    key: str
    tier: str
    entry: Record
    outline: str
    lines: tuple[Line, ...]
    mark: tuple[float, ...] = ()


def width_of(text: str) -> float:
    """Estimate the width of a line in sizes of the type, rather too wide than too narrow."""
    return sum(advance(character) for character in text)


def advance(character: str) -> float:
    """Estimate the advance width of one character."""
    if unicodedata.combining(character):
        return 0.0
    if unicodedata.east_asian_width(character) in "WF":
        return FULL
    if character in SLIM:
        return NARROW
    if character in WIDE:
        return BROAD
    return CAPITAL if character.isupper() else ORDINARY


def segment(tier: str, entry: Record) -> Segment | None:
    """Return the segment of a class, subclass or term; None for one that has no sector."""
    if entry["start_deg"] is None:
        return None
    start, end = entry["start_deg"], entry["end_deg"]
    middle = (start + end) / 2
    name = entry["label"] if tier == "term" else entry["name"]
    inner, outer = RINGS[tier]
    wide = 1.08 if tier == "class" else 1.0  # classes are set in bold
    label = fit_label(
        name,
        lambda text: wide * width_of(text),
        Sector(inner, outer, end - start),
        LARGEST[tier],
        from_inside=tier == "term",
    )
    lines = lines_along(label, middle, inner, outer, end - start)
    if not label.along:
        lines = lines_across(label, middle, flush=tier == "term", wide=wide)
    mark: tuple[float, ...] = ()
    if tier == "term" and entry["status"] != "firm":
        x, y = point(RIM + 11, middle)
        mark = (round(float(x), 2), round(float(-y), 2), round(middle, 3), mark_size(end - start))
    return Segment(
        f"{tier}-{entry['id']}", tier, entry, outline(inner, outer, start, end), lines, mark
    )


def mark_size(degrees: float) -> float:
    """Return the size of a mark at the rim that leaves its neighbours' marks alone."""
    return round(min(4.2, 0.38 * float(np.radians(degrees)) * RIM), 2)


def outline(inner: float, outer: float, start: float, end: float) -> str:
    """Return the path of a sector, a hairline of paper left free on each side."""
    free = {r: min(float(np.degrees(HAIRLINE / r)), (end - start) / 4) for r in (inner, outer)}
    large = int(end - start > 180)
    if end - start > 359:
        end = start + 359.0
    a = place(outer, start + free[outer])
    b = place(outer, end - free[outer])
    c = place(inner, end - free[inner])
    d = place(inner, start + free[inner])
    return f"M{a} A{outer:g} {outer:g} 0 {large} 1 {b} L{c} A{inner:g} {inner:g} 0 {large} 0 {d} Z"


def place(radius: float, degrees: float) -> str:
    """Return a point as the two numbers of a path; y runs downwards."""
    x, y = point(radius, degrees)
    return f"{x:.2f} {-y:.2f}"


def lines_along(
    label: Label, middle: float, inner: float, outer: float, degrees: float
) -> tuple[Line, ...]:
    """Return lines on arcs of their own, upright in the lower half too."""
    down = reads_upside_down(middle)
    radii = line_radii(len(label.lines), label.size, inner, outer)
    half = min(degrees / 2 + 4, 178.0)  # an arc a little longer than its text never cuts it
    lines = []
    for text, radius in zip(label.lines[::-1] if down else label.lines, radii, strict=True):
        radius += (BASELINE if down else -BASELINE) * label.size
        ends = (middle + half, middle - half) if down else (middle - half, middle + half)
        large, sweep = int(2 * half > 180), int(not down)
        arc = (
            f"M{place(radius, ends[0])} "
            f"A{radius:.2f} {radius:.2f} 0 {large} {sweep} {place(radius, ends[1])}"
        )
        lines.append(Line(text, round(label.size, 2), arc=arc))
    return tuple(lines)


def lines_across(label: Label, middle: float, flush: bool, wide: float) -> tuple[Line, ...]:
    """Return lines along the radii, readable from the right on the left half too."""
    inwards = runs_inwards(middle)
    radius, anchor = label.start, "end" if inwards else "start"
    if not flush:
        radius += max(map(width_of, label.lines)) * wide * label.size / 2
        anchor = "middle"
    lines = []
    for at, text in enumerate(label.lines):
        shift = ((len(label.lines) - 1) / 2 - at) * LINE * label.size - BASELINE * label.size
        x, y = point(radius, middle)
        along_x, along_y = point(1, middle + 90)
        side = 1 if inwards else -1
        lines.append(
            Line(
                text,
                round(label.size, 2),
                x=round(float(x + side * shift * along_x), 2),
                y=round(float(-(y + side * shift * along_y)), 2),
                turn=round(middle - 270 if inwards else middle - 90, 3),
                anchor=anchor,
            )
        )
    return tuple(lines)
