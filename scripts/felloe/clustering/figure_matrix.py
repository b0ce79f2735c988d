"""The ordered matrix: who was put together, terms in the order of the tree."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from felloe.clustering import figure_words
from felloe.ground.arrays import Floats, Ints
from felloe.ground.axis_names import name_columns, name_rows
from felloe.ground.drawing import MUTED, PAPER, figure
from felloe.ground.many_terms import MATRIX_NAMES

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.image import AxesImage

PAGE_MM = (297, 310)
CLASS_POINTS = 7.0
APART = 0.014  # of the matrix's height between the names of two classes
SHADES = (PAPER, "#d9e2dd", "#9bb5a9", "#55806f", "#1f4d40", "#0b231d")


def matrix_page(
    similar: Floats,
    order: Ints,
    classes: Ints,
    labels: Sequence[str],
    colours: Sequence[str],
    study: str,
    class_names: Sequence[str],
) -> "Figure":
    """
    Draw the ordered matrix on a page of its own.

    Parameters
    ----------
    similar, order, classes, labels, colours
        As for `draw_matrix`.
    study : str
        Title of the study.
    class_names : list of str
        One per class.

    Returns
    -------
    matplotlib.figure.Figure
    """
    fig = figure(*PAGE_MM)
    ax = fig.add_axes((0.15, 0.14, 0.82, 0.785))
    image = draw_matrix(ax, similar, order, classes, labels, colours, class_names)
    title = f"Who was put together: {study}"
    fig.text(0.02, 0.985, title, fontsize=12, fontweight="bold", va="top")
    words = figure_words.matrix_key(len(order), len(order) <= MATRIX_NAMES.most)
    fig.text(0.02, 0.962, words, fontsize=7.5, va="top")
    key = fig.add_axes((0.72, 0.955, 0.25, 0.012))
    bar = fig.colorbar(image, cax=key, orientation="horizontal", ticks=[0, 0.25, 0.5, 0.75, 1])
    bar.outline.set_visible(False)
    bar.ax.tick_params(labelsize=7, length=2)
    return fig


def draw_matrix(
    ax: "Axes",
    similar: Floats,
    order: Ints,
    classes: Ints,
    labels: Sequence[str],
    colours: Sequence[str],
    class_names: Sequence[str] = (),
) -> "AxesImage":
    """
    Draw shares as shades, with the borders of the classes.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    similar : (N, N) array of float
        0 to 1.
    order : (N,) array of int
    classes : (N,) array of int
    labels : list of str
    colours : list of str
        One per class.
    class_names : list of str
        One per class; they are written where the terms have no room.

    Returns
    -------
    matplotlib.image.AxesImage
        For the key.
    """
    from matplotlib.colors import LinearSegmentedColormap

    n_terms = len(order)
    shades = LinearSegmentedColormap.from_list("shares", SHADES)
    ordered = similar[np.ix_(order, order)].copy()
    np.fill_diagonal(ordered, np.nan)
    image = ax.imshow(ordered, cmap=shades, vmin=0, vmax=1, interpolation="nearest")
    along = classes[order]
    starts = np.flatnonzero(np.append(True, along[1:] != along[:-1]))
    ends = np.append(starts[1:], n_terms)
    for first, last in zip(starts, ends):
        colour = colours[int(along[first])]
        box = [first - 0.5, last - 0.5]
        ax.plot(
            [box[0], box[1], box[1], box[0], box[0]], [box[0], box[0], box[1], box[1], box[0]],
            color=colour, lw=1.6, clip_on=False, zorder=3,
        )  # fmt: skip
    size = points_of(n_terms)
    names = [labels[term] for term in order]
    if n_terms > MATRIX_NAMES.most:
        names, size = names_of_classes(along, starts, ends, class_names), CLASS_POINTS
    name_columns(ax, names, size)
    name_rows(ax, names, size)
    for side in ax.spines.values():
        side.set_visible(True)
        side.set_color(MUTED)
        side.set_linewidth(0.5)
    return image


def names_of_classes(
    along: Ints, starts: Ints, ends: Ints, class_names: Sequence[str]
) -> list[str]:
    """Return the name of a class for its middle row, "" for others; the largest choose first."""
    names = [""] * len(along)
    taken: list[int] = []
    for at in np.argsort(starts - ends, kind="stable"):
        row = int(starts[at] + ends[at] - 1) // 2
        if all(abs(row - other) >= APART * len(along) for other in taken):
            names[row] = class_names[int(along[row])]
            taken.append(row)
    return names


def points_of(n_terms: int) -> float:
    """Return how large the name of a term can be beside its row."""
    return min(7.0, 620.0 / n_terms)
