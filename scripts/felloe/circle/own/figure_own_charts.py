"""Each population's own chart as a ring, all of them side by side."""

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

from felloe.circle.own import own_chart_words as words
from felloe.circle.ring.ring_numbers import at, middle_of
from felloe.ground.drawing import ACCENT, INK, MUTED, PAPER, POINT_MM, RULE, figure, width_of
from felloe.ground.files.tables import Row
from felloe.ground.many_terms import OWN_NAMES

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# millimetres; two cells are as wide as the report shows a figure at full size
CELL, TOP, HEAD, KEY = 126.0, 18.0, 10.0, 9.0
MARGIN = 1.5
LINE = 3.2  # of the words at the top
LABEL_POINTS = (7.0, 6.6, 6.2, 5.8, 5.4)  # the largest type at which a ring fits into its cell
NAME_POINTS = 6.2
TURN = 6.2832  # a full circle in radians
PITCH = 1.12  # of a label along the ring, in sizes of its type
LEAST_RADIUS = 30.0  # of the inner end of labels
LABEL_ROOM = (14.0, 34.0)  # shorter labels leave a larger ring, longer ones are cut
MARK, THIN, BAND, SLIT = 2.4, 1.5, 4.4, 0.4  # depth of the marks' ring, of both bands, between
NAMES_WITHIN = 0.76  # of the hub's height that names of classes may take
NAME_GAP, LEAST_GAP = 0.9, 0.4  # between two names
NAME_LINES = 3
LEADER = 3.0  # least length of the line from a name to its class
Placed = tuple[float, float, list[str]]


@dataclass(frozen=True)
class OwnView:
    """
    One population's ring.

    Attributes
    ----------
    title : str
    rows : sequence of dict
        Of `circle/own_charts.csv`, in order around the circle.
    classes : sequence of dict
        As `own_chart_words.classes_of` returns them.
    """

    title: str
    rows: Sequence[Row]
    classes: Sequence[Mapping[str, Any]]


@dataclass(frozen=True)
class OwnCharts:
    """
    What the figure shows.

    Attributes
    ----------
    rings : tuple of OwnView
    labels : mapping of str to str
        Of the terms.
    colours : mapping of str to str
        Of the published classes.
    provisional : bool
        Whether the published chart is.
    """

    rings: tuple[OwnView, ...]
    labels: Mapping[str, str]
    colours: Mapping[str, str]
    provisional: bool

    @property
    def named(self) -> bool:
        """Whether terms have room for their names."""
        return len(self.labels) <= OWN_NAMES.most

    @property
    def top(self) -> float:
        """Millimetres above the rings: a line more where it is said that names are left out."""
        return TOP if self.named else TOP + LINE


@dataclass(frozen=True)
class Measures:
    """
    Sizes of a ring in millimetres.

    Attributes
    ----------
    labels : float
        Radius at which labels begin.
    room : float
        Length of the longest label.
    points : float
        Size of their type.
    """

    labels: float
    room: float
    points: float

    @property
    def cell(self) -> float:
        """Width and height that the ring asks for."""
        return max(CELL, 2 * (self.labels + self.room + MARGIN))

    @property
    def thin(self) -> float:
        """Outer radius of the band of subclasses."""
        return self.labels - MARK

    @property
    def band(self) -> float:
        """Outer radius of the band of classes."""
        return self.thin - THIN - SLIT

    @property
    def hub(self) -> float:
        """Inner radius of the band of classes."""
        return self.band - BAND


def measures_of(view: OwnCharts) -> Measures:
    """
    Return sizes at which no label touches the next one: the largest that fit into a cell.

    More than `OWN_NAMES` terms have no labels, and rings that fill their cells.
    """
    if not view.named:
        return Measures(CELL / 2 - MARGIN, 0.0, LABEL_POINTS[-1])
    rows = [row for ring in view.rings for row in ring.rows]
    narrowest = min(row["end_deg"] - row["start_deg"] for row in rows)
    words_of = {view.labels[row["term"]] for row in rows}
    for points in LABEL_POINTS:
        longest = max(width_of(label, points, "bold") for label in words_of)
        room = min(max(longest, LABEL_ROOM[0]), LABEL_ROOM[1])
        pitch = PITCH * points * POINT_MM
        radius = max(LEAST_RADIUS, pitch * 360.0 / narrowest / TURN)
        if 2 * (radius + room + MARGIN) <= CELL:
            return Measures(CELL / 2 - room - MARGIN, room, points)
    return Measures(radius, room, points)


def draw_own_charts(view: OwnCharts) -> "Figure":
    """
    Draw every population's ring.

    Parameters
    ----------
    view : OwnCharts

    Returns
    -------
    matplotlib.figure.Figure
    """
    sizes = measures_of(view)
    columns = min(len(view.rings), 2 if sizes.cell <= CELL else 1)
    lines = -(-len(view.rings) // columns)
    width, height = columns * sizes.cell, view.top + KEY + lines * (sizes.cell + HEAD)
    fig = figure(width, height)
    write_heading(fig, view, width, height)
    for number, ring in enumerate(view.rings):
        line, column = divmod(number, columns)
        bottom = height - view.top - (line + 1) * (sizes.cell + HEAD)
        place = (column * sizes.cell, bottom, sizes.cell, sizes.cell + HEAD)
        ax = fig.add_axes(
            (place[0] / width, place[1] / height, place[2] / width, place[3] / height)
        )
        half = sizes.cell / 2
        ax.set(xlim=(-half, half), ylim=(-half, half + HEAD))
        ax.axis("off")
        draw_ring(ax, ring, view, sizes)
    draw_key(fig, width, height)
    return fig


def write_heading(fig: "Figure", view: OwnCharts, width: float, height: float) -> None:
    """Write the title and how to read the rings."""
    left = 4 / width
    fig.text(left, 1 - 6 / height, words.TITLE, fontsize=12, weight="bold", va="center")
    said = words.reading(view.provisional)
    if not view.named:
        said = f"{words.not_named(len(view.labels))} {said}"
    lines = textwrap.wrap(said, int(width / 1.45))
    fig.text(left, 1 - 10.5 / height, "\n".join(lines), fontsize=7, color=MUTED, va="top")


def draw_key(fig: "Figure", width: float, height: float) -> None:
    """Say what a dot and a hatched class mean."""
    from matplotlib.patches import Rectangle

    y = 4 / height
    across: dict[str, Any] = {"va": "center", "fontsize": 7}
    fig.text(4 / width, y, "●", color=ACCENT, **across)
    fig.text(8 / width, y, words.MARKED, **across)
    corner, size = (70 / width, y - 1.2 / height), (5 / width, 2.4 / height)
    look: dict[str, Any] = {"facecolor": PAPER, "edgecolor": MUTED, "hatch": "/////", "lw": 0.4}
    fig.add_artist(Rectangle(corner, *size, transform=fig.transFigure, **look))
    fig.text(77 / width, y, words.UNMATCHED, **across)


def draw_ring(ax: "Axes", ring: OwnView, view: OwnCharts, sizes: Measures) -> None:
    """Draw one population's bands, terms and names."""
    half = sizes.cell / 2
    plain: dict[str, Any] = {"ha": "center", "va": "center", "parse_math": False}
    title = fitted(ring.title, sizes.cell - 6, 8.5)
    ax.text(0, half + HEAD - 3, title, fontsize=8.5, weight="bold", **plain)
    differing = sum(row["differs"] for row in ring.rows)
    said = words.counted(differing, len(ring.rows))
    ax.text(0, half + HEAD - 7.5, said, fontsize=7, color=MUTED, **plain)
    colours = {one["id"]: view.colours.get(one["stands_for"] or "") for one in ring.classes}
    for tier, outer, depth in (
        ("class", sizes.band, BAND),
        ("subclass", sizes.thin, THIN),
    ):
        for rows in runs(ring.rows, tier):
            draw_piece(ax, rows, outer, depth, colours[rows[0]["class"]])
    for row in ring.rows:
        draw_label(ax, row, view.labels[row["term"]], sizes)
    write_names(ax, ring, sizes)


def runs(rows: Sequence[Row], tier: str) -> Iterator[list[Row]]:
    """Yield the rows of each group; the ring begins where one class follows another."""
    for _, run in groupby(rows, key=lambda row: row[tier]):
        yield list(run)


def draw_piece(
    ax: "Axes", rows: Sequence[Row], outer: float, depth: float, colour: str | None
) -> None:
    """Draw the piece of a band that a group has; hatched where it stands for no class."""
    from matplotlib.patches import Wedge

    start, end = rows[0]["start_deg"], rows[-1]["end_deg"]
    look: dict[str, Any] = {"facecolor": colour or PAPER, "edgecolor": INK, "lw": 0.4}
    if colour is None:
        look |= {"hatch": "/////", "edgecolor": MUTED}
    ax.add_patch(Wedge((0, 0), outer, 90 - end, 90 - start, width=depth, **look))


def draw_label(ax: "Axes", row: Row, label: str, sizes: Measures) -> None:
    """Write a term along its radius, with a dot where its class is another one."""
    middle = middle_of((row["start_deg"], row["end_deg"]))
    colour = ACCENT if row["differs"] else INK
    if row["differs"]:
        ax.plot(*at(sizes.labels - MARK / 2, middle), "o", ms=2.6, mfc=ACCENT, mec="none")
    if not sizes.room:
        return
    inwards = middle % 360 > 180
    x, y = at(sizes.labels, middle)
    ax.text(
        x,
        y,
        fitted(label, sizes.room, sizes.points),
        rotation=(270 - middle if inwards else 90 - middle) % 360,
        rotation_mode="anchor",
        ha="right" if inwards else "left",
        va="center_baseline",
        fontsize=sizes.points,
        color=colour,
        weight="bold" if row["differs"] else "normal",
        parse_math=False,
    )


def write_names(ax: "Axes", ring: OwnView, sizes: Measures) -> None:
    """Write the names of the classes inside the ring, each with a line to its piece."""
    sides: dict[int, list[tuple[float, str]]] = {1: [], -1: []}
    for one in ring.classes:
        span = one["terms"][0]["start_deg"], one["terms"][-1]["end_deg"]
        middle = middle_of(span) % 360
        sides[1 if middle <= 180 else -1].append((middle, one["name"]))
    for sign, entries in sides.items():
        entries.sort(key=lambda entry: -at(1.0, entry[0])[1])
        write_side(ax, entries, sign, sizes.hub)


def write_side(ax: "Axes", entries: Sequence[tuple[float, str]], sign: int, hub: float) -> None:
    """Write the names of one half of the hub from top to bottom, smaller where there are many."""
    size = NAME_POINTS
    placed = placed_names(entries, hub, size)
    while placed is None:
        size *= 0.94
        placed = placed_names(entries, hub, size)
    for (middle, _), (y, room, lines) in zip(entries, placed, strict=True):
        x, start = sign * room, at(hub - 0.2, middle)
        ax.plot([start[0], x + sign * 0.5], [start[1], y], color=RULE, lw=0.6, zorder=0)
        ax.text(
            x,
            y,
            "\n".join(lines),
            ha="right" if sign > 0 else "left",
            va="center",
            fontsize=size,
            linespacing=1.05,
            parse_math=False,
        )


def placed_names(
    entries: Sequence[tuple[float, str]], hub: float, size: float
) -> list[Placed] | None:
    """
    Find places for the names of one half of the hub.

    Parameters
    ----------
    entries : sequence of (float, str)
        Angle of the middle of the class and its name, from top to bottom.
    hub : float
        Radius.
    size : float
        Of the type, in points.

    Returns
    -------
    list of (float, float, list of str) or None
        Height, length of a line and lines of each name; None where they are too many.
    """
    reach, line = NAMES_WITHIN * hub, size * POINT_MM * 1.2
    wanted = [at(reach, middle)[1] for middle, _ in entries]
    tall = [line] * len(entries)
    while sum(tall) + LEAST_GAP * len(tall) <= 2 * reach:
        heights = spread(wanted, tall, reach)
        rooms = [
            (hub**2 - (abs(y) + each / 2) ** 2) ** 0.5 - LEADER
            for y, each in zip(heights, tall, strict=True)
        ]
        lines = [
            broken(name, room - LEAST_GAP, size, NAME_LINES)
            for (_, name), room in zip(entries, rooms, strict=True)
        ]
        needed = [max(each, line * len(own)) for each, own in zip(tall, lines, strict=True)]
        if needed == tall:
            return list(zip(heights, rooms, lines, strict=True))
        tall = needed  # a name may need a line more where it now stands
    return None


def spread(places: Sequence[float], tall: Sequence[float], reach: float) -> list[float]:
    """
    Push names apart, from top to bottom, within the hub.

    Parameters
    ----------
    places : sequence of float
        Where they would stand, falling.
    tall : sequence of float
        Their heights; together no more than twice `reach`.
    reach : float
        Half the height that they may take.

    Returns
    -------
    list of float
    """
    gap = min(NAME_GAP, max(0.0, (2 * reach - sum(tall)) / max(1, len(tall) - 1)))
    placed: list[float] = []
    above = reach + gap
    for place, each in zip(places, tall, strict=True):
        placed.append(min(place, above - gap - each / 2))
        above = placed[-1] - each / 2
    below = -reach - gap
    for number in range(len(placed) - 1, -1, -1):
        placed[number] = max(placed[number], below + gap + tall[number] / 2)
        below = placed[number] + tall[number] / 2
    return placed


def fitted(text: str, room: float, points: float, weight: str = "bold") -> str:
    """Return a text, cut where it is longer than there is room for."""
    if width_of(text, points, weight) <= room:
        return text
    end = len(text)
    while end > 1 and width_of(f"{text[:end]}…", points, weight) > room:
        end -= 1
    return f"{text[:end].rstrip()}…"


def broken(name: str, room: float, points: float, most: int) -> list[str]:
    """Return a name in lines that fit, the last one cut where they are too few."""
    lines: list[str] = []
    rest = name.split()
    while rest and len(lines) < most:
        taken = [rest.pop(0)]
        last = len(lines) == most - 1
        while rest and (last or width_of(" ".join([*taken, rest[0]]), points, "normal") <= room):
            taken.append(rest.pop(0))
        lines.append(fitted(" ".join(taken), room, points, "normal"))
    return lines
