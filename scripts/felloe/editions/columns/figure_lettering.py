"""Text of a figure, measured in the letters in which it is drawn, and fitted into its room."""

from felloe.ground.drawing import POINT_MM, width_of
from felloe.report.typeface.breaking import broken, cut_short

LEADING = 1.2  # of a line, in sizes of its type


def lines_of(text: str, room: float, points: float, weight: str = "normal") -> list[str]:
    """Break a text into lines of a width, millimetres."""
    return [line.text for line in broken(text, room, lambda part: width_of(part, points, weight))]


def block(
    text: str, room: tuple[float, float], sizes: tuple[float, float], weight: str = "normal"
) -> tuple[list[str], float]:
    """
    Break a text into lines in a room, smaller where it has none; cut it where that does not do.

    Parameters
    ----------
    text : str
    room : (float, float)
        Width and height, millimetres.
    sizes : (float, float)
        The usual and the least size, points.
    weight : str

    Returns
    -------
    (list of str, float)
        The lines, and their size.
    """
    wide, high = room
    size, least = sizes
    while True:
        lines = lines_of(text, wide, size, weight)
        most = max(1, int(high / (size * LEADING * POINT_MM)))
        if len(lines) <= most:
            return lines, size
        if size <= least:
            rest = " ".join(lines[most - 1 :])
            last = cut_short(rest, wide, lambda part: width_of(part, least, weight))
            return [*lines[: most - 1], last], size
        size = max(least, size - 0.5)
