"""What stands over and under two wheels: their titles, and what lines, marks and hues mean."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from felloe.editions.columns import figure_words as words
from felloe.editions.correspondence import NOISE, POSSIBLE, ROBUST
from felloe.editions.linking.links import NEW, RETIRED
from felloe.editions.wheels.figure_joins import DASHES, WIDTHS
from felloe.editions.wheels.figure_marks import mark_at
from felloe.editions.wheels.form import MARGIN, WIDTH, Form
from felloe.editions.wheels.hues import Counterparts, Hue, counterparts, grey_beside, hues_of
from felloe.ground.drawing import ACCENT, INK, MUTED
from felloe.report.chart import Record, on_ring
from felloe.report.sheet.level import Level
from felloe.report.sheet.name_fitting import is_lone
from felloe.report.sheet.shapes import Anchor, Group, Part, Shape, box, line
from felloe.report.sheet.spoke_fitting import MIDDLE
from felloe.report.typeface.faces import BOLD

if TYPE_CHECKING:
    from felloe.editions.wheels.figure_pair import Pair

SAMPLE = 9.0  # length of a line that is explained
BETWEEN = 7.0  # two entries of the key
Icon = Callable[[float, float], list[Part]]


def draw_pair_head(
    charts: Sequence[Record], editions: Sequence[str], preview: str, form: Form, level: Level
) -> Group:
    """Write the edition and the title of either study over its wheel."""
    group, size = Group(kind="head"), 1.9 * form.wheel.note
    half = WIDTH / 2 - MARGIN
    anchors: tuple[Anchor, Anchor] = ("start", "end")
    for chart, edition, x, anchor in zip(
        charts, editions, (MARGIN, WIDTH - MARGIN), anchors, strict=True
    ):
        name = level.shortened(edition, half - 4.0, size, BOLD)
        title = level.shortened(chart["title"], half - 4.0, form.wheel.note)
        group.add(
            *level.texts(name, x, MARGIN + 0.8 * size, size, BOLD, INK, anchor),
            *level.texts(
                title, x, MARGIN + 0.8 * size + 1.4 * form.wheel.note, form.wheel.note,
                color=MUTED, anchor=anchor,
            ),
        )  # fmt: skip
    if preview:
        note = form.wheel.note
        group.add(*level.texts(preview, WIDTH / 2, 0.9 * note + 1.0, note, BOLD, ACCENT, "middle"))
    return group


def draw_pair_key(
    pair: "Pair", form: Form, level: Level, beside: Sequence[str]
) -> tuple[Group, float]:
    """Explain lines, marks and hues, those that there are; return where the key ends as well."""
    group, size = Group(kind="key"), form.wheel.key
    x, y = MARGIN, form.foot
    for icon, wide, text in entries(pair, form):
        room = wide + 1.6 + level.width(text, size)
        if x > MARGIN and x + room > WIDTH - MARGIN:
            x, y = MARGIN, y + 1.7 * size
        group.add(*icon(x, y - MIDDLE * size), *level.texts(text, x + wide + 1.6, y, size))
        x += room + BETWEEN
    y += 1.9 * size
    for text in (sentences(pair), *beside):
        lines, y = level.block(text, MARGIN, y, WIDTH - 2 * MARGIN, size, MUTED)
        group.add(*lines)
    return group, y


def entries(pair: "Pair", form: Form) -> list[tuple[Icon, float, str]]:
    """Return what is explained by a sample: how it is drawn, how wide it is, what it means."""
    grades = {row["migration"] for row in pair.moved}
    found: list[tuple[Icon, float, str]] = [
        (sample_of(grade), SAMPLE + 3.0, words.MOVES[grade])
        for grade in (ROBUST, POSSIBLE)
        if grade in grades
    ]
    marked = {mark for marks in pair.marks for mark in marks.values()}
    size = 1.2 * form.wheel.dot
    for change in (NEW, RETIRED, words.SPLIT_TERM):
        if change in marked:
            found.append((mark_icon(change, size), 2 * size, words.CHANGES[change]))
    if counterparts_of(pair).only_older:
        grey = grey_beside(hues_of(pair.charts[1]))
        found.append((grey_icon(grey), 5.0, words.without(*pair.editions)))
    return found


def sample_of(grade: str) -> Icon:
    """Return what draws a piece of a line with the mark that its term has."""

    def draw(x: float, y: float) -> list[Part]:
        made = line((x + 3.0, y), (x + 3.0 + SAMPLE, y), stroke=INK, width=WIDTHS[grade])
        ways = Shape(made.steps, stroke=INK, width=WIDTHS[grade], dash=DASHES[grade])
        return [*mark_at(grade, (x + 1.2, y), 1.1), ways]

    return draw


def mark_icon(mark: str, size: float) -> Icon:
    """Return what draws a mark."""
    return lambda x, y: [*mark_at(mark, (x + size, y), size)]


def grey_icon(grey: Hue) -> Icon:
    """Return what draws a piece of a class without counterpart."""
    look = {"fill": grey["used"], "stroke": grey["outline"]}
    return lambda x, y: [box(x, y - 1.3, 5.0, 2.6, width=0.2, **look)]


def sentences(pair: "Pair") -> str:
    """Return what is said under the samples."""
    told = [
        words.lie_told(pair.editions[0], pair.turn),
        words.hues_told(*pair.editions, counterparts_of(pair)),
    ]
    told.append(words.lone_told(pair.editions, [lone_names(chart) for chart in pair.charts]))
    told.append("" if pair.moved else words.NO_MOVE)
    told.append(words.NOT_JOINED if pair.changes[NOISE] else "")
    return " ".join(filter(None, told))


def counterparts_of(pair: "Pair") -> Counterparts:
    """Return which classes on the rings have no counterpart."""
    rings = [on_ring(chart["classes"]) for chart in pair.charts]
    names = [{class_["id"]: str(class_["name"]) for class_ in ring} for ring in rings]
    return counterparts(names, pair.partners)


def lone_names(chart: Record) -> list[str]:
    """Return the names of the classes that are one word on the ring and go by it."""
    return [str(class_["name"]) for class_ in on_ring(chart["classes"]) if is_lone(class_)]
