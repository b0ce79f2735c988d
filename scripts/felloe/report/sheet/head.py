"""The head of a sheet: title, edition and who sorted; the marks in its middle."""

from felloe.ground.drawing import ACCENT, MUTED, PAPER
from felloe.report.mark_words import marks_in_short
from felloe.report.sheet.beside import Beside
from felloe.report.sheet.lists import listed
from felloe.report.sheet.shapes import Group, box
from felloe.report.sheet.spoke_fitting import MIDDLE
from felloe.report.typeface.faces import BOLD

MOST_LINES = 4  # of a title


def draw_head(beside: Beside) -> Group:
    """Write the title, the edition and who sorted."""
    form, group = beside.form, Group(kind="head")
    width = form.width - 2 * form.margin
    if listed(beside.chart):
        width -= 74.0 * form.k
    size = form.title
    lines = beside.wrapped(beside.chart["title"], width, size)
    while len(lines) > 2 and size > 0.5 * form.title:
        size *= 0.94
        lines = beside.wrapped(beside.chart["title"], width, size)
    if len(lines) > MOST_LINES:
        rest = " ".join(lines[MOST_LINES - 1 :])
        lines = [*lines[: MOST_LINES - 1], beside.shortened(rest, width, size)]
    y = form.margin + 0.75 * size
    for each in lines:
        group.add(*beside.texts(each, form.margin, y, size))
        y += 1.1 * size
    y += 0.75 * form.note
    edition = beside.words.fill("sheet.edition", edition=beside.chart["edition"])
    parts, _ = beside.block(f"{edition} {beside.note}", form.margin, y, width, form.note, MUTED)
    group.add(*parts)
    return group


def draw_centre(beside: Beside) -> Group:
    """Write the marks of a chart that may not be quoted into its middle."""
    group = Group(kind="centre")
    if marks := marks_in_short(beside.chart, beside.words):
        size = 1.5 * beside.form.note
        size *= min(1.0, 1.5 * beside.plan.leaf / beside.width(marks, size, BOLD))
        wide, high = beside.width(marks, size, BOLD) + size, 1.5 * size
        x, y = beside.form.centre
        group.add(
            box(-wide / 2, -high / 2, wide, high, fill=PAPER, role="paper"),
            *beside.texts(marks, x, y + MIDDLE * size, size, BOLD, ACCENT, "middle"),
        )
    return group
