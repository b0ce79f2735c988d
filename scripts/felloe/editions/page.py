"""The report of two editions compared."""

from felloe.ground.writing import write_text
from felloe.report.page import Page, render

RECORD = "comparison.json"


def write_editions_report(path, evidence):
    """
    Write the report.

    Parameters
    ----------
    path : str or Path
    evidence : Evidence
        The comparison's results.
    """
    page = Page(evidence)
    moves = [row for row in evidence.rows("terms.csv") if row["migration"] != "none"]
    grades = ("robust", "possible", "noise")
    moves.sort(key=lambda row: (grades.index(row["migration"]), row["term"]))
    decided = [
        (
            f"decided_{name}",
            f"placed by decision, {evidence.value(RECORD, f'{name}.edition')}",
            "plain",
        )
        for name in ("older", "newer")
        if any(row[f"decided_{name}"] for row in moves)
    ]
    write_text(path, render("editions/page.html.j2", page, moves=moves, decided_columns=decided))
