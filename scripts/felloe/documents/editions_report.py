"""The report of two editions compared."""

from felloe.documents.page import Page, render
from felloe.files.atomic import write_text


def write_editions_report(path, evidence):
    """
    Write the report.

    Parameters
    ----------
    path : str or Path
    evidence : Evidence
        The comparison's results.
    """
    labels = {}
    for row in evidence.rows("terms.csv"):
        if row["term_older"]:
            labels[f"older {row['term_older']}"] = row["label_older"]
    page = Page(evidence, labels)
    moves = [row for row in evidence.rows("terms.csv") if row["migration"] != "none"]
    grades = ("robust", "possible", "noise")
    moves.sort(key=lambda row: (grades.index(row["migration"]), row["term"]))
    write_text(path, render("editions.html.j2", page, moves=moves))
