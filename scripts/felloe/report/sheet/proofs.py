"""Proofs of a sheet: in grey, and as people with a colour-vision deficiency see it."""

import io
from collections.abc import Callable
from functools import cache

import numpy as np

from felloe.colours.spaces import hex_of_srgb, linear_of_srgb, srgb_of_hex, srgb_of_linear
from felloe.colours.vision import DEFICIENCIES, simulate
from felloe.ground.arrays import Floats
from felloe.ground.drawing import INK, figure
from felloe.report.sheet.paper import A3
from felloe.report.sheet.raster import draw_on, paths_of
from felloe.report.sheet.shapes import Sheet
from felloe.report.typeface.shaping import Typesetter

DPI = 150
CAPTIONS = {
    "grey": "In grey, as a copier sees it",
    "protan": "Without the long-wave cones (protan), simulated",
    "deutan": "Without the middle-wave cones (deutan), simulated",
    "tritan": "Without the short-wave cones (tritan), simulated",
}
# weights of relative luminance for linear sRGB, IEC 61966-2-1 (from memory)
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])


def in_grey(linear: Floats) -> Floats:
    """Return greys of the same relative luminance, linear."""
    return np.repeat((linear @ LUMINANCE)[..., None], 3, axis=-1)


def recoloured(kind: str) -> Callable[[str], str]:
    """
    Return what turns a colour into how it is seen.

    Parameters
    ----------
    kind : {'grey', 'protan', 'deutan', 'tritan'}
    """

    @cache
    def seen(colour: str) -> str:
        linear = linear_of_srgb(srgb_of_hex([colour]))
        shown = simulate(linear, kind) if kind in DEFICIENCIES else in_grey(linear)
        (found,) = hex_of_srgb(srgb_of_linear(shown))
        return found

    return seen


def proofs_of(sheet: Sheet, setter: Typesetter) -> bytes:
    """Draw the four proofs of a sheet side by side, as PNG."""
    fig, drawn = figure(A3.width, A3.height), paths_of(sheet, setter)
    for at, (kind, caption) in enumerate(CAPTIONS.items()):
        left, low = 0.5 * (at % 2), 0.5 * (1 - at // 2)
        axes = fig.add_axes((left, low, 0.5, 0.485))
        axes.axis("off")
        scale = 0.485 * A3.width / sheet.width
        draw_on(axes, sheet, setter, recoloured(kind), scale, drawn)
        fig.text(left + 0.02, low + 0.487, caption, fontsize=10, color=INK, va="bottom")
    held = io.BytesIO()
    fig.savefig(held, format="png", dpi=DPI, metadata={"Software": None, "Title": sheet.title})
    return held.getvalue()
