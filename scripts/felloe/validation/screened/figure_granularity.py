"""How coarsely each population sorted: bars that hold a few people at the least."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import comb
from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np

from felloe.ground.arrays import Floats
from felloe.ground.drawing import CLASS_CYCLE, INK, RULE, figure
from felloe.ground.files.tables import Row
from felloe.validation.screened.granularity import (
    QUARTILES,
    at_equal_number,
    least_placed,
    sizes_told,
    summary,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LABEL_WIDTH = 22  # characters in a line
WIDTH_MM, ROW_MM, MARGIN_MM = 220, 26, 34
VALUES = 2.0  # that somebody can have in the narrowest cell: of one, the ends would be somebody's
ROUND = (1.0, 2.0, 5.0, 10.0)  # widths of a bar, times a power of ten
BASE, TALLEST = 0.3, 0.58  # of a row: where its bars stand, and how high they go at the most


@dataclass(frozen=True)
class Bars:
    """
    How one measure is spread over the people of a population.

    Attributes
    ----------
    edges : list of (float, float)
        From (included) and to (not included) of each bar.
    counts : list of int
        People in each.
    quartiles : tuple of float
        Lower, median, upper; nan where it would tell of a few people.
    """

    edges: list[tuple[float, float]]
    counts: list[int]
    quartiles: tuple[float, float, float]


@dataclass(frozen=True)
class GranularityView:
    """
    What is drawn.

    Attributes
    ----------
    labels : tuple of str
        One per population.
    n_people : tuple of int
    n_piles, pairs_together : list of Bars
        One per population.
    title : str
        Of the numbers of piles.
    whole : bool
        Whether everybody was shown the whole lexicon.
    """

    labels: tuple[str, ...]
    n_people: tuple[int, ...]
    n_piles: list[Bars]
    pairs_together: list[Bars]
    title: str
    whole: bool


def granularity_view(
    people: Iterable[Row],
    labels: Mapping[str, str],
    n_terms: int,
    least: int,
    partial: bool = False,
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
    least : int
        People that a bar has to hold.
    partial : bool
        Whether each was shown some of the terms: then piles are those of an equal number of terms.
    """
    kept = [person for person in people if person["status"] == "kept"]
    if partial:
        n_terms = least_placed(sizes_told(kept))
        kept = at_equal_number(kept)
    groups: dict[str, list[Row]] = {name: [] for name in labels}
    for person in kept:
        groups[person["population"]].append(person)
    groups = {name: members for name, members in groups.items() if members}
    share = max(0.01, VALUES / max(1, comb(n_terms, 2)))
    return GranularityView(
        tuple(labels[name] for name in groups),
        tuple(len(members) for members in groups.values()),
        bars_of(list(groups.values()), "n_piles", least, narrowest=VALUES),
        bars_of(list(groups.values()), "pairs_together_share", least, narrowest=share),
        "Piles of an equal number of terms" if partial else f"Piles made of {n_terms} terms",
        whole=not partial,
    )


def bars_of(
    groups: Sequence[Sequence[Row]], measure: str, least: int, narrowest: float
) -> list[Bars]:
    """Return one measure of each group as bars, all on one grid."""
    values = [np.array([float(person[measure]) for person in members]) for members in groups]
    step = grid_step(np.concatenate(values), narrowest)
    bars = []
    for members, found in zip(groups, values, strict=True):
        told = summary(measure, members, least)
        lower, median, upper = (told[name] for name in QUARTILES)
        bars.append(Bars(*joined_bars(found, step, least), (lower, median, upper)))
    return bars


def grid_step(values: Floats, narrowest: float) -> float:
    """
    Return the width of the grid's cells.

    References
    ----------
    Freedman & Diaconis (1981), On the histogram as a density estimator, Zeitschrift fuer
    Wahrscheinlichkeitstheorie und verwandte Gebiete (from memory); made round.
    """
    low, high = np.quantile(values, [0.25, 0.75])
    wanted = max(2.0 * float(high - low) / len(values) ** (1 / 3), narrowest)
    power = 10.0 ** np.floor(np.log10(wanted))
    return float(next(round(each * power, 10) for each in ROUND if each * power >= wanted - 1e-9))


def joined_bars(
    values: Floats, step: float, least: int
) -> tuple[list[tuple[float, float]], list[int]]:
    """
    Return bars over a grid, each of cells that together hold `least` people or more.

    Cells are joined from the left; what is left over at the right joins the bar before it. A cell
    in which nobody is stays a gap between bars. The ends are the grid's, not somebody's value.
    """
    cells = np.floor(values / step + 1e-9).astype(int)
    edges: list[tuple[float, float]] = []
    counts: list[int] = []
    first, held = None, 0
    for cell in range(int(cells.min()), int(cells.max()) + 1):
        here = int((cells == cell).sum())
        if first is None and not here:
            continue
        first = cell if first is None else first
        held += here
        if held >= least:
            edges.append((first * step, (cell + 1) * step))
            counts.append(held)
            first, held = None, 0
    if held and counts:
        edges[-1] = (edges[-1][0], (int(cells.max()) + 1) * step)
        counts[-1] += held
    return edges, counts


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
    draw_rows(left, view.n_piles)
    draw_rows(right, view.pairs_together)
    left.set_title(view.title)
    left.set_xlabel("piles per participant")
    right.set_title("Pairs put together")
    right.set_xlabel(
        f"share of {'all pairs' if view.whole else 'the pairs shown'}, per participant"
    )
    labels = [
        f"{fill(label, LABEL_WIDTH)}\n(n = {n})"
        for label, n in zip(view.labels, view.n_people, strict=True)
    ]
    left.set_yticks(range(len(labels)), labels, color=INK)
    left.set_ylim(len(labels) - 0.42, -0.58)
    fig.subplots_adjust(left=0.2, right=0.98, top=1 - 9 / height, bottom=18 / height, wspace=0.08)
    words = "bar: people in a range, its area their share; line below: lower to upper quartile, "
    fig.text(0.98, 2.5 / height, f"{words}dot: median", ha="right", fontsize=7, color=INK)
    return fig


def draw_rows(ax: "Axes", groups: list[Bars]) -> None:
    """Draw the bars of each population in a row of its own, all on one scale."""
    densest = max((max(densities(bars)) for bars in groups if bars.counts), default=1.0)
    for row, bars in enumerate(groups):
        colour = CLASS_CYCLE[row % len(CLASS_CYCLE)]
        for (low, high), n, density in zip(bars.edges, bars.counts, densities(bars), strict=True):
            tall = TALLEST * density / densest
            bottom = row + BASE
            ax.bar(
                low, -tall, high - low, bottom, align="edge", color=colour, alpha=0.45,
                edgecolor=colour, linewidth=0.8,
            )  # fmt: skip
            ax.annotate(
                str(n), ((low + high) / 2, bottom - tall), (0, 1.5), textcoords="offset points",
                ha="center", va="bottom", fontsize=6.5, color=INK,
            )  # fmt: skip
        lower, median, upper = bars.quartiles
        ax.plot([lower, upper], [row + BASE + 0.07] * 2, color=colour, linewidth=2)
        ax.plot(median, row + BASE + 0.07, "o", color=colour, markersize=4.5)
    ax.set_xlim(left=0)
    ax.grid(axis="x", color=RULE, linewidth=0.5)
    ax.set_axisbelow(True)
    ax.tick_params(axis="y", length=0)


def densities(bars: Bars) -> list[float]:
    """Return the share of people in each bar, by its width."""
    people = sum(bars.counts)
    return [
        n / people / (high - low) for n, (low, high) in zip(bars.counts, bars.edges, strict=True)
    ]
