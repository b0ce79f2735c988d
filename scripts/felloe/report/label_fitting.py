"""Where a label goes in a sector of a ring, and how large it may be."""

from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np

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

    lines: tuple
    size: float
    along: bool
    start: float


def point(radius, degrees):
    """Return x and y (upwards) of a place on the circle; 0 degrees is the top, clockwise."""
    angle = np.radians(degrees)
    return radius * np.sin(angle), radius * np.cos(angle)


def sector_outline(inner, outer, start, end, hairline=0.0):
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


def fit_label(text, width_of, inner, outer, degrees, largest, from_inside=False):
    """
    Fit a label into a sector as large as it can be read.

    Parameters
    ----------
    text : str
    width_of : callable
        Width of a line of text in sizes of the type.
    inner, outer : float
        Radii of the ring.
    degrees : float
        Width of the sector.
    largest : float
        The type is never larger than this.
    from_inside : bool
        Lines follow the radii from the inner edge, whatever the sector's shape.

    Returns
    -------
    Label
        It lies within the sector, whatever its size then is.
    """
    best = None
    for lines in line_breaks(shortened(text)):
        widths = [width_of(line) for line in lines]
        sizes = {False: size_across(widths, inner, outer, degrees)}
        if not from_inside:
            sizes[True] = size_along(widths, inner, outer, degrees)
        for along, size in sizes.items():
            size = min(size, largest)
            worth = size * (ALONG_ADVANTAGE if along else 1) * 0.97 ** len(lines)
            if best is None or worth > best[0]:
                best = (worth, lines, size, along, widths)
    _, lines, size, along, widths = best
    start = (inner + outer) / 2
    if not along:
        start = inner_end(widths, size, inner, outer, degrees, from_inside)
    return Label(tuple(lines), size, along, start)


def inner_end(widths, size, inner, outer, degrees, from_inside):
    """Return where lines along the radii start: in the middle, or as far in as there is room."""
    length = max(widths) * size
    wanted = inner + PADDING * size if from_inside else (inner + outer - length) / 2
    return max(wanted, len(widths) * LINE * size * narrowness(degrees))


def shortened(text):
    """Cut a very long label, so that it says that it was cut."""
    text = " ".join(text.split())
    return text if len(text) <= MOST_CHARACTERS else text[: MOST_CHARACTERS - 1].rstrip() + "…"


def line_breaks(text):
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


def size_across(widths, inner, outer, degrees):
    """Return the largest size of lines along the radii, set as far out as they need to be."""
    longest = max(widths)
    by_length = (outer - inner) / (longest + 2 * PADDING)
    by_width = outer / (len(widths) * LINE * narrowness(degrees) + longest + PADDING)
    return float(min(by_length, by_width))


def narrowness(degrees):
    """Return the radius at which a sector has a chord of 1."""
    return 1 / (2 * np.tan(np.radians(min(degrees, 170.0)) / 2))


def size_along(widths, inner, outer, degrees):
    """Return the largest size of lines along the ring, each on its own radius."""
    count = len(widths)
    by_height = (outer - inner) / (count * LINE + PADDING)
    size = by_height
    for _ in range(30):  # the radii of the lines depend on the size: settle from above
        radii = line_radii(count, size, inner, outer)
        room = min(
            np.radians(degrees) * radius / (width + 2 * PADDING)
            for radius, width in zip(radii, widths, strict=True)
        )
        if size <= room:
            break
        size = min(size * 0.97, max(room, size * 0.6))
    return float(size)


def line_radii(count, size, inner, outer):
    """Return the radii of the middles of lines along a ring, the outermost first."""
    middle = (inner + outer) / 2
    return [middle + ((count - 1) / 2 - at) * LINE * size for at in range(count)]


def reads_upside_down(degrees):
    """Return whether a label along the ring at this place stands on its head from the centre."""
    return 90 < degrees % 360 < 270


def runs_inwards(degrees):
    """Return whether a label across the ring at this place is read towards the centre."""
    return degrees % 360 >= 180
