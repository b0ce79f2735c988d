"""How often each term keeps its published class when the analysis is done otherwise."""

import numpy as np

from felloe.ground.axis_names import name_columns, name_rows
from felloe.ground.drawing import INK, MUTED, RULE

ROW_MM = 3.6
WIDTH_MM = 260
WORDS = {"n_classes": "classes"}


def size_mm(n_terms):
    """Return width and height of the page in millimetres."""
    return WIDTH_MM, max(100.0, 58.0 + ROW_MM * n_terms)


def draw_shares(ax, terms, shares, colours):
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
        words = f"{100 * shares[row]:.0f}"
        ax.text(shares[row] + 0.012, row, words, fontsize=6, va="center", color=INK)
    name_rows(ax, terms, 6.8, pad=3.5)
    ax.set_xlim(0, 1.08)
    ax.set_ylim(len(terms) - 0.5, -0.6)
    ax.set_xticks([0, 0.25, 0.5, 0.75, 1], ["0", "25", "50", "75", "100 %"])
    ax.set_title("Universes that give the published class", fontsize=8, pad=18)
    ax.grid(axis="x", color=RULE, lw=0.4)
    ax.set_axisbelow(True)


def draw_levels(ax, levels, by_level):
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
    style = {"cmap": "Greys_r", "vmin": 0, "vmax": 1.15, "interpolation": "nearest"}
    ax.imshow(by_level, aspect="auto", **style)
    ax.set_yticks([])
    names = [level.replace("_", " ") for _, level in levels]
    name_columns(ax, names, 6.8, pad=3.5, rotation=55, ha="right")
    ax.set_ylim(len(by_level) - 0.5, -0.6)
    ax.set_title("within each choice (black: never, light: always)", fontsize=8, pad=18)
    choices = [choice for choice, _ in levels]
    for choice in dict.fromkeys(choices):
        inside = [place for place, one in enumerate(choices) if one == choice]
        if inside[0]:
            ax.axvline(inside[0] - 0.5, color=INK, lw=1.2)
        ax.text(
            np.mean(inside), -0.9, WORDS.get(choice, choice), ha="center", va="bottom",
            fontsize=7, color=MUTED,
        )  # fmt: skip
