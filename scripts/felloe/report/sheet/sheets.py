"""Sheets of a chart: for the wall, or a fault that says what has no room; for the desk, on A4."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from felloe.errors import Fault, StudyError
from felloe.report.chart import Record, chart_terms
from felloe.report.languages.language_words import Words, interface_words
from felloe.report.mark_words import marked_title, marks_told
from felloe.report.sheet.drawing import draw_sheet, faults_of_letters
from felloe.report.sheet.level import Level
from felloe.report.sheet.paper import A3, A4, Format, sizes_of, unworded
from felloe.report.sheet.shapes import Group, Sheet
from felloe.report.sheet.spoke_fitting import TooSmall
from felloe.report.typeface.shaping import Typesetter

LABELS = "the labels of terms.csv"
PROBLEM = "is too long for 6 pt on A3"
REMEDY = "Shorten the label; its definition can say the rest."
Made = TypeVar("Made")
SHOWN = 12  # labels named on the page that stands for A4


def wall_sheet(chart: Record, setter: Typesetter, weak: float) -> Sheet:
    """
    Draw a chart on A3, or on the next larger paper on which its terms are far enough apart.

    Where they are not even on A0, they are not written.

    Parameters
    ----------
    chart : dict
        `chart.json`.
    setter : Typesetter
    weak : float
        Share of redraws under which two classes have no peg.

    Raises
    ------
    StudyError
        If letters are missing, or a label would be smaller than 6 pt on A3; each is named.
    """
    return on_least_paper(
        sizes_of(A3), chart, setter, lambda form: drawn_on(form, chart, setter, weak)
    )


def on_least_paper(
    sizes: Sequence[Format],
    chart: Record,
    setter: Typesetter,
    made: Callable[[Format], Made | list[TooSmall]],
) -> Made:
    """
    Return what is made on the least paper on which the terms are far enough apart.

    Parameters
    ----------
    sizes : sequence of Format
        As it is on A3, and on larger paper.
    chart : dict
        `chart.json`.
    setter : Typesetter
    made : callable
        What is made in a format, or the terms that have no room in it.

    Raises
    ------
    StudyError
        As `wall_sheet` does. No paper is taken for one long label: it is named at once.
    """
    if faults := faults_of_letters(chart, setter):
        raise StudyError(faults)
    for size in (*sizes, unworded(sizes[0], len(list(chart_terms(chart))))):
        found = made(size)
        if not isinstance(found, list):
            return found
        if long := [each for each in found if each.why == "long"]:
            raise StudyError([Fault(LABELS, 0, "", each.label, PROBLEM, REMEDY) for each in long])
    raise AssertionError("a wheel without words has room")


def drawn_on(
    form: Format, chart: Record, setter: Typesetter, weak: float
) -> Sheet | list[TooSmall]:
    """Draw a chart on a size of paper, or name the terms that have no room there."""
    words = interface_words(chart["language"])
    note, told = who_sorted(chart, words), described(chart, words)
    if not form.worded:
        note = f"{note} {not_written(chart, words)}"
    return draw_sheet(chart, form, setter, note, told, weak=weak)


def not_written(chart: Record, words: Words) -> str:
    """Say that the terms do not stand on the wheel, and where they do."""
    number = words.number(len(list(chart_terms(chart))), "count")
    return words.fill("sheet.unworded", number=number)


def a4_sheet(chart: Record, setter: Typesetter, weak: float) -> tuple[Sheet, list[str]]:
    """
    Draw a chart on A4, with type sizes of its own.

    Returns
    -------
    sheet : Sheet
        A page that says why there is none, where labels would be smaller than 6 pt.
    dropped : list of str
        These labels.
    """
    drawn = drawn_on(A4, chart, setter, weak)
    if isinstance(drawn, Sheet):
        return drawn, []
    labels = [each.label for each in drawn]
    return excuse(chart, labels, setter), labels


def excuse(chart: Record, labels: Sequence[str], setter: Typesetter) -> Sheet:
    """Return the page that stands where A4 has no room."""
    words, level = interface_words(chart["language"]), Level(setter, A4)
    named = ", ".join(labels[:SHOWN])
    if len(labels) > SHOWN:
        named = words.fill("sheet.no_a4_others", labels=named)
    told = [chart["title"], words["sheet.no_a4"], named, words["sheet.print_a3"]]
    group, size, y = Group("sheet", kind="sheet"), A4.note * 1.3, 30.0
    for text in told:
        lines, y = level.block(text, A4.margin, y, A4.width - 2 * A4.margin, size)
        group.add(*lines)
        y += size
    return Sheet(
        A4.width, A4.height, A4.centre, marked_title(chart, words), " ".join(told),
        chart["language"], group,
    )  # fmt: skip


def who_sorted(chart: Record, words: Words) -> str:
    """Say who sorted the terms and whose sorts are charted, and whether data are invented."""
    people = chart["populations"]
    groups = [f"{each['label']} {words.number(each['participants'], 'count')}" for each in people]
    total = sum(each["participants"] for each in people)
    form = "one" if total == 1 else "many"
    participants = words.fill(f"sorted.participants.{form}", number=words.number(total, "count"))
    sentences = marks_told(chart, words)
    sentences.append(words.fill("sorted.by", participants=participants, groups=", ".join(groups)))
    if dealt := chart.get("terms_per_participant"):
        form = "alike" if dealt["least"] == dealt["largest"] else "unlike"
        form += "_but_few" if "but_a_few" in dealt else ""
        terms = words.number(len(list(chart_terms(chart, True))), "count")
        sentences.append(words.fill(f"sorted.parts.{form}", **dealt, terms=terms))
    if not all(each["charted"] for each in people):
        of = ", ".join(each["label"] for each in people if each["charted"])
        sentences.append(words.fill("sorted.alone", groups=of))
    if "invented" in chart["title"].lower():
        sentences.append(words["sorted.invented"])
    return " ".join(sentences)


def described(chart: Record, words: Words) -> str:
    """Return the tiers in words, in order around the circle, after what marks the chart bears."""
    parts = marks_told(chart, words)
    for class_ in chart["classes"]:
        groups = []
        for subclass in class_["subclasses"]:
            terms = ", ".join(term["label"] for term in subclass["terms"])
            groups.append(f"{subclass['name']} ({terms})" if terms else subclass["name"])
        parts.append(f"{class_['name']}: {'; '.join(groups)}.")
    return " ".join(parts)
