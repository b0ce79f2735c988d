"""Step: the report that a committee, a reviewer and an auditor read."""

from typing import Any

from felloe.report.catalogue import table_of
from felloe.report.evidence import Evidence
from felloe.report.study_report import write_report


def main(
    *, results: list[str], report: str, study: str, folder: str, settings: dict[str, Any]
) -> None:
    """Tell the study from its result files."""
    write_report(report, Evidence(folder, results, table_of), study, settings)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
