"""The picture of a timeline: a column for every edition, a band for every class, a line a term."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from felloe.editions.correspondence import NO_CORRESPONDENCE, NOISE, NONE, POSSIBLE, ROBUST
from felloe.ground.drawing import CLASS_CYCLE, INK, MUTED, PAPER, RULE
from felloe.timeline.figure_words import (
    AWAY_TEXT,
    ENDS,
    ENTERS,
    LINES,
    MARKS,
    reading,
)
from felloe.timeline.follow import MOVES, NOT_COMPARED
from felloe.timeline.picture import Band, Member, Picture, Strand

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_MM = 297.0  # of A3, upright
MARGIN_MM = 8.0
GAP_SHARE = 0.8  # of a column's width, between two columns
ROW_MM = 3.25  # a term: 100 of them and a dozen classes fit on A3
HEAD_MM, FOOT_MM = 22.0, 27.0
TERM_POINTS, CLASS_POINTS = 7.0, 7.5
LETTER_MM = 0.2  # of a letter's width in the mean, to a point of type
INDENT_MM = 4.0  # of labels in their band
STYLES: dict[str, tuple[float, Any]] = {  # width and dash
    NONE: (0.8, "-"),
    ROBUST: (2.0, "-"),
    POSSIBLE: (1.5, (0, (4, 1.5))),
    NOISE: (1.0, (0, (1, 1.5))),
    NO_CORRESPONDENCE: (0.8, (0, (6, 2, 1, 2))),
    NOT_COMPARED: (0.8, (0, (2, 3))),
}
ARRIVALS = {ROBUST: ("D", True), POSSIBLE: ("D", False), NOISE: ("o", False)}  # filled or not


def height_of(picture: Picture) -> float:
    """Return the height that a picture needs, in millimetres."""
    return picture.rows * ROW_MM + HEAD_MM + FOOT_MM


def column_places(number: int) -> tuple[list[float], float]:
    """Return where the columns begin, and how wide they are, in millimetres."""
    width = (WIDTH_MM - 2 * MARGIN_MM) / (number + GAP_SHARE * (number - 1))
    return [MARGIN_MM + at * width * (1 + GAP_SHARE) for at in range(number)], width


def colour_of(line: int) -> str:
    """Return the colour of classes that continue one another."""
    return CLASS_CYCLE[(line - 1) % len(CLASS_CYCLE)] if line else MUTED


def draw_timeline(ax: "Axes", picture: Picture, heads: Sequence[str], title: str) -> None:
    """
    Draw everything in its place.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
        Of `WIDTH_MM` by `height_of`.
    picture : Picture
    heads : sequence of str
        Over the columns.
    title : str
    """
    height = height_of(picture)
    ax.set(xlim=(0, WIDTH_MM), ylim=(height, 0))
    ax.set_axis_off()
    ax.text(MARGIN_MM, 8.0, title, fontsize=14, weight="bold", va="center", color=INK)
    starts, width = column_places(len(picture.columns))
    for strand in picture.strands:
        draw_strand(ax, strand, starts[strand.place] + width, starts[strand.place + 1])
    for start, bands, head in zip(starts, picture.columns, heads, strict=True):
        ax.text(start, 17.0, head, fontsize=11, weight="bold", va="center", color=INK)
        for band in bands:
            draw_band(ax, band, start, width)
    draw_key(ax, height - FOOT_MM + 7.0, {strand.grade for strand in picture.strands})


def at(row: float) -> float:
    """Return where a row stands, in millimetres from the top."""
    return HEAD_MM + row * ROW_MM


def draw_strand(ax: "Axes", strand: Strand, left: float, right: float) -> None:
    """Draw a line from one edition to the next; moves stand out by weight, dash and mark."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    width, dash = STYLES.get(strand.grade, STYLES[NONE])
    middle, (start, end) = (left + right) / 2, (at(strand.start), at(strand.end))
    points = [(left, start), (middle, start), (middle, end), (right, end)]
    path = Path(points, [Path.MOVETO, Path.CURVE4, Path.CURVE4, Path.CURVE4])
    moved = strand.grade in MOVES
    colour = INK if moved else colour_of(strand.line)
    ax.add_patch(
        PathPatch(path, fill=False, lw=width, ls=dash, ec=colour, alpha=1.0 if moved else 0.6)
    )


def draw_band(ax: "Axes", band: Band, left: float, width: float) -> None:
    """Draw a class of an edition with its terms, or a line where a path is interrupted."""
    if not band.line:
        (member,) = band.members
        y = at(member.row)
        style, dash = STYLES[NOT_COMPARED]
        ax.plot([left, left + width], [y, y], lw=style, ls=dash, color=MUTED)
        ax.text(
            left + width / 2, y - 1.2, AWAY_TEXT, fontsize=5.5, style="italic", color=MUTED,
            ha="center", va="bottom",
        )  # fmt: skip
        return
    from matplotlib.patches import Rectangle

    colour, top, bottom = colour_of(band.line), at(band.top), at(band.bottom) + 0.4
    ax.add_patch(Rectangle((left, top), width, bottom - top, fc=colour, alpha=0.12, lw=0))
    for x in (left, left + width):
        ax.plot([x, x], [top, bottom], lw=2.2, color=colour, solid_capstyle="butt")
    name = fitted(band.name, CLASS_POINTS, width - 3.0)
    ax.text(left + 2.0, top + 2.3, band.name, va="center", weight="bold", color=INK, fontsize=name)
    for member in band.members:
        draw_member(ax, member, left, width)


def draw_member(ax: "Axes", member: Member, left: float, width: float) -> None:
    """Write a term into its band, with the mark of how it came and whether it ends."""
    y = at(member.row)
    weight = "bold" if member.grade in (ROBUST, POSSIBLE) else "normal"
    size = fitted(member.label, TERM_POINTS, width - INDENT_MM - 4.0)
    ax.text(left + INDENT_MM, y, member.label, va="center", fontsize=size, weight=weight, color=INK)
    if member.enters:
        ax.text(left + 2.4, y, ENTERS, ha="center", va="center", fontsize=8, color=INK)
    if member.ends:
        ax.text(left + width - 2.2, y, ENDS, ha="center", va="center", fontsize=8, color=INK)
    if member.grade in ARRIVALS:
        draw_arrival(ax, left, y, member.grade)


def draw_arrival(ax: "Axes", x: float, y: float, grade: str) -> None:
    """Mark where a move arrives."""
    shape, filled = ARRIVALS[grade]
    ax.plot(
        [x], [y], marker=shape, ms=4.2, mew=1.0, mec=INK, mfc=INK if filled else PAPER, zorder=5
    )


def fitted(text: str, points: float, width: float) -> float:
    """Return the size at which a text fits a width, at most the one that is wished."""
    return min(points, width / max(len(text) * LETTER_MM, 1e-9))


def draw_key(ax: "Axes", y: float, grades: set[str]) -> None:
    """Explain lines and marks; of lines that are seldom, those that there are."""
    always = (NONE, ROBUST, POSSIBLE, NOISE)
    shown = [grade for grade in LINES if grade in always or grade in grades]
    ax.plot([MARGIN_MM, WIDTH_MM - MARGIN_MM], [y - 4.5, y - 4.5], lw=0.6, color=RULE)
    for place, grade in enumerate(shown):
        x, line = MARGIN_MM + 70.0 * (place % 4), y + 5.0 * (place // 4)
        width, dash = STYLES[grade]
        colour = INK if grade in MOVES else MUTED
        ax.plot([x, x + 12.0], [line, line], lw=width, ls=dash, color=colour)
        if grade in ARRIVALS:
            draw_arrival(ax, x + 12.0, line, grade)
        ax.text(x + 15.0, line, LINES[grade], va="center", fontsize=7.5, color=INK)
    below = y + 5.0 * ((len(shown) + 3) // 4)
    ax.text(MARGIN_MM, below, MARKS, va="center", fontsize=7.5, color=INK)
    ax.text(MARGIN_MM + 140.0, below - 1.5, reading(), va="top", fontsize=6.5, color=MUTED)


def heads_of(editions: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return what stands over the columns, from the editions of the record."""
    from felloe.comparison.provisional_words import marked

    return [marked(each["edition"], each["provisional"]) for each in editions]
