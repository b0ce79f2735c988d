"""Step: what is handed to the committee and to other programs."""

from collections.abc import Sequence
from typing import Any

from felloe.report.steps import write_ballot, write_swatches, write_vocabulary, write_workbook


def main(
    *,
    chart: str,
    translations: Sequence[str] = (),
    study: str,
    folder: str,
    turtle: str,
    jsonld: str,
    palette: str,
    colour_table: str,
    tables: list[str],
    left_out: list[str],
    whose: str,
    smallest_cell: int,
    workbook: str,
    ballot: str,
    ballot_workbook: str,
    **asked: Any,
) -> None:
    """Write ballot, vocabulary and swatches, and every table in one workbook."""
    write_ballot.main(chart=chart, study=study, page=ballot, workbook=ballot_workbook, **asked)
    write_vocabulary.main(
        chart=chart, translations=translations, study=study, turtle=turtle, jsonld=jsonld
    )
    write_swatches.main(chart=chart, palette=palette, table=colour_table)
    write_workbook.main(
        tables=tables,
        whose=whose,
        workbook=workbook,
        study=study,
        folder=folder,
        left_out=left_out,
        smallest_cell=smallest_cell,
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
