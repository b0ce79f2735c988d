"""Names beside rows and below columns, as plain text.

Tick labels are measured several times in each format that is saved; for a hundred names that
takes longer than all the rest of a figure.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from felloe.ground.drawing import INK

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.transforms import Transform

POINT = 1 / 72  # of an inch


def name_rows(
    ax: "Axes",
    names: Sequence[str],
    size: float,
    pad: float = 2.0,
    colors: Sequence[str] | None = None,
    weights: Sequence[str] | None = None,
) -> None:
    """
    Write a name beside each of the rows 0, 1, 2 and so on, up to the left edge of the axes.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    names : sequence of str
    size : float
        Points.
    pad : float
        Points between names and edge.
    colors, weights : sequence of str or None
        One per name; ink and normal print if not given.
    """
    ax.set_yticks([])
    place: dict[str, Any] = {"transform": shifted(ax, ax.get_yaxis_transform(), -pad, 0.0)}
    for row, name in enumerate(names):
        color, weight = colors[row] if colors else INK, weights[row] if weights else "normal"
        look: dict[str, Any] = {
            "fontsize": size,
            "color": color,
            "fontweight": weight,
            "parse_math": False,
        }
        ax.text(0, row, name, ha="right", va="center_baseline", **look, **place)


def name_columns(
    ax: "Axes",
    names: Sequence[str],
    size: float,
    pad: float = 2.0,
    rotation: float = 90.0,
    ha: str = "center",
) -> None:
    """
    Write a name below each of the columns 0, 1, 2 and so on.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    names : sequence of str
    size, pad : float
        Points.
    rotation : float
        Degrees.
    ha : str
        Which part of a name stands at the middle of its column.
    """
    ax.set_xticks([])
    moved = shifted(ax, ax.get_xaxis_transform(), 0.0, -pad)
    place: dict[str, Any] = {"transform": moved, "rotation": rotation}
    look: dict[str, Any] = {"fontsize": size, "color": INK, "parse_math": False}
    for column, name in enumerate(names):
        ax.text(column, 0, name, ha=ha, va="top", **look, **place)


def shifted(ax: "Axes", transform: "Transform", across: float, upwards: float) -> "Transform":
    """Return a transform moved by points."""
    from matplotlib.transforms import ScaledTranslation

    x, y = across * POINT, upwards * POINT
    return transform + ScaledTranslation(x, y, ax.figure.dpi_scale_trans)
