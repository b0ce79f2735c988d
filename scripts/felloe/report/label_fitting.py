"""Where a label goes in a sector of a ring, and how large it may be."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Any

import numpy as np

from felloe.ground.arrays import Array, Floats

Width = Callable[[str], float]  # of a line of text, in sizes of the type

LINE = 1.16  # height of a line, in sizes of the type
PADDING = 0.45  # free space on each side of a label, in sizes of the type
ALONG_ADVANTAGE = 1.3  # a label along the ring reads easier than one across it
MOST_LINES = 3
MOST_CHARACTERS = 72  # a longer label is cut on the ring; its whole text stands elsewhere


@dataclass(frozen=True)
class Label:
    """
    A label fitted into a sector.

    Parameters
    ----------
    lines : tuple of str
    size : float
        Height of the type, in the unit of the radii.
    along : bool
        Whether the lines follow the ring; otherwise they follow its radii.
    start : float
        Radius of the inner end of lines that follow the radii; of their middle otherwise.
    """

    lines: tuple[str, ...]
    size: float
    along: bool
    start: float


@dataclass(frozen=True)
class Sector:
    """
    The room that a label has.

    Parameters
    ----------
    inner, outer : float
        Radii of the ring.
    degrees : float
        Width of the sector.
    """

    inner: float
    outer: float
    degrees: float


def point(radius: Array | float, degrees: Array | float) -> tuple[Any, Any]:
    """Return x and y (upwards) of places on the circle; 0 degrees is the top, clockwise."""
    angle = np.radians(degrees)
    return radius * np.sin(angle), radius * np.cos(angle)


def sector_outline(
    inner: float, outer: float, start: float, end: float, hairline: float = 0.0
) -> Floats:
    """
    Return the outline of a ring's sector, its arcs in steps of half a degree.

    Parameters
    ----------
    inner, outer : float
    start, end : float
        Degrees clockwise from the top, `start` < `end`.
    hairline : float
        Left free on each straight side, of the same width all along.

    Returns
    -------
    (n, 2) array of float
    """
    arcs = []
    for radius in (outer, inner):
        free = np.degrees(min(hairline / radius, np.radians(end - start) / 4))
        count = max(2, int(np.ceil((end - start) * 2)) + 1)
        arcs.append(np.stack(point(radius, np.linspace(start + free, end - free, count)), axis=1))
    return np.concatenate([arcs[0], arcs[1][::-1]])


def fit_label(
    text: str, width_of: Width, sector: Sector, largest: float, *, from_inside: bool = False
) -> Label:
    """
    Fit a label into a sector as large as it can be read.

    Parameters
    ----------
    text : str
    width_of : callable
        Width of a line of text in sizes of the type.
    sector : Sector
    largest : float
        The type is never larger than this.
    from_inside : bool
        Lines follow the radii from the inner edge, whatever the sector's shape.

    Returns
    -------
    Label
        It lies within the sector, whatever its size then is.
    """
    ways = []
    for lines in line_breaks(shortened(text)):
        widths = [width_of(line) for line in lines]
        sizes = {False: size_across(widths, sector)}
        if not from_inside:
            sizes[True] = size_along(widths, sector)
        for along, size in sizes.items():
            size = min(size, largest)
            worth = size * (ALONG_ADVANTAGE if along else 1) * 0.97 ** len(lines)
            ways.append((worth, lines, size, along))
    _, lines, size, along = max(ways, key=lambda way: way[0])  # the first of the best
    start = (sector.inner + sector.outer) / 2
    if not along:
        start = inner_end([width_of(line) for line in lines], size, sector, from_inside)
    return Label(tuple(lines), size, along, start)


def inner_end(widths: Sequence[float], size: float, sector: Sector, from_inside: bool) -> float:
    """Return where lines along the radii start: in the middle, or as far in as there is room."""
    wanted = (sector.inner + sector.outer - max(widths) * size) / 2
    if from_inside:
        wanted = sector.inner + PADDING * size
    return max(wanted, len(widths) * LINE * size * narrowness(sector.degrees))


def shortened(text: str) -> str:
    """Cut a very long label, so that it says that it was cut."""
    text = " ".join(text.split())
    return text if len(text) <= MOST_CHARACTERS else text[: MOST_CHARACTERS - 1].rstrip() + "…"


def line_breaks(text: str) -> list[list[str]]:
    """Return the ways to set a text in one to `MOST_LINES` lines, each as even as can be."""
    words = text.split(" ")
    ways = [[text]]
    for count in range(2, min(MOST_LINES, len(words)) + 1):
        options = []
        for cuts in combinations(range(1, len(words)), count - 1):
            bounds = [0, *cuts, len(words)]
            lines = [" ".join(words[a:b]) for a, b in pairwise(bounds)]
            options.append((max(map(len, lines)), lines))
        ways.append(min(options)[1])
    return ways


def size_across(widths: Sequence[float], sector: Sector) -> float:
    """Return the largest size of lines along the radii, set as far out as they need to be."""
    longest = max(widths)
    by_length = (sector.outer - sector.inner) / (longest + 2 * PADDING)
    chord = len(widths) * LINE * narrowness(sector.degrees)
    by_width = sector.outer / (chord + longest + PADDING)
    return float(min(by_length, by_width))


def narrowness(degrees: float) -> float:
    """Return the radius at which a sector has a chord of 1."""
    return float(1 / (2 * np.tan(np.radians(min(degrees, 170.0)) / 2)))


def size_along(widths: Sequence[float], sector: Sector) -> float:
    """Return the largest size of lines along the ring, each on its own radius."""
    count = len(widths)
    size = (sector.outer - sector.inner) / (count * LINE + PADDING)
    for _ in range(30):  # the radii of the lines depend on the size: settle from above
        radii = line_radii(count, size, sector.inner, sector.outer)
        room = min(
            np.radians(sector.degrees) * radius / (width + 2 * PADDING)
            for radius, width in zip(radii, widths, strict=True)
        )
        if size <= room:
            break
        size = min(size * 0.97, max(room, size * 0.6))
    return float(size)


def line_radii(count: int, size: float, inner: float, outer: float) -> list[float]:
    """Return the radii of the middles of lines along a ring, the outermost first."""
    middle = (inner + outer) / 2
    return [middle + ((count - 1) / 2 - at) * LINE * size for at in range(count)]


def reads_upside_down(degrees: float) -> bool:
    """Return whether a label along the ring at this place stands on its head from the centre."""
    return 90 < degrees % 360 < 270


def runs_inwards(degrees: float) -> bool:
    """Return whether a label across the ring at this place is read towards the centre."""
    return degrees % 360 >= 180
