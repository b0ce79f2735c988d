"""How well a map follows the data: every pair, more dimensions, and the terms that fit worst."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from felloe.comparison.provisional_words import marked
from felloe.ground.arrays import Floats
from felloe.ground.axis_names import name_rows
from felloe.ground.drawing import ACCENT, INK, MUTED, RULE, figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WORST = 12  # terms listed


@dataclass(frozen=True)
class ShepardView:
    """
    What the figure shows.

    Attributes
    ----------
    dissimilarities, distances, disparities : (n_pairs,) array of float
    curve : list of (int, float)
        Dimensions and stress-1.
    labels : tuple of str
    stress_percent : (n,) array of float
    record : mapping
        `map.json`.
    provisional : bool
        Whether the chart is.
    n_pairs : int, optional
        All pairs, where not all are shown.
    """

    dissimilarities: Floats
    distances: Floats
    disparities: Floats
    curve: list[tuple[int, float]]
    labels: tuple[str, ...]
    stress_percent: Floats
    record: Mapping[str, Any]
    provisional: bool = False
    n_pairs: int | None = None

    @property
    def title(self) -> str:
        """What the first panel shows."""
        stress = f"stress-1 {self.record['stress_1']:.3f}"
        shown, every = len(self.distances), self.n_pairs or 0
        if every <= shown:
            return f"Every pair: {stress}"
        return f"{shown:,} of {every:,} pairs: {stress}"


def draw_shepard(view: ShepardView) -> "Figure":
    """
    Draw the three panels.

    Parameters
    ----------
    view : ShepardView

    Returns
    -------
    matplotlib.figure.Figure
    """
    fig = figure(240, 92)
    pairs, curve, worst = fig.subplots(1, 3, gridspec_kw={"width_ratios": [1.25, 1, 1]})
    fig.subplots_adjust(left=0.06, right=0.985, bottom=0.16, top=0.88, wspace=0.42)
    draw_pairs(pairs, view)
    draw_curve(curve, view)
    draw_worst(worst, view)
    return fig


def draw_pairs(ax: "Axes", view: ShepardView) -> None:
    """Draw the distance of every pair on the map against its dissimilarity."""
    ax.plot(
        view.dissimilarities,
        view.distances,
        "o",
        ms=1.6,
        mfc=MUTED,
        mec="none",
        alpha=0.35,
        rasterized=True,
    )
    order = np.lexsort((view.disparities, view.dissimilarities))
    ax.plot(
        view.dissimilarities[order],
        view.disparities[order],
        color=ACCENT,
        lw=1.2,
        label="what the data ask for",
    )
    ax.set(
        xlabel="share of participants who kept the pair apart",
        ylabel="distance on the map",
        title=marked(view.title, view.provisional),
        ylim=(0, None),
    )
    ax.legend(frameon=False, loc="upper left", fontsize=7)


def draw_curve(ax: "Axes", view: ShepardView) -> None:
    """Draw the stress in more dimensions, with sorts without structure in two."""
    dimensions, stress = zip(*view.curve)
    ax.plot(dimensions, stress, "o-", color=INK, ms=3.5, lw=1)
    null = view.record["null"]
    ax.plot([2], [null["mean"]], "x", color=ACCENT, ms=6)
    ax.annotate(
        "two dimensions,\nsorts without structure",
        (2, null["mean"]),
        (7, 0),
        textcoords="offset points",
        fontsize=6.5,
        color=ACCENT,
        va="center",
    )
    ax.set(
        xlabel="dimensions",
        ylabel="stress-1",
        xticks=dimensions,
        title="More dimensions",
        ylim=(0, 1.12 * max(*stress, null["mean"])),
    )


def draw_worst(ax: "Axes", view: ShepardView) -> None:
    """Draw the terms with the largest share of the misfit."""
    order = np.argsort(-view.stress_percent, kind="stable")[:WORST][::-1]
    places = np.arange(len(order))
    ax.barh(places, view.stress_percent[order], color=RULE, height=0.72)
    name_rows(ax, [view.labels[i] for i in order], 6.5, pad=3.5)
    ax.axvline(100.0 / len(view.labels), color=ACCENT, lw=0.8)
    ax.set(xlabel="percent of the misfit (line: even share)", title="Terms that fit worst")
