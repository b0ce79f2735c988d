"""The lists beside a wheel: what is not settled or was moved, and names that had no room."""

from dataclasses import replace

from felloe.ground.drawing import INK, MUTED
from felloe.report.chart import Record, chart_terms
from felloe.report.sheet.beside import LEADING, Beside, hundred, shortened
from felloe.report.sheet.name_fitting import is_lone, letters_of
from felloe.report.sheet.shapes import Anchor, Group, Text
from felloe.report.sheet.spoke_fitting import face_of
from felloe.report.typeface.faces import BOLD


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


def draw_unsettled(beside: Beside) -> Group:
    """List the words in bold and italics with their shares, beside the title."""
    form, group, words = beside.plan.form, Group(kind="unsettled"), beside.words
    found = [*unsettled(beside.chart), *moved(beside.chart)]
    if not found:
        return group
    size = form.key
    x, y = form.width - form.margin - 68.0 * beside.k, form.margin + 0.75 * size
    width = 68.0 * beside.k
    group.add(beside.text(words["sheet.unsettled"], x, y, size, BOLD))
    parts, y = beside.block(
        words["sheet.unsettled_note"], x, y + LEADING * size, width, size, MUTED
    )
    group.add(*parts)
    lowest = form.centre[1] - form.radius + 14.0 * beside.k
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
        group.add(beside.text(more, x, y, size, color=MUTED))
    return group


def _row(beside: Beside, x: float, width: float, class_: Record, term: Record) -> list[list[Text]]:
    """Return the lines of a word in the list, their heights still to be added."""
    size, face = beside.plan.form.key, face_of(term)
    text = told_of(beside, class_, term)
    label = term["label"]
    indent = beside.setter.width(label, face) * size + 0.6 * size
    first, *rest = beside.wrapped(text, width - indent, size) or [""]
    if beside.setter.width(label, face) * size > 0.6 * width:
        label = shortened(beside, label, 0.6 * width, size, face)
        indent = beside.setter.width(label, face) * size + 0.6 * size
        first, *rest = beside.wrapped(text, width - indent, size)
    lines = [[beside.text(label, x, 0.0, size, face), beside.text(first, x + indent, 0.0, size)]]
    for each in beside.wrapped(" ".join(rest), width - 2 * size, size):
        lines.append([beside.text(each, x + 2 * size, 0.0, size)])
    return lines


def told_of(beside: Beside, class_: Record, term: Record) -> str:
    """Return how often redraws put a term into its class and into its rival."""
    key = "unsettled_row" if term["rival_class"] else "unsettled_alone"
    if term["status"] == "moved":
        key = "unsettled_moved"
    elif is_lone(class_):
        key = "unsettled_lone"
    return beside.words.fill(
        f"sheet.{key}",
        home=hundred(term["home_probability"]),
        own=class_["name"],
        rival=hundred(term["rival_probability"]),
        other=term["rival_class_name"],
    )


def draw_numbered(beside: Beside) -> Group:
    """List the names that had no room on their arc."""
    form, group = beside.plan.form, Group(kind="numbered")
    if not beside.plan.numbered:
        return group
    size, y = form.key, form.centre[1] + form.radius - 24.0 * beside.k
    rows = [f"{letters_of(number)}  {name}" for number, name in beside.plan.numbered]
    half = -(-len(rows) // 2) if len(rows) > 8 else len(rows)
    for column, part in enumerate((rows[:half], rows[half:])):
        x = form.margin if column == 0 else form.width - form.margin
        anchor: Anchor = "start" if column == 0 else "end"
        at = y
        if part:
            group.add(beside.text(beside.words["sheet.numbered"], x, at, size, BOLD, INK, anchor))
        for row in part:
            at += LEADING * size
            group.add(beside.text(row, x, at, size, anchor=anchor))
    return group
