"""Step: the report that a committee, a reviewer and an auditor read."""

from collections.abc import Sequence
from typing import Any

from felloe.report.catalogue import table_of
from felloe.report.telling.evidence import Evidence
from felloe.report.telling.study_report import write_report


def main(
    *,
    results: Sequence[str],
    report: str,
    study: str,
    folder: str,
    settings: dict[str, Any],
    translations: Sequence[str] = (),
) -> None:
    """Tell the study from its result files, and from the chart in its further languages."""
    write_report(report, Evidence(folder, [*results, *translations], table_of), study, settings)
