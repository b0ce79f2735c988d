"""How often each term keeps its published class when the analysis is done otherwise."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from felloe.ground.arrays import Floats
from felloe.ground.axis_names import name_columns, name_rows
from felloe.ground.drawing import ACCENT, INK, MUTED, RULE, figure
from felloe.ground.groups.partition import Partition
from felloe.ground.many_terms import SENSITIVITY_ROWS
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.terms import check_same
from felloe.sensitivity import figure_words
from felloe.sensitivity.universes import LevelShares

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROW_MM = 3.6
WIDTH_MM = 260
FOOT_MM, HEAD_MM = 32, 32


def sensitivity_page(
    found: LevelShares,
    published: Partition,
    labels: Mapping[str, str],
    colours: Sequence[str],
    title: str,
) -> "Figure":
    """
    Draw the share of universes of every term, the least settled first.

    Of more than `SENSITIVITY_ROWS` only the least settled are drawn.

    Parameters
    ----------
    found : LevelShares
    published : Partition
        Published classes of the same terms.
    labels : mapping of str to str
        By term.
    colours : sequence of str
        One per class.
    title : str

    Returns
    -------
    matplotlib.figure.Figure
    """
    check_same(found.terms, published.terms, "the shares", "the published classes")
    order = np.lexsort([published.labels, np.round(found.share, PRODUCT_DECIMALS)])
    order = order[: SENSITIVITY_ROWS.most]
    width, height = size_mm(len(order))
    fig = figure(width, height)
    low, room = FOOT_MM / height, 1 - (FOOT_MM + HEAD_MM) / height
    bars, grid = fig.add_axes((0.2, low, 0.42, room)), fig.add_axes((0.65, low, 0.33, room))
    shades = [colours[published.labels[one]] for one in order]
    draw_shares(bars, [labels[found.terms[one]] for one in order], found.share[order], shades)
    draw_levels(grid, found.levels, found.by_level[order])
    fig.text(0.02, 1 - 5 / height, title, fontsize=12, fontweight="bold", va="top")
    if len(order) < len(found.terms):
        said = figure_words.least_settled(len(order), len(found.terms))
        fig.text(0.02, 1 - 17 / height, said, fontsize=7.5, va="top", color=ACCENT)
    return fig


def size_mm(n_terms: int) -> tuple[float, float]:
    """Return width and height of the page in millimetres."""
    return WIDTH_MM, max(100.0, 58.0 + ROW_MM * n_terms)


def draw_shares(ax: "Axes", terms: Sequence[str], shares: Floats, colours: Sequence[str]) -> None:
    """
    Draw the share of universes that give each term its published class.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    terms : list of str
        Labels from top to bottom.
    shares : (N,) array of float
    colours : list of str
        One per term.
    """
    rows = np.arange(len(terms))
    ax.barh(rows, shares, color=colours, height=0.66)
    for row in rows[shares < 0.9995]:
        percent = f"{100 * shares[row]:.0f}"
        ax.text(shares[row] + 0.012, row, percent, fontsize=6, va="center", color=INK)
    name_rows(ax, terms, 6.8, pad=3.5)
    ax.set_xlim(0, 1.08)
    ax.set_ylim(len(terms) - 0.5, -0.6)
    ax.set_xticks([0, 0.25, 0.5, 0.75, 1], ["0", "25", "50", "75", "100 %"])
    ax.set_title(figure_words.SHARES, fontsize=8, pad=18)
    ax.grid(axis="x", color=RULE, lw=0.4)
    ax.set_axisbelow(True)


def draw_levels(ax: "Axes", levels: Sequence[tuple[str, str]], by_level: Floats) -> None:
    """
    Draw the same share within each level of each choice, as shades.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    levels : list of (str, str)
        Choice and level of every column.
    by_level : (N, L) array of float
        Terms from top to bottom.
    """
    style: dict[str, Any] = {"cmap": "Greys_r", "vmin": 0, "vmax": 1.15, "interpolation": "nearest"}
    ax.imshow(by_level, aspect="auto", **style)
    ax.set_yticks([])
    names = [figure_words.level(level) for _, level in levels]
    name_columns(ax, names, 6.8, pad=3.5, rotation=55, ha="right")
    ax.set_ylim(len(by_level) - 0.5, -0.6)
    ax.set_title(figure_words.LEVELS, fontsize=8, pad=18)
    choices = [choice for choice, _ in levels]
    for choice in dict.fromkeys(choices):
        inside = [place for place, one in enumerate(choices) if one == choice]
        if inside[0]:
            ax.axvline(inside[0] - 0.5, color=INK, lw=1.2)
        ax.text(
            float(np.mean(inside)), -0.9, figure_words.choice(choice), ha="center", va="bottom",
            fontsize=7, color=MUTED,
        )  # fmt: skip
