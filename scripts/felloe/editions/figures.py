"""Two editions side by side: where the terms went, and how the distances compare."""

import textwrap
from collections.abc import Callable, Mapping, Sequence, Set
from typing import TYPE_CHECKING, Any

import numpy as np

from felloe.editions.correspondence import NO_CORRESPONDENCE, NOISE, NONE, POSSIBLE, ROBUST
from felloe.editions.words import PAIRS_TITLE, WAYS, class_label, distance_axes
from felloe.ground.distances import Distances
from felloe.ground.drawing import ACCENT, CLASS_CYCLE, INK, MUTED, RULE
from felloe.ground.files.tables import Row
from felloe.ground.terms import check_same

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Places = Mapping[str, float]  # the row of each term, from the top
ROW_MM = 3.6  # one term
GAP_ROWS = 0.9  # between classes
HEAD_ROWS = 3.0
LEFT, RIGHT = 0.36, 0.64  # of the width, where the two columns stand
NAME_CHARACTERS = 16  # of a class in one line
LABEL_CHARACTERS = 24  # of a term at full size; longer ones are set smaller
PLAIN = (0.7, "-")  # width and dash of the way of a term that did not move
MOVES: dict[str, tuple[float, Any]] = {
    ROBUST: (1.8, "-"),
    POSSIBLE: (1.2, (0, (4, 1.5))),
    NOISE: (0.9, (0, (1, 1.5))),
}
STYLES = {**MOVES, NO_CORRESPONDENCE: (0.7, (0, (6, 2, 1, 2)))}
KEY_PLACES = (0.05, 0.36, 0.56, 0.77)  # of the width, where the entries of the key begin


def migration_height(rows: Sequence[Row]) -> float:
    """
    Return the height that `draw_migration` needs.

    Parameters
    ----------
    rows : list of dict
        One per common term.

    Returns
    -------
    float
        Millimetres.
    """
    return (lowest(rows, columns_of(rows)) + HEAD_ROWS + 2.5) * ROW_MM


def lowest(rows: Sequence[Row], columns: Sequence[tuple[list[str], Places]]) -> float:
    """Return the number of rows that the longer column takes."""
    most = max(len(order) for order, _ in columns)
    return len(rows) + GAP_ROWS * most


def columns_of(rows: Sequence[Row]) -> list[tuple[list[str], Places]]:
    """
    Put the classes of both editions into an order with few crossings.

    Returns
    -------
    list of (classes, places)
        For the older and the newer edition: class ids from the top, and the row of each term.
    """
    older = sorted({row["class_older"] for row in rows})
    first = placed(rows, older, "class_older", lambda row: row["class_newer"])
    newer = sorted(
        {row["class_newer"] for row in rows},
        key=lambda name: (mean_place(rows, first, "class_newer", name), name),
    )
    rank = {name: place for place, name in enumerate(newer)}
    first = placed(rows, older, "class_older", lambda row: rank[row["class_newer"]])
    second = placed(rows, newer, "class_newer", lambda row: first[row["term"]])
    return [(older, first), (newer, second)]


def placed(
    rows: Sequence[Row], classes: Sequence[str], column: str, key: Callable[[Row], Any]
) -> dict[str, float]:
    """Return the row of each term, class by class, within a class by `key`."""
    places: dict[str, float] = {}
    line = 0.0
    for name in classes:
        members = [row for row in rows if row[column] == name]
        for row in sorted(members, key=lambda row: (key(row), row["term"])):
            places[row["term"]] = line
            line += 1.0
        line += GAP_ROWS
    return places


def mean_place(rows: Sequence[Row], places: Places, column: str, name: str) -> float:
    """Return the mean row of the terms of one class."""
    lines = [places[row["term"]] for row in rows if row[column] == name]
    return round(sum(lines) / len(lines), 6)


def draw_migration(
    ax: "Axes", rows: Sequence[Row], editions: tuple[str, str], heads: tuple[str, str]
) -> None:
    """
    Draw every common term's way from its older class to its newer one.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
        As wide as the page and `migration_height` high.
    rows : list of dict
        One per common term, from the editions' table of terms.
    editions : (str, str)
        What the two are called.
    heads : (str, str)
        The same over their columns, with what has to be said of them.
    """
    columns = columns_of(rows)
    ax.set(xlim=(0, 1), ylim=(lowest(rows, columns) + 2.5, -HEAD_ROWS))
    ax.set_axis_off()
    colours = {
        name: CLASS_CYCLE[place % len(CLASS_CYCLE)] for place, name in enumerate(columns[0][0])
    }
    (_, first), (_, second) = columns
    for row in sorted(rows, key=lambda row: (row["migration"] != NONE, row["term"])):
        draw_way(
            ax,
            first[row["term"]],
            second[row["term"]],
            row["migration"],
            colours[row["class_older"]],
        )
    for x, head, align in ((LEFT, heads[0], "right"), (RIGHT, heads[1], "left")):
        ax.text(x, -1.6, head, ha=align, va="center", fontsize=11, fontweight="bold", color=INK)
    for side, edition, (classes, places) in zip(("older", "newer"), editions, columns, strict=True):
        draw_labels(ax, rows, side, places)
        draw_classes(ax, rows, (side, edition), classes, places, colours)
    draw_key(ax, lowest(rows, columns) + 1.2, {row["migration"] for row in rows})


def draw_way(ax: "Axes", start: float, end: float, grade: str, colour: str) -> None:
    """Draw one term's way; moves stand out by weight and dash, not by colour alone."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    width, dash = STYLES.get(grade, PLAIN)
    middle = (LEFT + RIGHT) / 2
    points = [(LEFT + 0.012, start), (middle, start), (middle, end), (RIGHT - 0.012, end)]
    path = Path(points, [Path.MOVETO, Path.CURVE4, Path.CURVE4, Path.CURVE4])
    ink = INK if grade in MOVES else MUTED if grade == NO_CORRESPONDENCE else colour
    alpha = 1.0 if grade in MOVES else 0.55
    ax.add_patch(PathPatch(path, fill=False, lw=width, ls=dash, ec=ink, alpha=alpha))


def draw_labels(ax: "Axes", rows: Sequence[Row], side: str, places: Places) -> None:
    """Write the terms beside their places; those that moved in bold."""
    x, align = (LEFT - 0.004, "right") if side == "older" else (RIGHT + 0.004, "left")
    for row in rows:
        label = row["label_older"] if side == "older" else row["label"]
        weight = "bold" if row["migration"] in (ROBUST, POSSIBLE) else "normal"
        size = 6.5 * min(1.0, LABEL_CHARACTERS / len(label))
        ax.text(x, places[row["term"]], label, ha=align, va="center", fontsize=size, weight=weight)


def draw_classes(
    ax: "Axes",
    rows: Sequence[Row],
    column: tuple[str, str],
    classes: Sequence[str],
    places: Places,
    colours: Mapping[str, str],
) -> None:
    """Draw a bar along each class with its name; a column is of one side and one edition."""
    side, edition = column
    x, align, shift = (0.185, "right", -0.008) if side == "older" else (0.815, "left", 0.008)
    for name in classes:
        members = [row for row in rows if row[f"class_{side}"] == name]
        lines = [places[row["term"]] for row in members]
        colour = colours[name] if side == "older" else MUTED
        ends = [min(lines) - 0.42, max(lines) + 0.42]
        ax.plot([x, x], ends, color=colour, lw=3, solid_capstyle="butt")
        label = class_label(edition, members[0][f"class_name_{side}"])
        title = textwrap.fill(label, NAME_CHARACTERS)
        middle = sum(ends) / 2
        ax.text(x + shift, middle, title, ha=align, va="center", fontsize=8, weight="bold")


def draw_key(ax: "Axes", y: float, grades: Set[str]) -> None:
    """Explain the lines; those of classes without correspondence where there are some."""
    shown = [way for way in WAYS.items() if way[0] != NO_CORRESPONDENCE]
    places = [(x, y) for x in KEY_PLACES]
    if NO_CORRESPONDENCE in grades:
        shown.append((NO_CORRESPONDENCE, WAYS[NO_CORRESPONDENCE]))
        places.append((KEY_PLACES[0], y + 0.9))
    for (x, y), (grade, text) in zip(places, shown, strict=True):
        width, dash = STYLES.get(grade, PLAIN)
        colour = INK if grade in MOVES else MUTED
        ax.plot([x, x + 0.035], [y, y], lw=width, ls=dash, color=colour)
        ax.text(x + 0.042, y, text, va="center", fontsize=7, color=INK)


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
