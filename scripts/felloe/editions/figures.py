"""Two editions side by side: where the terms went, and how the distances compare."""

import textwrap
from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from felloe.editions.correspondence import NO_CORRESPONDENCE, NOISE, NONE, POSSIBLE, ROBUST
from felloe.editions.crossings import Columns, fewest_crossings
from felloe.editions.figure_words import crossings_told
from felloe.editions.wheels.hues import Partners
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
FOOT_ROWS = 4.0
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


@dataclass(frozen=True)
class Migration:
    """
    Where the terms stand in the picture of two columns.

    Attributes
    ----------
    rows : sequence of dict
        One per common term, from the editions' table of terms.
    columns : ((list of str, dict), (list of str, dict))
        Of the older and the newer edition: class ids from the top, and the row of each term.
    crossings : Columns
        How many ways cross.
    partners : Partners
        Which classes stand for each other.
    """

    rows: Sequence[Row]
    columns: tuple[tuple[list[str], Places], tuple[list[str], Places]]
    crossings: Columns
    partners: Partners

    @property
    def lowest(self) -> float:
        """The number of rows that the longer column takes."""
        return len(self.rows) + GAP_ROWS * max(len(order) for order, _ in self.columns)

    @property
    def height(self) -> float:
        """Of the picture, millimetres."""
        return (self.lowest + HEAD_ROWS + FOOT_ROWS) * ROW_MM


def migration_of(
    rows: Sequence[Row], rings: tuple[Sequence[str], Sequence[str]], partners: Partners
) -> Migration:
    """
    Put the classes of both editions into an order with as few crossings as can be found.

    Parameters
    ----------
    rows : list of dict
        One per common term.
    rings : (sequence of str, sequence of str)
        The classes in the order of either wheel; the picture is free to leave it, and says how
        many ways would cross in it.
    partners : Partners

    Returns
    -------
    Migration
    """
    sides = "class_older", "class_newer"
    given = [
        in_ring_order({row[side] for row in rows}, ring)
        for side, ring in zip(sides, rings, strict=True)
    ]
    number = [{name: place for place, name in enumerate(names)} for names in given]
    shared = np.zeros((len(given[0]), len(given[1])), dtype=np.int64)
    for row in rows:
        shared[number[0][row["class_older"]], number[1][row["class_newer"]]] += 1
    found = fewest_crossings(shared)
    older = [given[0][place] for place in found.older]
    newer = [given[1][place] for place in found.newer]
    rank = {name: place for place, name in enumerate(newer)}
    first = placed(rows, older, "class_older", lambda row: rank[row["class_newer"]])
    second = placed(rows, newer, "class_newer", lambda row: first[row["term"]])
    return Migration(rows, ((older, first), (newer, second)), found, partners)


def in_ring_order(names: Set[str], ring: Sequence[str]) -> list[str]:
    """Return classes in the order of a wheel; those that are not on it come last."""
    place = {name: at for at, name in enumerate(ring)}
    return sorted(names, key=lambda name: (place.get(name, len(ring)), name))


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


def draw_migration(
    ax: "Axes", drawn: Migration, editions: tuple[str, str], heads: tuple[str, str]
) -> None:
    """
    Draw every common term's way from its older class to its newer one.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
        As wide as the page and `drawn.height` high.
    drawn : Migration
    editions : (str, str)
        What the two are called.
    heads : (str, str)
        The same over their columns, with what has to be said of them.
    """
    rows, columns = drawn.rows, drawn.columns
    ax.set(xlim=(0, 1), ylim=(drawn.lowest + FOOT_ROWS, -HEAD_ROWS))
    ax.set_axis_off()
    (_, first), (_, second) = columns
    of_older, of_newer = colours_of(drawn)
    for row in sorted(rows, key=lambda row: (row["migration"] != NONE, row["term"])):
        draw_way(
            ax,
            first[row["term"]],
            second[row["term"]],
            row["migration"],
            of_older[row["class_older"]],
        )
    for x, head, align in ((LEFT, heads[0], "right"), (RIGHT, heads[1], "left")):
        ax.text(x, -1.6, head, ha=align, va="center", fontsize=11, fontweight="bold", color=INK)
    for side, edition, (classes, places), colours in zip(
        ("older", "newer"), editions, columns, (of_older, of_newer), strict=True
    ):
        draw_labels(ax, rows, side, places)
        draw_classes(ax, rows, (side, edition), classes, places, colours)
    grades = {row["migration"] for row in rows}
    draw_key(ax, drawn.lowest + 1.2, grades)
    told = crossings_told(drawn.crossings)
    ax.text(KEY_PLACES[0], drawn.lowest + 3.1, told, va="center", fontsize=7, color=MUTED)


def colours_of(drawn: Migration) -> tuple[dict[str, str], dict[str, str]]:
    """Return the colours of the older classes by their place, and of the newer ones: the same."""
    older = {
        name: CLASS_CYCLE[place % len(CLASS_CYCLE)]
        for place, name in enumerate(sorted(drawn.columns[0][0]))
    }
    partner = drawn.partners.of_newer
    return older, {name: older.get(partner.get(name, ""), MUTED) for name in drawn.columns[1][0]}


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
        ends = [min(lines) - 0.42, max(lines) + 0.42]
        ax.plot([x, x], ends, color=colours[name], lw=3, solid_capstyle="butt")
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
