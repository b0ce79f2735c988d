"""How the distances of two editions compare."""

from typing import TYPE_CHECKING

import numpy as np

from felloe.editions.words import PAIRS_TITLE, distance_axes
from felloe.ground.distances import Distances
from felloe.ground.drawing import ACCENT, RULE
from felloe.ground.terms import check_same

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_distances(
    ax: "Axes", older: Distances, newer: Distances, editions: tuple[str, str]
) -> None:
    """
    Draw how the distances of the two editions compare, pair of terms by pair of terms.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    older, newer : Distances
        Of the common terms under the same ids.
    editions : (str, str)
    """
    check_same(older.terms, newer.terms, "the older distances", "the newer ones")
    ax.plot([0, 1], [0, 1], color=RULE, lw=1, zorder=0)
    pairs = np.tril_indices(len(older.terms), -1)
    x, y = older.D[pairs], newer.D[pairs]
    ax.scatter(x, y, s=7, color=ACCENT, alpha=0.25, linewidths=0, rasterized=True)
    ax.set(xlim=(-0.02, 1.02), ylim=(-0.02, 1.02), aspect="equal")
    below, beside = distance_axes(*editions)
    ax.set_xlabel(below)
    ax.set_ylabel(beside)
    ax.set_title(PAIRS_TITLE)
