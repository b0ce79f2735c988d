"""Two editions in two columns: where the terms of each class went."""

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from felloe.editions.columns import figure_words as words
from felloe.editions.columns.crossings import Columns, fewest_crossings
from felloe.editions.columns.figure_lettering import LEADING, block, lines_of
from felloe.editions.correspondence import NO_CORRESPONDENCE, NOISE, NONE, POSSIBLE, ROBUST
from felloe.editions.wheels.hues import Hue, Partners, counterparts, lent_hues
from felloe.editions.words import WAYS, class_label
from felloe.ground.drawing import INK, MUTED
from felloe.ground.files.tables import Row

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Places = Mapping[str, float]  # the row of each term, from the top
WIDTH_MM = 190.0
ROW_MM = 3.4  # one term
GAP_ROWS = 0.9  # between classes
HEAD_ROWS = 3.4
HEAD_MM = 5.0  # of that, for the name of an edition
KEY_ROWS = 0.9  # a line of the key
TOLD_ROWS = 0.85  # a line of text under it
TOLD_POINTS = 7.0
LEFT, RIGHT = 0.385, 0.615  # of the width, where the two columns stand
BARS = 0.185, 0.815  # and the bars of their classes
BAR = 0.006  # width of one
HEAD_SIZES, NAME_SIZES, LABEL_SIZES = (11.0, 6.0), (8.0, 5.0), (6.5, 4.0)  # usual, least
PLAIN = (0.7, "-")  # width and dash of the way of a term that did not move
FADED = 0.55  # opacity of the line of a term that did not move
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
    def key(self) -> list[list[str]]:
        """The grades that the key explains, line by line."""
        usual = [grade for grade in WAYS if grade != NO_CORRESPONDENCE]
        grades = {row["migration"] for row in self.rows}
        return [usual, [NO_CORRESPONDENCE]] if NO_CORRESPONDENCE in grades else [usual]

    @property
    def told_from(self) -> float:
        """The row of the first line of text."""
        return self.lowest + KEY_ROWS * len(self.key) + 0.6

    def height(self, told: Sequence[str]) -> float:
        """Return how high the picture is with so many lines of text, millimetres."""
        return (self.told_from + TOLD_ROWS * len(told) + HEAD_ROWS) * ROW_MM


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


def told_under(drawn: Migration, editions: tuple[str, str], terms: Mapping[str, int]) -> list[str]:
    """
    Return what is told under the columns, line by line.

    Parameters
    ----------
    drawn : Migration
    editions : (str, str)
    terms : dict of str to int
        `terms` of `comparison.json`.
    """
    names = [
        {row[f"class_{side}"]: row[f"class_name_{side}"] for row in drawn.rows}
        for side in ("older", "newer")
    ]
    sentences = (
        words.crossings_told(drawn.crossings),
        words.drawn_told(*editions, terms),
        words.hues_told(*editions, counterparts(names, drawn.partners)),
    )
    room = (1 - 2 * KEY_PLACES[0]) * WIDTH_MM
    return [line for told in sentences for line in lines_of(told, room, TOLD_POINTS)]


def draw_migration(
    ax: "Axes",
    drawn: Migration,
    hues: Mapping[str, Hue],
    editions: tuple[str, str],
    heads: tuple[str, str],
    told: Sequence[str],
) -> None:
    """
    Draw every common term's way from its older class to its newer one.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
        `WIDTH_MM` wide and `drawn.height(told)` high.
    drawn : Migration
    hues : dict
        Colours of the newer edition's classes.
    editions : (str, str)
        What the two are called.
    heads : (str, str)
        The same over their columns, with what has to be said of them.
    told : sequence of str
        The lines under them.
    """
    rows, columns = drawn.rows, drawn.columns
    ax.set(xlim=(0, 1), ylim=(drawn.height(told) / ROW_MM - HEAD_ROWS, -HEAD_ROWS))
    ax.set_axis_off()
    (_, first), (_, second) = columns
    lent = hues_of(drawn, hues)
    for row in sorted(rows, key=lambda row: (row["migration"] != NONE, row["term"])):
        colour = lent[0][row["class_older"]]["outline"]
        draw_way(ax, first[row["term"]], second[row["term"]], row["migration"], colour)
    for x, head, align in ((LEFT, heads[0], "right"), (RIGHT, heads[1], "left")):
        room = (LEFT - 0.03) * WIDTH_MM, HEAD_MM
        write(ax, (x, -1.25), head, room, HEAD_SIZES, ha=align, weight="bold", color=INK)
    for side, edition, (classes, places), colours in zip(
        ("older", "newer"), editions, columns, lent, strict=True
    ):
        draw_labels(ax, rows, side, places)
        draw_classes(ax, rows, (side, edition), classes, places, colours)
    draw_key(ax, drawn)
    for at, line in enumerate(told):
        y = drawn.told_from + TOLD_ROWS * at
        ax.text(KEY_PLACES[0], y, line, va="center", fontsize=TOLD_POINTS, color=MUTED)


def hues_of(drawn: Migration, newer: Mapping[str, Hue]) -> tuple[dict[str, Hue], dict[str, Hue]]:
    """Return the hues of both columns' classes, those of the two wheels; `newer` by class."""
    lent = lent_hues(newer, drawn.partners)
    (older_classes, _), (newer_classes, _) = drawn.columns
    return {name: lent(name) for name in older_classes}, {
        name: newer[name] for name in newer_classes
    }


def draw_way(ax: "Axes", start: float, end: float, grade: str, colour: str) -> None:
    """Draw one term's way; moves stand out by weight and dash, not by colour alone."""
    style = STYLES.get(grade, PLAIN)
    ink = INK if grade in MOVES else MUTED if grade == NO_CORRESPONDENCE else colour
    draw_curve(
        ax, (LEFT + 0.012, start), (RIGHT - 0.012, end), style, ink, faded=grade not in MOVES
    )


def draw_curve(
    ax: "Axes",
    start: tuple[float, float],
    end: tuple[float, float],
    style: tuple[float, Any],
    ink: str,
    *,
    faded: bool,
) -> None:
    """Draw a term's line from one column to the next, level at both ends."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    middle = (start[0] + end[0]) / 2
    points = [start, (middle, start[1]), (middle, end[1]), end]
    path = Path(points, [Path.MOVETO, Path.CURVE4, Path.CURVE4, Path.CURVE4])
    width, dash = style
    alpha = FADED if faded else 1.0
    ax.add_patch(PathPatch(path, fill=False, lw=width, ls=dash, ec=ink, alpha=alpha))


def draw_labels(ax: "Axes", rows: Sequence[Row], side: str, places: Places) -> None:
    """Write the terms beside their places; those that moved in bold."""
    x, align = (LEFT - 0.004, "right") if side == "older" else (RIGHT + 0.004, "left")
    room = (LEFT - BARS[0] - BAR - 0.008) * WIDTH_MM, ROW_MM
    for row in rows:
        label = row["label_older"] if side == "older" else row["label"]
        weight = "bold" if row["migration"] in (ROBUST, POSSIBLE) else "normal"
        write(ax, (x, places[row["term"]]), label, room, LABEL_SIZES, ha=align, weight=weight)


def draw_classes(
    ax: "Axes",
    rows: Sequence[Row],
    column: tuple[str, str],
    classes: Sequence[str],
    places: Places,
    hues: Mapping[str, Hue],
) -> None:
    """Draw a bar along each class with its name; a column is of one side and one edition."""
    from matplotlib.patches import Rectangle

    side, edition = column
    x, align, sign = (BARS[0], "right", -1.0) if side == "older" else (BARS[1], "left", 1.0)
    shift = BAR / 2 + 0.005
    for name in classes:
        members = [row for row in rows if row[f"class_{side}"] == name]
        lines = [places[row["term"]] for row in members]
        top, high = min(lines) - 0.42, max(lines) - min(lines) + 0.84
        look = {"fc": hues[name]["used"], "ec": hues[name]["outline"], "lw": 0.6}
        ax.add_patch(Rectangle((x - BAR / 2, top), BAR, high, **look))
        label = class_label(edition, members[0][f"class_name_{side}"])
        room = (BARS[0] - shift - 0.01) * WIDTH_MM, (high + GAP_ROWS) * ROW_MM
        at = x + sign * shift, top + high / 2
        write(ax, at, label, room, NAME_SIZES, ha=align, weight="bold")


def write(
    ax: "Axes",
    at: tuple[float, float],
    text: str,
    room: tuple[float, float],
    sizes: tuple[float, float],
    *,
    weight: str,
    **look: Any,
) -> None:
    """Write a text into its room, millimetres, as large as it has room there."""
    lines, size = block(text, room, sizes, weight)
    ax.text(
        *at,
        "\n".join(lines),
        va="center",
        fontsize=size,
        weight=weight,
        linespacing=LEADING,
        **look,
    )


def draw_key(ax: "Axes", drawn: Migration) -> None:
    """Explain the lines; those of classes without correspondence where there are some."""
    for at, grades in enumerate(drawn.key):
        y = drawn.lowest + KEY_ROWS * at
        for x, grade in zip(KEY_PLACES, grades, strict=False):
            width, dash = STYLES.get(grade, PLAIN)
            colour = INK if grade in MOVES else MUTED
            ax.plot([x, x + 0.035], [y, y], lw=width, ls=dash, color=colour)
            ax.text(x + 0.042, y, WAYS[grade], va="center", fontsize=TOLD_POINTS, color=INK)
