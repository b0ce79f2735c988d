"""Sheets of a chart: A3, or a fault that names what cannot be set; A4, or a page that says so."""

from collections.abc import Sequence

from felloe.errors import Fault, StudyError
from felloe.ground.drawing import INK
from felloe.report.chart import Record
from felloe.report.mark_words import mark_sentences
from felloe.report.sheet.drawing import draw_sheet, faults_of_letters
from felloe.report.sheet.plan import A3, A4, TooSmall
from felloe.report.sheet.shapes import Group, Sheet, Text
from felloe.report.typeface.shaping import Typesetter
from felloe.report.words import sorted_by

LABELS = "the labels of terms.csv"
REMEDY = {
    "long": "Shorten the label; its definition can say the rest.",
    "close": "Shorten the longest labels, or publish fewer terms.",
}
SHOWN = 12  # labels named on the page that stands for A4


def a3_sheet(chart: Record, setter: Typesetter, weak: float) -> Sheet:
    """
    Draw a chart on A3.

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
        If letters are missing, or labels would be smaller than 6 pt; each is named.
    """
    if faults := faults_of_letters(chart, setter):
        raise StudyError(faults)
    drawn = draw_sheet(chart, A3, setter, sorted_by(chart), described(chart), weak=weak)
    if isinstance(drawn, Sheet):
        return drawn
    raise StudyError([fault_of(each) for each in drawn])


def fault_of(small: TooSmall) -> Fault:
    """Return the fault of a label that has no room on A3."""
    why = "is too long for" if small.why == "long" else "stands too close to the next one for"
    return Fault(LABELS, 0, "", small.label, f"{why} 6 pt on A3", REMEDY[small.why])


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
    drawn = draw_sheet(chart, A4, setter, sorted_by(chart), described(chart), weak=weak)
    if isinstance(drawn, Sheet):
        return drawn, []
    labels = [each.label for each in drawn]
    return excuse(chart, labels, setter), labels


def excuse(chart: Record, labels: Sequence[str], setter: Typesetter) -> Sheet:
    """Return the page that stands where A4 has no room."""
    named = ", ".join(labels[:SHOWN]) + (" and others" if len(labels) > SHOWN else "")
    lines = [
        chart["title"],
        "This chart has no A4 sheet: on A4 these labels would be smaller than 6 pt.",
        named,
        "Print the A3 sheet.",
    ]
    group, size, y = Group("sheet", kind="sheet"), A4.note * 1.3, 30.0
    for text in lines:
        words, line = text.split(), ""
        for word in [*words, ""]:
            longer = f"{line} {word}".strip()
            if word and setter.width(longer) * size <= A4.width - 2 * A4.margin:
                line = longer
                continue
            group.add(Text(line, A4.margin - A4.centre[0], y - A4.centre[1], size, INK))
            line, y = word, y + 1.3 * size
        y += size
    return Sheet(
        A4.width, A4.height, A4.centre, chart["title"], " ".join(lines),
        str(chart.get("language", "en")), group,
    )  # fmt: skip


def described(chart: Record) -> str:
    """Return the tiers in words, in order around the circle, after what marks the chart bears."""
    parts = mark_sentences(chart)
    for class_ in chart["classes"]:
        groups = []
        for subclass in class_["subclasses"]:
            terms = ", ".join(term["label"] for term in subclass["terms"])
            groups.append(f"{subclass['name']} ({terms})" if terms else subclass["name"])
        parts.append(f"{class_['name']}: {'; '.join(groups)}.")
    return " ".join(parts)
