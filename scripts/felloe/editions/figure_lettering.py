"""Text of a figure, measured in the letters in which it is drawn, and fitted into its room."""

from functools import cache

from felloe.ground.drawing import POINT_MM
from felloe.report.typeface.breaking import Width, broken, cut_short

LEADING = 1.2  # of a line, in sizes of its type
UNIT = 100.0  # size at which text is measured, points
HINTED = 1.06  # a picture's letters are moved to its pixels, which makes a line wider


def width_at(points: float, weight: str = "normal") -> Width:
    """Return what measures a line of a size, in millimetres, once figures are set up."""
    import matplotlib

    families = tuple(matplotlib.rcParams["font.family"])
    return lambda text: advance(text, weight, families) * points


@cache
def advance(text: str, weight: str, families: tuple[str, ...]) -> float:
    """Return how wide a line is at a size of one point, in millimetres."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    prop = FontProperties(family=list(families), weight=weight, size=UNIT)
    wide, _, _ = text_to_path.get_text_width_height_descent(text, prop, ismath=False)
    return float(wide) / UNIT * POINT_MM * HINTED


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
        width = width_at(size, weight)
        lines = [line.text for line in broken(text, wide, width)]
        most = max(1, int(high / (size * LEADING * POINT_MM)))
        if len(lines) <= most:
            return lines, size
        if size <= least:
            return [*lines[: most - 1], cut_short(" ".join(lines[most - 1 :]), wide, width)], size
        size = max(least, size - 0.5)
