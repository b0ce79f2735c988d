"""How coarsely each population sorted: one dot per participant."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np

from felloe.ground.arrays import Floats
from felloe.ground.drawing import CLASS_CYCLE, INK, RULE, figure
from felloe.ground.files.tables import Row

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LABEL_WIDTH = 22  # characters in a line
WIDTH_MM, ROW_MM, MARGIN_MM = 220, 20, 34
DOT_ROWS = 7  # heights at which dots of equal value are put, so that they do not cover each other


@dataclass(frozen=True)
class GranularityView:
    """
    What is drawn.

    Attributes
    ----------
    labels : tuple of str
        One per population.
    n_piles, pairs_together : list of array
        One array per population, one value per analysed participant, ascending.
    n_terms : int
    """

    labels: tuple[str, ...]
    n_piles: list[Floats]
    pairs_together: list[Floats]
    n_terms: int


def granularity_view(
    people: Iterable[Row], labels: Mapping[str, str], n_terms: int
) -> GranularityView:
    """
    Return what is drawn of those who are kept.

    Parameters
    ----------
    people : iterable of dict
        Rows of `validation/participants.csv`.
    labels : mapping of str to str
        Of the populations, in the order in which they are drawn.
    n_terms : int
    """
    groups: dict[str, list[Row]] = {name: [] for name in labels}
    for person in people:
        if person["status"] == "kept":
            groups[person["population"]].append(person)
    groups = {name: members for name, members in groups.items() if members}
    piles, shares = (
        [np.sort([float(person[measure]) for person in members]) for members in groups.values()]
        for measure in ("n_piles", "pairs_together_share")
    )
    return GranularityView(tuple(labels[name] for name in groups), piles, shares, n_terms)


def draw_granularity(view: GranularityView) -> "Figure":
    """
    Draw the number of piles and the share of pairs together, by population.

    Parameters
    ----------
    view : GranularityView

    Returns
    -------
    Figure
    """
    height = MARGIN_MM + ROW_MM * len(view.labels)
    fig = figure(WIDTH_MM, height)
    left, right = fig.subplots(1, 2, sharey=True)
    draw_strips(left, view.n_piles)
    draw_strips(right, view.pairs_together)
    left.set_title(f"Piles made of {view.n_terms} terms")
    left.set_xlabel("piles per participant")
    right.set_title("Pairs put together")
    right.set_xlabel("share of all pairs, per participant")
    labels = [
        f"{fill(label, LABEL_WIDTH)}\n(n = {len(values)})"
        for label, values in zip(view.labels, view.n_piles, strict=True)
    ]
    left.set_yticks(range(len(labels)), labels, color=INK)
    left.set_ylim(len(labels) - 0.45, -0.55)
    fig.subplots_adjust(left=0.2, right=0.98, top=1 - 9 / height, bottom=18 / height, wspace=0.08)
    fig.text(
        0.98,
        2.5 / height,
        "bar: lower to upper quartile; line: median",
        ha="right",
        fontsize=7,
        color=INK,
    )
    return fig


def draw_strips(ax: "Axes", groups: list[Floats]) -> None:
    """Draw one strip of dots per population, over a bar from quartile to quartile."""
    for row, values in enumerate(groups):
        colour = CLASS_CYCLE[row % len(CLASS_CYCLE)]
        low, median, high = np.quantile(values, [0.25, 0.5, 0.75])
        ax.barh(row, high - low, left=low, height=0.7, color=colour, alpha=0.18, linewidth=0)
        ax.plot([median, median], [row - 0.35, row + 0.35], color=colour, linewidth=1.6)
        ax.scatter(values, row + heights(values), s=11, color=colour, alpha=0.75, linewidths=0)
    ax.set_xlim(left=0)
    ax.grid(axis="x", color=RULE, linewidth=0.5)
    ax.set_axisbelow(True)
    ax.tick_params(axis="y", length=0)


def heights(values: Floats) -> Floats:
    """Return small steps up and down, by rank, that part neighbouring dots without chance."""
    ranks = np.empty(len(values), dtype=int)
    ranks[np.argsort(values, kind="stable")] = np.arange(len(values))
    return np.asarray(((ranks * 3) % DOT_ROWS - DOT_ROWS // 2) / DOT_ROWS * 0.6)
