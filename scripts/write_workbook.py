"""Step: every table of a study in one workbook."""

from felloe.report.workbook import write_workbook


def main(*, tables: list[str], workbook: str, study: str, folder: str) -> None:
    """Gather the tables that the study has."""
    write_workbook(workbook, tables, folder, study)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
