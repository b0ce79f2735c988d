"""Text that follows a ring or its radii."""

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

import numpy as np

from felloe.ground.drawing import set_up
from felloe.report.label_fitting import (
    LINE,
    Label,
    Width,
    line_radii,
    point,
    reads_upside_down,
    runs_inwards,
)

Axes = Any  # matplotlib's, in millimetres around the centre; has `points_per_mm`
REFERENCE = 100.0  # size at which widths are measured
MIDDLE_HEIGHT = 0.36  # of the capitals over the baseline, in sizes of the type


@dataclass(frozen=True)
class Face:
    """How letters look; the family is the same all over the wheel."""

    weight: Literal["normal", "bold"] = "normal"
    style: Literal["normal", "italic"] = "normal"


@cache
def text_widths(face: Face = Face()) -> Width:
    """Return a function that measures a line of text in sizes of the type."""
    set_up()  # a font takes from the settings what it is not given
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(
        family="DejaVu Sans", size=REFERENCE, weight=face.weight, style=face.style
    )

    @cache
    def width_of(line: str) -> float:
        width, _, _ = text_to_path.get_text_width_height_descent(line, font, ismath=False)
        return float(width / REFERENCE * 1.01)

    return width_of


def along_ring(
    ax: Axes,
    label: Label,
    middle: float,
    ring: tuple[float, float],
    color: str,
    face: Face = Face(),
) -> None:
    """
    Write lines that follow the ring, upright in the lower half too.

    Parameters
    ----------
    ax : Axes
    label : Label
    middle : float
        Degrees of the sector's middle.
    ring : (float, float)
        Inner and outer radius.
    color : str
    face : Face
    """
    from matplotlib.font_manager import FontProperties
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path
    from matplotlib.textpath import TextPath

    font = FontProperties(family="DejaVu Sans", weight=face.weight, style=face.style)
    width_of = text_widths(face)
    down = reads_upside_down(middle)
    radii = line_radii(len(label.lines), label.size, *ring)
    for line, radius in zip(label.lines[::-1] if down else label.lines, radii, strict=True):
        glyphs = TextPath((0, 0), line.replace("$", r"\$"), size=REFERENCE, prop=font)
        x, y = glyphs.vertices.T / REFERENCE * label.size
        x = x - width_of(line) * label.size / 2
        y = y - MIDDLE_HEIGHT * label.size
        turn = -1 if down else 1
        angles = middle + turn * np.degrees(x / radius)
        bent = np.stack(point(radius + turn * y, angles), axis=1)
        ax.add_patch(PathPatch(Path(bent, glyphs.codes), facecolor=color, lw=0, zorder=5))


def across_ring(
    ax: Axes,
    label: Label,
    middle: float,
    color: str,
    face: Face = Face(),
    *,
    flush: bool = False,
) -> None:
    """
    Write lines that follow the radii, readable from the right on the left half too.

    Parameters
    ----------
    ax, label, middle, color, face
        As for `along_ring`.
    flush : bool
        Whether every line starts at the inner end, rather than stands in the middle.
    """
    inwards = runs_inwards(middle)
    rotation = (270 - middle if inwards else 90 - middle) % 360
    radius, side = label.start, "right" if inwards else "left"
    if not flush:
        widest = max(map(text_widths(face), label.lines))
        radius, side = label.start + widest * label.size / 2, "center"
    count = len(label.lines)
    for at, line in enumerate(label.lines):
        # lines lie side by side: shift each along the tangent, the first one on top
        shift = ((count - 1) / 2 - at) * LINE * label.size - MIDDLE_HEIGHT * label.size
        turn = 1 if inwards else -1
        x, y = point(radius, middle)
        along_x, along_y = point(1, middle + 90)
        ax.text(
            x + turn * shift * along_x,
            y + turn * shift * along_y,
            line,
            rotation=rotation,
            rotation_mode="anchor",
            ha=side,
            va="baseline",
            fontsize=label.size * ax.points_per_mm,
            color=color,
            weight=face.weight,
            style=face.style,
            parse_math=False,
            zorder=5,
        )
