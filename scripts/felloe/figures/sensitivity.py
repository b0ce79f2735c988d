"""How often each term keeps its published class when the analysis is done otherwise."""

import numpy as np

from felloe.figures.style import INK, MUTED, RULE

ROW_MM = 3.6
WIDTH_MM = 260
WORDS = {"n_classes": "classes"}


def size_mm(n_terms):
    """Return width and height of the page in millimetres."""
    return WIDTH_MM, max(100.0, 58.0 + ROW_MM * n_terms)


def draw_sensitivity(bars, grid, terms, classes, share, levels, by_level, colours):
    """
    Draw the share of universes per term, and the same within each level of each choice.

    Parameters
    ----------
    bars, grid : matplotlib.axes.Axes
        Side by side.
    terms : list of str
        Labels from top to bottom.
    classes : (N,) array of int
        For the colour of each term.
    share : (N,) array of float
    levels : list of (str, str)
        Choice and level of every column of the grid.
    by_level : (N, L) array of float
    colours : list of str
        One per class.
    """
    rows = np.arange(len(terms))
    bars.barh(rows, share, color=[colours[int(one)] for one in classes], height=0.66)
    for row in rows:
        if share[row] < 0.9995:
            bars.text(
                share[row] + 0.012,
                row,
                f"{100 * share[row]:.0f}",
                fontsize=6,
                va="center",
                color=INK,
            )
    bars.set_yticks(rows, terms, fontsize=6.8, color=INK)
    bars.set_xlim(0, 1.08)
    bars.set_xticks([0, 0.25, 0.5, 0.75, 1], ["0", "25", "50", "75", "100 %"])
    bars.set_title("Universes that give the published class", fontsize=8, pad=18)
    bars.tick_params(axis="y", length=0)
    bars.grid(axis="x", color=RULE, lw=0.4)
    bars.set_axisbelow(True)
    image = grid.imshow(
        by_level, cmap="Greys_r", vmin=0, vmax=1.15, aspect="auto", interpolation="nearest"
    )
    grid.set_yticks([])
    grid.set_xticks(
        range(len(levels)),
        [level.replace("_", " ") for _, level in levels],
        rotation=55,
        ha="right",
        fontsize=6.8,
    )
    grid.tick_params(length=0)
    grid.set_title("within each choice (black: never, light: always)", fontsize=8, pad=18)
    choices = [choice for choice, _ in levels]
    for place in range(1, len(levels)):
        if choices[place] != choices[place - 1]:
            grid.axvline(place - 0.5, color=INK, lw=1.2)
    for choice in dict.fromkeys(choices):
        inside = [place for place, one in enumerate(choices) if one == choice]
        grid.text(
            np.mean(inside), -0.9, WORDS.get(choice, choice), ha="center", va="bottom",
            fontsize=7, color=MUTED,
        )  # fmt: skip
    for ax in (bars, grid):
        ax.set_ylim(len(terms) - 0.5, -0.6)
    return image
