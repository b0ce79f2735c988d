"""A sheet as a picture, every letter an outline."""

import io
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from felloe.ground.drawing import POINT_MM, figure
from felloe.report.sheet.outlines import as_shape
from felloe.report.sheet.shapes import Group, Point, Shape, Sheet, arc_as_curves, shifted
from felloe.report.typeface.shaping import Typesetter

DPI = 300
TALLEST = 420.0  # millimetres drawn at that many dots; of larger paper a picture has as many dots


def png_of(
    sheet: Sheet,
    setter: Typesetter,
    dpi: float | None = None,
    recolour: Callable[[str], str] | None = None,
) -> bytes:
    """
    Draw a sheet as PNG.

    Parameters
    ----------
    sheet : Sheet
    setter : Typesetter
    dpi : float, optional
        Dots to an inch; 300 up to A3, fewer on larger paper.
    recolour : callable, optional
        Each colour as it is to be shown: for proofs.

    Returns
    -------
    bytes
    """
    fig = figure(sheet.width, sheet.height)
    axes = fig.add_axes((0, 0, 1, 1))
    axes.axis("off")
    draw_on(axes, sheet, setter, recolour)
    held = io.BytesIO()
    dpi = dpi or DPI * min(1.0, TALLEST / sheet.height)
    fig.savefig(held, format="png", dpi=dpi, metadata={"Software": None, "Title": sheet.title})
    return held.getvalue()


def draw_on(
    axes: Any,
    sheet: Sheet,
    setter: Typesetter,
    recolour: Callable[[str], str] | None = None,
    scale: float = 1.0,
    drawn: Sequence[tuple[Shape, Any]] = (),
) -> None:
    """
    Draw a sheet onto axes, in its own millimetres.

    Parameters
    ----------
    axes : matplotlib.axes.Axes
    sheet : Sheet
    setter : Typesetter
    recolour : callable, optional
        Each colour as it is to be shown.
    scale : float
        Of the widths of lines.
    drawn : sequence of (Shape, path)
        As `paths_of` gives them, where a sheet is drawn more than once.
    """
    from matplotlib.patches import PathPatch

    x, y = sheet.centre
    axes.set_xlim(-x, sheet.width - x)
    axes.set_ylim(sheet.height - y, -y)
    axes.set_aspect("equal")
    shown = recolour or str
    for shape, path in drawn or paths_of(sheet, setter):
        look: dict[str, Any] = {"linewidth": 0.0, "edgecolor": "none"}
        if shape.stroke:
            look = {"linewidth": scale * shape.width / POINT_MM, "edgecolor": shown(shape.stroke)}
            look |= {"capstyle": "butt", "joinstyle": "miter"}
            if shape.dash:
                look["linestyle"] = (0, tuple(value / shape.width for value in shape.dash))
        fill = shown(shape.fill) if shape.fill else "none"
        # not add_patch: it would measure every curve, and the limits stand already
        axes.add_artist(PathPatch(path, facecolor=fill, clip_on=False, **look))


def paths_of(sheet: Sheet, setter: Typesetter) -> list[tuple[Shape, Any]]:
    """Return the shapes of a sheet, each with its path."""
    return [(shape, path_of(shape)) for shape in shapes(sheet, setter)]


def shapes(sheet: Sheet, setter: Typesetter) -> list[Shape]:
    """Return everything on a sheet as shapes; the letters of a line as one."""
    return list(shapes_of(sheet.body, setter))


def shapes_of(group: Group, setter: Typesetter, around: Point = (0.0, 0.0)) -> Iterator[Shape]:
    """Yield the parts of a group as shapes, seen from the centre of the sheet."""
    around = around[0] + group.at[0], around[1] + group.at[1]
    for part in group.parts:
        if isinstance(part, Group):
            yield from shapes_of(part, setter, around)
        else:
            yield shifted(part if isinstance(part, Shape) else as_shape(part, setter), around)


def path_of(shape: Shape) -> Any:
    """Return a shape as a path of matplotlib."""
    from matplotlib.path import Path

    points: list[tuple[float, float]] = []
    codes: list[Any] = []
    start = last = (0.0, 0.0)
    for step in shape.steps:
        name = step[0]
        if name == "Z":
            points.append(start)
            codes.append(Path.CLOSEPOLY)
            continue
        for kind, found in arc_as_curves(last, step) if name == "A" else [step]:
            pairs = [(found[at], found[at + 1]) for at in range(0, len(found), 2)]
            code = {"M": Path.MOVETO, "L": Path.LINETO, "C": Path.CURVE4}[kind]
            points += pairs
            codes += [code] * len(pairs)
            last = pairs[-1]
        if name == "M":
            start = last
    return Path(points, codes)
