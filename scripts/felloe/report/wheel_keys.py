"""What stands around the wheel: title, marks of doubt, and the keys to read it by."""

import math
import textwrap
from typing import Any

from felloe.ground.drawing import ACCENT, INK, MUTED, RULE
from felloe.ground.files.numbers import shown
from felloe.report.chart import Record, chart_terms
from felloe.report.label_fitting import point
from felloe.report.lettering import Axes, text_widths
from felloe.report.words import GAPS, NEIGHBOURS, ONLY_GAPS, sorted_by
from felloe.tiers.mark_words import mark_meanings

SERIF = ["STIXGeneral", "DejaVu Sans"]
# corners of a regular polygon, size in millimetres, filled or not
MARKS = {"doubtful": (60, 2.1, False), "undecided": (60, 2.1, True), "moved": (3, 2.7, True)}
MARGIN = 16.0
DEGREE = math.pi / 180
BLOCK, AIR = 5.0, 3.0  # width of a block in the key of gaps, and what is kept free beside it
GAP_TYPE = 2.9
HOW_TO_READ = (
    f"From the middle outwards: classes, subclasses, terms. {NEIGHBOURS} {ONLY_GAPS}",
    "Smelling or tasting references: read their cautions first.",
)
GRADES = ("within a subclass", "between subclasses", "between classes")


def draw_title(
    ax: Axes, chart: Record, sheet: tuple[float, float], centre: tuple[float, float]
) -> None:
    """Write the title, and who sorted, over the wheel."""
    points = ax.points_per_mm
    top = sheet[1] - centre[1] - MARGIN
    left = MARGIN - centre[0]
    lines = textwrap.wrap(chart["title"], 46) or [""]
    size = 10.0 if len(lines) == 1 else 8.0
    for at, line in enumerate(lines[:3]):
        y = top - 7.5 - at * size * 1.15
        ax.text(left, y, line, fontsize=size * points, color=INK, family=SERIF, parse_math=False)
    y = top - 7.5 - (min(len(lines), 3) - 1) * size * 1.15 - 8.0
    note = f"Edition {chart['edition']}. {sorted_by(chart)}"
    for at, line in enumerate(textwrap.wrap(note, 142)[:4]):
        height = y - 4.8 * at
        ax.text(left, height, line, fontsize=3.4 * points, color=MUTED, parse_math=False)


def draw_marks(ax: Axes, chart: Record, rim: float) -> None:
    """Mark the terms that are not firm at the rim, by shape."""
    for _, _, term in chart_terms(chart):
        if term["status"] in MARKS:
            middle = (term["start_deg"] + term["end_deg"]) / 2
            room = (term["end_deg"] - term["start_deg"]) * DEGREE * rim
            x, y = point(rim + 2.6, middle)
            draw_mark(ax, x, y, term["status"], -middle, room)


def draw_mark(
    ax: Axes, x: float, y: float, status: str, turn: float = 0.0, room: float = 9.0
) -> None:
    """Draw the mark of a status, its top away from the centre, no wider than its room."""
    shape, size, filled = MARKS[status]
    size = min(size, 0.8 * room)
    points = ax.points_per_mm
    ax.plot(
        [x],
        [y],
        linestyle="none",
        marker=(shape, 0, turn),
        markersize=size * points,
        markeredgecolor=INK,
        markerfacecolor=INK if filled else "none",
        markeredgewidth=0.28 * points,
        zorder=6,
    )


def draw_keys(
    ax: Axes,
    chart: Record,
    sheet: tuple[float, float],
    centre: tuple[float, float],
    rim: float,
) -> None:
    """Draw the keys under the wheel: how to read it, what gaps mean, what marks mean."""
    top = -centre[1] + 66.0
    left = MARGIN - centre[0]
    width = sheet[0] - 2 * MARGIN
    ax.plot([left, left + width], [top + 7, top + 7], color=RULE, lw=0.25 * ax.points_per_mm)
    columns = [left + share * width for share in (0.0, 0.36, 0.69)]
    reading_key(ax, columns[0], top)
    gap_key(ax, chart, columns[1], top, rim, columns[2] - columns[1] - 2 * AIR)
    mark_key(ax, chart, columns[2], top)


def heading(ax: Axes, x: float, y: float, text: str) -> None:
    """Write the heading of a key."""
    points = ax.points_per_mm
    ax.text(x, y, text, fontsize=3.3 * points, color=ACCENT, weight="bold", parse_math=False)


def sentence(ax: Axes, x: float, y: float, text: str, width: int = 44) -> float:
    """Write wrapped text and return the height below it."""
    points = ax.points_per_mm
    for line in textwrap.wrap(text, width):
        ax.text(x, y, line, fontsize=2.9 * points, color=INK, parse_math=False)
        y -= 4.3
    return y


def reading_key(ax: Axes, x: float, y: float) -> None:
    """Say how the rings are read and what must not be read from them."""
    heading(ax, x, y, "How to read it")
    rings, cautions = HOW_TO_READ
    y = sentence(ax, x, y - 6, rings)
    sentence(ax, x, y - 1.2, cautions)


def gap_key(ax: Axes, chart: Record, x: float, y: float, rim: float, room: float) -> None:
    """Show the narrowest and widest gap of each grade at their size on the rim, if that fits."""
    heading(ax, x, y, "What a gap means")
    rows = graded_gaps(chart)
    worded = [gap_words(*row) for row in rows]
    widest = GAP_TYPE * max(map(text_widths(), worded))
    longest = max(degrees for _, degrees, _ in rows) * DEGREE * rim
    blocks = 2 * BLOCK + AIR
    part = max(1, math.ceil(longest / (room - blocks - widest)))
    size = "their size here" if part == 1 else f"1/{part} of their size"
    y = sentence(ax, x, y - 6, f"{GAPS} Gaps at {size}:", 40) - 2
    for (_, degrees, _), words in zip(rows, worded, strict=True):
        for start in (x, x + BLOCK + degrees * DEGREE * rim / part):
            ax.add_patch(rectangle(start + 0.14, y - 0.6, BLOCK - 0.28, 3.2))
        look = {"fontsize": GAP_TYPE * ax.points_per_mm, "color": INK}
        ax.text(x + blocks + longest / part, y, words, **look)
        y -= 5.4


def gap_words(grade: str, degrees: float, height: float | None) -> str:
    """Return what is written beside a gap."""
    if not degrees:
        return f"{grade}: no gap"
    return grade if height is None else f"{grade}, join height {shown(height, 'decimal2')}"


def rectangle(x: float, y: float, width: float, height: float) -> Any:
    """Return a plain block of the gap key."""
    from matplotlib.patches import Rectangle

    return Rectangle((x, y), width, height, facecolor=MUTED, lw=0, zorder=3)


def graded_gaps(chart: Record) -> list[tuple[str, float, float | None]]:
    """
    Return the narrowest and the widest gap within subclasses, between them, and between classes.

    Returns
    -------
    list of (str, float, float or None)
        Grade in words, gap in degrees, and the height at which its neighbours join; one row for
        a grade whose gaps are all alike, none for a grade that a chart does not have.
    """
    ring = [(class_["id"], subclass["id"], term) for class_, subclass, term in chart_terms(chart)]
    found: list[list[tuple[float, float | None]]] = [[], [], []]
    for here, there in zip(ring, ring[1:] + ring[:1], strict=True):
        grade = 2 if here[0] != there[0] else 1 if here[1] != there[1] else 0
        found[grade].append((here[2]["gap_after_deg"] or 0.0, here[2]["join_height_to_next"]))
    rows = []
    for words, pairs in zip(GRADES, found, strict=True):
        ends = sorted(pairs, key=lambda pair: pair[0])[:: max(len(pairs) - 1, 1)][:2]
        if len(ends) == 2 and round(ends[0][0], 2) == round(ends[1][0], 2):
            ends = ends[:1]
        rows += [(words, *end) for end in ends]
    return rows


def mark_key(ax: Axes, chart: Record, x: float, y: float) -> None:
    """Explain the marks at the rim and the italics."""
    heading(ax, x, y, "Marks at the rim")
    y -= 6
    for status, text in mark_meanings(chart["limits"]).items():
        draw_mark(ax, x + 1.4, y + 1.0, status)
        y = sentence(ax, x + 5, y, text, 46) - 1.4
    sentence(ax, x, y, "A class or subclass in italics: its name is a proposal.", 38)
