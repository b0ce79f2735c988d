"""The indices of every number of classes and subclasses considered."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from felloe.clustering import figure_words
from felloe.ground.drawing import ACCENT, INK, MUTED, RULE, figure
from felloe.ground.files.tables import Row

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure, SubFigure

Tiers = Mapping[str, Sequence[Row]]

WIDTH_MM = 240
PANELS_MM, LINE_MM = 115, 20  # height of a tier with panels, and of one that is a line of text
# Column, title, and the column of the same without structure.
PANELS = (
    ("silhouette", "Mean silhouette", None),
    ("gap", "Gap statistic", None),
    ("height_gap", "Height gap at the cut", None),
    ("minimum_jaccard", "Smallest mean Jaccard of a group", "null_largest_jaccard"),
    ("pac", "Ambiguous pairs (PAC)", "null_pac"),
    ("bootstrap_rand", "Bootstrap agreement (ARI)", None),
)
BETTER = {"pac": "less is better"}


def class_counts_page(rows: Sequence[Row], study: str) -> "Figure":
    """
    Draw the indices of the numbers of classes and subclasses on a page.

    Parameters
    ----------
    rows : sequence of dict
        Of `class_counts.csv`.
    study : str
        Title of the study.

    Returns
    -------
    matplotlib.figure.Figure
    """
    tiers = {
        f"Number of {many}: {study}": [row for row in rows if row["tier"] == tier]
        for tier, many in figure_words.TIERS.items()
    }
    fig = figure(*size_mm(tiers))
    draw_class_counts(fig, tiers)
    return fig


def draw_index(
    ax: "Axes", rows: Sequence[Row], column: str, title: str, null_column: str | None
) -> None:
    """
    Draw one index over the numbers considered.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    rows : list of dict
        Of `class_counts.csv`, one per number, ascending.
    column, title : str
    null_column : str or None
        Drawn as the value without structure.
    """
    numbers = np.array([row["n_classes"] for row in rows])
    values = np.array([row[column] for row in rows])
    ax.plot(numbers, values, color=INK, lw=1.1, zorder=2)
    open_cut = np.array([row["tied"] or not row["below_null"] for row in rows])
    ax.plot(numbers[~open_cut], values[~open_cut], "o", ms=3.5, color=INK, zorder=3)
    ax.plot(numbers[open_cut], values[open_cut], "o", ms=3.5, mfc="white", mec=INK, zorder=3)
    if null_column:
        null = [row[null_column] for row in rows]
        ax.plot(numbers, null, color=MUTED, lw=1.0, ls=(0, (3, 2)), zorder=1)
    chosen = np.array([row["chosen"] for row in rows])
    ax.plot(numbers[chosen], values[chosen], "o", ms=8, mfc="none", mec=ACCENT, mew=1.4, zorder=4)
    ax.set_title(title + (f", {BETTER[column]}" if column in BETTER else ""), fontsize=8)
    step = max(1, int(np.ceil(len(numbers) / 8)))
    ax.set_xticks(numbers[::step])
    ax.margins(x=0.06, y=0.16)
    ax.grid(axis="y", color=RULE, lw=0.4)
    ax.set_axisbelow(True)
    ax.tick_params(labelsize=6.5)


def size_mm(tiers: Tiers) -> tuple[float, float]:
    """Return width and height of the page in millimetres."""
    return WIDTH_MM, sum(map(tier_mm, tiers.values()))


def tier_mm(rows: Sequence[Row]) -> int:
    """Return the height of a tier; a single number has nothing to be compared with."""
    return LINE_MM if len(rows) == 1 else PANELS_MM


def draw_class_counts(fig: "Figure", tiers: Tiers) -> None:
    """
    Draw all indices, one row of panels per tier, or a line of text for a single number.

    Parameters
    ----------
    fig : matplotlib.figure.Figure
        Of the size that `size_mm` gives.
    tiers : dict of str to list of dict
        Rows of each tier by its title.
    """
    heights = [tier_mm(rows) for rows in tiers.values()]
    parts = fig.subfigures(len(tiers), 1, squeeze=False, hspace=0, height_ratios=heights)
    look: dict[str, Any] = {
        "fontsize": 9,
        "fontweight": "bold",
        "color": INK,
        "ha": "left",
        "va": "top",
    }
    for part, (title, rows), height in zip(parts[:, 0], tiers.items(), heights, strict=True):
        part.suptitle(title, x=0.012, y=1 - 2.3 / height, **look)
        if len(rows) == 1:
            draw_single(part, rows[0])
        else:
            draw_panels(part, rows)


def draw_single(part: "SubFigure", row: Row) -> None:
    """Say that one number was considered."""
    told = figure_words.only_number(row["n_classes"])
    part.text(0.012, 0.5, told, fontsize=8, color=INK, va="center")


def draw_panels(part: "SubFigure", rows: Sequence[Row]) -> None:
    """Draw a panel for every index, and the key below them."""
    for ax, panel in zip(part.subplots(2, 3).flat, PANELS, strict=True):
        draw_index(ax, rows, *panel)
    part.subplots_adjust(left=0.06, right=0.98, top=0.84, bottom=0.13, hspace=0.5, wspace=0.24)
    part.text(0.012, 0.025, figure_words.CUTS_KEY, fontsize=6.5, color=MUTED)
