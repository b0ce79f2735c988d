"""Step: every table of a study in one workbook."""

from felloe.ground.files.records import read_json
from felloe.report.hand_off.workbook import write_workbook
from felloe.report.mark_words import mark_sentences


def main(
    *,
    tables: list[str],
    whose: str,
    workbook: str,
    study: str,
    folder: str,
    left_out: list[str],
    smallest_cell: int,
) -> None:
    """Gather the open tables, name the personal ones, under the marks of the chart."""
    marks = mark_sentences(read_json(whose))
    write_workbook(workbook, [*tables, *left_out], folder, study, smallest_cell, marks)
