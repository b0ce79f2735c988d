"""Step: every table of a study in one workbook."""

from felloe.ground.files.records import read_json
from felloe.report.mark_words import mark_sentences
from felloe.report.workbook import write_workbook


def main(*, tables: list[str], whose: str, workbook: str, study: str, folder: str) -> None:
    """Gather the tables that the study has, under the marks of its chart."""
    write_workbook(workbook, tables, folder, study, mark_sentences(read_json(whose)))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
