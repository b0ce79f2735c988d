"""The picture of a timeline: a column for every edition, a band for every class, a line a term."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from felloe.colours.palette import separated_palette
from felloe.comparison.provisional_words import MARK
from felloe.editions.columns.figure_columns import PLAIN, draw_curve
from felloe.editions.columns.figure_columns import STYLES as OF_TWO
from felloe.editions.columns.figure_lettering import lines_of
from felloe.editions.correspondence import NOISE, NONE, POSSIBLE, ROBUST
from felloe.ground.drawing import INK, MUTED, PAPER, RULE, width_of
from felloe.report.typeface.breaking import cut_short
from felloe.timeline.figure_words import (
    ENDS,
    ENTERS,
    LINES,
    MARKS,
    away_text,
    reading,
)
from felloe.timeline.follow import MOVES, NOT_COMPARED
from felloe.timeline.picture import Band, Member, Picture, Strand

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_MM = 297.0  # of A3, upright
MARGIN_MM = 8.0
GAP_SHARE = 0.8  # of a column's width, between two columns
HEIGHT_MM = 420.0  # of A3; kept as long as rows can be made low enough for it
ROW_MM = 3.25  # a term
LEAST_ROW_MM = 2.8  # what a term needs to be read, at TERM_POINTS in this proportion: 6 points
HEAD_MM, FOOT_MM = 24.0, 27.0
TERM_POINTS, CLASS_POINTS, HEAD_POINTS, TITLE_POINTS = 7.0, 7.5, 11.0, 14.0
AWAY_POINTS = 6.0
READING_MM, READING_POINTS = 140.0, 6.5  # how it is read: beside the marks of the key
LEAST_POINTS = 5.5  # smaller type is not read; what does not fit in it is cut, and says so
HEAD_LINE_MM = 4.6  # from line to line of what stands over a column
NAME_DOWN = 0.7  # rows from the top of a band to the middle of its name
INDENT_MM = 4.0  # of labels in their band
# width and dash; as in the picture of two editions
STYLES: dict[str, tuple[float, Any]] = {
    NONE: PLAIN,
    **OF_TWO,
    NOT_COMPARED: (0.8, (0, (2, 3))),
}
ARRIVALS = {ROBUST: ("D", True), POSSIBLE: ("D", False), NOISE: ("o", False)}  # filled or not


def row_height(picture: Picture) -> float:
    """Return the height of a row in millimetres: less than usual where it keeps A3."""
    return min(ROW_MM, max(LEAST_ROW_MM, (HEIGHT_MM - HEAD_MM - FOOT_MM) / picture.rows))


def height_of(picture: Picture) -> float:
    """Return the height that a picture needs, in millimetres."""
    return picture.rows * row_height(picture) + HEAD_MM + FOOT_MM


def column_places(number: int) -> tuple[list[float], float]:
    """Return where the columns begin, and how wide they are, in millimetres."""
    width = (WIDTH_MM - 2 * MARGIN_MM) / (number + GAP_SHARE * (number - 1))
    return [MARGIN_MM + at * width * (1 + GAP_SHARE) for at in range(number)], width


@dataclass(frozen=True)
class Look:
    """
    What everything in a picture is drawn with.

    Attributes
    ----------
    row : float
        Height of a row in millimetres.
    colours : sequence of str
        Of the lines of classes, from the first.
    """

    row: float
    colours: Sequence[str]

    def at(self, row: float) -> float:
        """Return where a row stands, in millimetres from the top."""
        return HEAD_MM + row * self.row

    def points(self, usual: float) -> float:
        """Return the size of type that goes with the rows' height."""
        return usual * self.row / ROW_MM

    def colour(self, line: int) -> str:
        """Return the colour of classes that continue one another; no others have it."""
        return self.colours[line - 1] if line else MUTED


def look_of(picture: Picture) -> Look:
    """
    Return what a picture is drawn with.

    It has as many colours, as far apart, as there are lines of classes. They come in the order of
    hue, so two halves take turns: lines that begin side by side have hues that lie far apart.
    """
    hues = separated_palette(picture.lines)
    half = (len(hues) + 1) // 2
    turns = [hues[at // 2 + half * (at % 2)] for at in range(len(hues))]
    return Look(row_height(picture), turns)


def draw_timeline(ax: "Axes", picture: Picture, heads: Sequence[Sequence[str]], title: str) -> None:
    """
    Draw everything in its place.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
        Of `WIDTH_MM` by `height_of`.
    picture : Picture
    heads : sequence of sequence of str
        Lines over the columns.
    title : str
    """
    height = height_of(picture)
    ax.set(xlim=(0, WIDTH_MM), ylim=(height, 0))
    ax.set_axis_off()
    named, size = fitted(title, TITLE_POINTS, WIDTH_MM - 2 * MARGIN_MM, "bold")
    ax.text(MARGIN_MM, 8.0, named, fontsize=size, weight="bold", va="center", color=INK)
    look = look_of(picture)
    starts, width = column_places(len(picture.columns))
    for strand in picture.strands:
        draw_strand(ax, look, strand, (starts[strand.place] + width, starts[strand.place + 1]))
    for start, bands, head in zip(starts, picture.columns, heads, strict=True):
        draw_head(ax, head, start, width)
        for band in bands:
            draw_band(ax, look, band, (start, width))
    draw_key(ax, height - FOOT_MM + 7.0, {strand.grade for strand in picture.strands})


def draw_head(ax: "Axes", head: Sequence[str], left: float, width: float) -> None:
    """Write an edition over its column, and under it what has to be said of it."""
    for place, line in enumerate(head):
        text, size = fitted(line, HEAD_POINTS - 3.0 * place, width, "bold")
        y = HEAD_MM - 3.0 + HEAD_LINE_MM * (place - len(head) + 1)
        ax.text(left, y, text, fontsize=size, weight="bold", va="center", color=INK)


def draw_strand(ax: "Axes", look: Look, strand: Strand, ends: tuple[float, float]) -> None:
    """Draw a line from one edition to the next; moves stand out by weight, dash and mark."""
    (left, right), (start, end) = ends, (look.at(strand.start), look.at(strand.end))
    moved, style = strand.grade in MOVES, STYLES.get(strand.grade, STYLES[NONE])
    colour = INK if moved else look.colour(strand.line)
    draw_curve(ax, (left, start), (right, end), style, colour, faded=not moved)


def draw_band(ax: "Axes", look: Look, band: Band, place: tuple[float, float]) -> None:
    """Draw a class of an edition with its terms, or a line where a path is interrupted."""
    from matplotlib.patches import Rectangle

    if not band.line:
        draw_away(ax, look, band, place)
        return
    left, width = place
    colour, top, bottom = look.colour(band.line), look.at(band.top), look.at(band.bottom) + 0.4
    ax.add_patch(Rectangle((left, top), width, bottom - top, fc=colour, alpha=0.12, lw=0))
    for x in (left, left + width):
        ax.plot([x, x], [top, bottom], lw=2.2, color=colour, solid_capstyle="butt")
    name, size = fitted(band.name, look.points(CLASS_POINTS), width - 3.0, "bold")
    at = top + NAME_DOWN * look.row
    ax.text(left + 2.0, at, name, va="center", weight="bold", color=INK, fontsize=size)
    for member in band.members:
        draw_member(ax, look, member, place)


def draw_away(ax: "Axes", look: Look, band: Band, place: tuple[float, float]) -> None:
    """Draw the line of a path that an edition interrupts, and say which it is."""
    (member,), (left, width) = band.members, place
    y, (thick, dash) = look.at(member.row), STYLES[NOT_COMPARED]
    ax.plot([left, left + width], [y, y], lw=thick, ls=dash, color=MUTED)
    text, size = fitted(away_text(member.label), look.points(AWAY_POINTS), width - 4.0)
    ax.text(
        left + width / 2, y - 0.35 * look.row, text, fontsize=size, style="italic", color=MUTED,
        ha="center", va="bottom",
    )  # fmt: skip


def draw_member(ax: "Axes", look: Look, member: Member, place: tuple[float, float]) -> None:
    """Write a term into its band, with the mark of how it came and whether it ends."""
    (left, width), y = place, look.at(member.row)
    weight = "bold" if member.grade in (ROBUST, POSSIBLE) else "normal"
    label, size = fitted(member.label, look.points(TERM_POINTS), width - INDENT_MM - 4.0, weight)
    ax.text(left + INDENT_MM, y, label, va="center", fontsize=size, weight=weight, color=INK)
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


def fitted(text: str, points: float, room: float, weight: str = "normal") -> tuple[str, float]:
    """Return a text with the size at which it fits, at most the one that is wished; else cut."""
    size = min(points, points * room / max(width_of(text, points, weight), 1e-9))
    if size >= min(LEAST_POINTS, points):
        return text, size
    least = min(LEAST_POINTS, points)
    return cut_short(text, room, lambda part: width_of(part, least, weight)), least


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
    x, points = MARGIN_MM + READING_MM, READING_POINTS
    text = "\n".join(lines_of(reading(), WIDTH_MM - MARGIN_MM - x, points))
    ax.text(x, below - 1.5, text, va="top", fontsize=points, color=MUTED)


def heads_of(editions: Sequence[Mapping[str, Any]]) -> list[list[str]]:
    """Return the lines that stand over the columns, from the editions of the record."""
    return [[each["edition"], *([MARK] if each["provisional"] else [])] for each in editions]
