"""Step: the report of two editions compared."""

from felloe.editions.page import write_editions_report
from felloe.editions.tables import TABLES
from felloe.report.telling.evidence import Evidence


def main(
    *,
    comparison: str,
    terms: str,
    members: str,
    crosswalk: str,
    figures: list[str],
    report: str,
    folder: str,
) -> None:
    """Tell the comparison from its result files."""
    tables = {table.path: table for table in TABLES}
    paths = [comparison, terms, members, crosswalk, *figures]
    write_editions_report(report, Evidence(folder, paths, tables.__getitem__))
