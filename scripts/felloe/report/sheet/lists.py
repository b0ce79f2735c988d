"""The lists beside a wheel: what is not settled or was moved, and names that had no room."""

from dataclasses import replace
from math import sqrt

from felloe.ground.drawing import INK, MUTED
from felloe.report.chart import Record, chart_terms
from felloe.report.languages.language_words import Words
from felloe.report.sheet.beside import Beside, hundred
from felloe.report.sheet.level import LEADING
from felloe.report.sheet.name_fitting import is_lone, letters_of
from felloe.report.sheet.paper import Format
from felloe.report.sheet.shapes import Anchor, Group, Text
from felloe.report.sheet.spoke_fitting import face_of
from felloe.report.typeface.faces import BOLD, PLAIN

# millimetres of A3: the lowest line under the rim, what is kept free of it, the shortest line
LOWEST, AWAY, NARROWEST = 4.0, 3.0, 18.0


def unsettled(chart: Record) -> list[tuple[Record, Record]]:
    """Return the terms whose place is not settled with their classes, the least settled first."""
    found = [
        (class_, term)
        for class_, _, term in chart_terms(chart)
        if term["status"] in ("doubtful", "undecided")
    ]
    return sorted(found, key=lambda pair: (pair[1]["home_probability"] or 0.0, pair[1]["id"]))


def moved(chart: Record) -> list[tuple[Record, Record]]:
    """Return the terms that the committee placed with their classes, in order of their labels."""
    found = [(class_, term) for class_, _, term in chart_terms(chart) if term["status"] == "moved"]
    return sorted(found, key=lambda pair: str(pair[1]["label"]))


def listed(chart: Record) -> list[tuple[Record, Record]]:
    """Return what the list beside the title has, in its order: unsettled terms, then moved ones."""
    return [*unsettled(chart), *moved(chart)]


def draw_unsettled(beside: Beside) -> Group:
    """List the words in bold and italics with their shares, beside the title."""
    form, group, words = beside.form, Group(kind="unsettled"), beside.words
    found = listed(beside.chart)
    if not found:
        return group
    size, width = form.key, 68.0 * form.k
    x, y = form.width - form.margin - width, form.margin + 0.75 * size
    for text, color, face in (("unsettled", INK, BOLD), ("unsettled_note", MUTED, PLAIN)):
        parts, y = beside.block(words[f"sheet.{text}"], x, y, width, size, color, face)
        group.add(*parts)
    lowest = form.centre[1] - form.radius + 14.0 * form.k
    rows = [_row(beside, x, width, class_, term) for class_, term in found]
    room = int((lowest - y) / (LEADING * size)) + 1
    shown = 0
    while shown < len(rows) and len(rows[shown]) <= room - (shown + 1 < len(rows)):
        for texts in rows[shown]:
            group.add(*(replace(text, y=text.y + y) for text in texts))
            y += LEADING * size
            room -= 1
        shown += 1
    if shown < len(rows):
        more = words.fill("sheet.more", number=len(rows) - shown)
        group.add(*beside.texts(more, x, y, size, color=MUTED))
    return group


def _row(beside: Beside, x: float, width: float, class_: Record, term: Record) -> list[list[Text]]:
    """Return the lines of a word in the list, their heights still to be added."""
    size, face = beside.form.key, face_of(term)
    label = beside.shortened(term["label"], 0.6 * width, size, face)
    indent = beside.width(label, size, face) + 0.6 * size
    text = told_of(beside.words, class_, term)
    first, *rest = beside.hung(text, width - indent, width - 2 * size, size)
    return [
        [*beside.texts(label, x, 0.0, size, face), *beside.texts(first, x + indent, 0.0, size)],
        *(beside.texts(each, x + 2 * size, 0.0, size) for each in rest),
    ]


def told_of(words: Words, class_: Record, term: Record) -> str:
    """Return how often redraws put a term into its class and into its rival."""
    key = "unsettled_row" if term["rival_class"] else "unsettled_alone"
    if term["status"] == "moved":
        key = "unsettled_moved"
    elif is_lone(class_):
        key = "unsettled_lone"
    return words.fill(
        f"sheet.{key}",
        home=hundred(term["home_probability"]),
        own=class_["name"],
        rival=hundred(term["rival_probability"]),
        other=term["rival_class_name"],
    )


def draw_numbered(beside: Beside) -> Group:
    """List the names that had no room on their arc, in the two corners under the wheel."""
    form, group = beside.form, Group(kind="numbered")
    size, told = form.key, beside.plan.numbered
    rooms, heading = corner_rooms(form), beside.words["sheet.numbered"]
    while len(rooms) > 2 and beside.width(heading, size, BOLD) > rooms[-1][1]:
        rooms.pop()
    shown = told if len(told) <= 2 * (len(rooms) - 1) else told[: 2 * (len(rooms) - 1) - 1]
    rows = [f"{letters_of(number)}  {name}" for number, name in shown]
    if len(shown) < len(told):
        rows.append(beside.words.fill("sheet.more", number=len(told) - len(shown)))
    half = -(-len(rows) // 2) if len(rows) > 8 else len(rows)
    for left, part in ((True, rows[:half]), (False, rows[half:])):
        if not part:
            continue
        x = form.margin if left else form.width - form.margin
        anchor: Anchor = "start" if left else "end"
        # the last row is the lowest; higher up the wheel leaves less room
        for row, (y, width) in zip([*part[::-1], heading], rooms):
            face = BOLD if row == heading else PLAIN
            text = beside.shortened(row, width, size, face)
            group.add(*beside.texts(text, x, y, size, face, INK, anchor))
    return group


def corner_rooms(form: Format) -> list[tuple[float, float]]:
    """Return height on the paper and width of every line in a corner under the wheel, upwards."""
    rooms: list[tuple[float, float]] = []
    y = form.centre[1] + form.radius + LOWEST * form.k
    while True:
        down = y - form.key - form.centre[1]
        reach = sqrt(max(0.0, form.radius**2 - down**2))
        width = form.centre[0] - form.margin - reach - AWAY * form.k
        if width < NARROWEST * form.k:
            return rooms
        rooms.append((y, width))
        y -= LEADING * form.key
