"""The report of two editions compared."""

from pathlib import Path
from typing import Any

from felloe.editions import follow_words, words
from felloe.editions.correspondence import GRADES, NO_CORRESPONDENCE, NONE
from felloe.ground.files.writing import write_text
from felloe.report.mark_words import PREVIEW
from felloe.report.telling.evidence import Evidence
from felloe.report.telling.page import Page, render

READS = ("editions/page.html.j2", "editions/linked.html.j2")
RECORD = "comparison.json"


def write_editions_report(path: str | Path, evidence: Evidence) -> None:
    """
    Write the report.

    Parameters
    ----------
    path : str or Path
    evidence : Evidence
        The comparison's results.
    """
    still = (NONE, NO_CORRESPONDENCE)
    moves = [row for row in evidence.rows("terms.csv") if row["migration"] not in still]
    moves.sort(key=lambda row: (GRADES.index(row["migration"]), row["term"]))
    decided: list[tuple[str, Any, str]] = [
        (
            f"decided_{name}",
            words.decided_heading(evidence.value(RECORD, f"{name}.edition")),
            "plain",
        )
        for name in ("older", "newer")
        if any(row[f"decided_{name}"] for row in moves)
    ]
    text = render(
        "editions/page.html.j2",
        Page(evidence),
        moves=moves,
        decided_columns=decided,
        provisional=words.provisional(evidence.record(RECORD)),
        words=words,
        follows=follow_words,
        marks=[PREVIEW] if evidence.value(RECORD, "preview") else [],
    )
    write_text(path, text)
