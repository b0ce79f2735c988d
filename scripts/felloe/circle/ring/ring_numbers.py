"""Where the bars, lines and numbers of the ring stand, so that no number covers another."""

from collections.abc import Mapping, Sequence

import numpy as np

from felloe.ground.arrays import Floats

Point = tuple[float, float]
Spans = Mapping[str, tuple[float, float]]  # degrees clockwise from the top, by class
Support = Mapping[frozenset[str], float]  # how often two classes are neighbours
Bar = tuple[float, float, tuple[Point, Point]]  # share, angle and ends
Chord = tuple[float, Floats]  # share and curve

OUTER, INNER = 36.0, 29.0  # radii of the band of classes, mm
NUMBER_MM = (6.4, 3.2)  # room of a number
EMPTY = np.empty((0, 2))
SHOWN = 0.25  # support from which two classes that are no neighbours are joined by a line


def at(radius: float, degrees: float) -> Point:
    """Return the point at an angle clockwise from the top."""
    angle = np.radians(degrees)
    return float(radius * np.sin(angle)), float(radius * np.cos(angle))


def middle_of(span: tuple[float, float]) -> float:
    """Return the middle of a span that may pass 360 degrees."""
    return (span[0] + span[1]) / 2.0


def clearance(candidates: Sequence[Point], points: Sequence[Point] | Floats, size: Point) -> Floats:
    """Return how far each candidate keeps from all points, in sizes; 1 and more is clear."""
    if not len(points):
        return np.full(len(candidates), 9.0)
    here, there = np.asarray(candidates, dtype=float), np.asarray(points, dtype=float)
    apart = np.abs(here[:, None] - there[None]) / np.asarray(size)
    return np.asarray(apart.max(axis=2).min(axis=1))


def free_place(
    candidates: Sequence[Point],
    taken: Sequence[Point],
    solid: Sequence[Point] = (),
    lines: Sequence[Point] | Floats = (),
) -> Point:
    """
    Choose a place for a number.

    Parameters
    ----------
    candidates : list of (float, float)
        The best first, mm.
    taken : list of (float, float)
        Middles of numbers placed before.
    solid, lines : list of (float, float)
        Points that no number may cover, and points that it should not cover.

    Returns
    -------
    (float, float)
        The first that is clear of everything; else, of those that cover nothing solid, the one
        farthest from lines; else the clearest.
    """
    half = (NUMBER_MM[0] / 2 + 0.3, NUMBER_MM[1] / 2 + 0.3)
    hard = np.minimum(clearance(candidates, taken, NUMBER_MM), clearance(candidates, solid, half))
    if (hard < 1.0).all():
        return candidates[int(np.argmax(hard))]
    soft = np.where(hard >= 1.0, np.minimum(clearance(candidates, lines, half), 1.0), -1.0)
    return candidates[int(np.argmax(soft))]


def neighbours_of(spans: Spans, support: Support) -> list[Bar]:
    """Return share, angle and ends of the bar of each two neighbours on the ring."""
    names, bars = list(spans), []
    for one, other in zip(names, names[1:] + names[:1]) if len(names) > 1 else []:
        share = support.get(frozenset((one, other)), float("nan"))
        end, start = spans[one][1], spans[other][0]
        while start < end - 1e-9:
            start += 360.0
        angle = (start + end) / 2.0
        bars.append((share, angle, (at(INNER - 1.2, angle), at(OUTER + 1.2, angle))))
    return bars


def chords_of(spans: Spans, support: Support) -> list[Chord]:
    """Return share and curve of each two classes often neighbours though not on this ring."""
    names, chords = list(spans), []
    drawn = {frozenset((a, b)) for a, b in zip(names, names[1:] + names[:1])}
    for pair in sorted(support, key=lambda pair: (-support[pair], sorted(pair))):
        if pair in drawn or support[pair] < SHOWN:
            continue
        one, other = (np.array(at(INNER - 0.5, middle_of(spans[name]))) for name in sorted(pair))
        t = np.linspace(0, 1, 61)[:, None]
        bend = 0.25 * (one + other)
        chords.append((support[pair], (1 - t) ** 2 * one + 2 * t * (1 - t) * bend + t**2 * other))
    return chords


def place_numbers(bars: Sequence[Bar], chords: Sequence[Chord]) -> list[Point]:
    """
    Place the numbers of bars and chords so that none covers another, a bar or the band.

    Returns
    -------
    list of (float, float)
        Of the bars, then of the chords.
    """
    solid = [at(INNER, degrees) for degrees in range(0, 360, 2)]
    solid += [at(INNER - 1.2 + depth, angle) for _, angle, _ in bars for depth in (0, 1, 2)]
    curves = [curve for _, curve in chords]
    ways = sorted(
        ((depth, turn) for depth in np.arange(4.0, 14.5, 0.75) for turn in range(-12, 13, 3)),
        key=lambda way: (way[0] + 0.3 * abs(way[1]), way),
    )
    places: list[Point] = []
    for _, angle, _ in bars:
        candidates = [at(INNER - depth, angle + turn) for depth, turn in ways]
        places.append(free_place(candidates, places, solid, np.concatenate([*curves, EMPTY])))
    steps = sorted(range(8, 53), key=lambda step: abs(step - 30))
    for own, curve in enumerate(curves):
        others = [*(one for place, one in enumerate(curves) if place != own), EMPTY]
        candidates = [(float(x), float(y)) for x, y in curve[steps]]
        places.append(free_place(candidates, places, solid, np.concatenate(others)))
    return places
