"""The page of a timeline."""

import math
from pathlib import Path
from typing import Any

from felloe.editions.handing_on.members import by_letter
from felloe.ground.files.writing import write_text
from felloe.report.mark_words import PREVIEW
from felloe.report.telling.evidence import Evidence
from felloe.report.telling.page import Page, render
from felloe.timeline import follow_words, words
from felloe.timeline.follow import MOVES

READS = ("timeline/page.html.j2",)
RECORD, TABLE = "timeline.json", "timeline.csv"
MOST_UNSURE = 20  # terms of the table of entropies


def write_timeline_page(path: str | Path, evidence: Evidence) -> None:
    """
    Write the page.

    Parameters
    ----------
    path : str or Path
    evidence : Evidence
        The timeline's results.
    """
    record = evidence.record(RECORD)
    rows = [{**row, "named": words.named(row)} for row in evidence.rows(TABLE)]
    rows.sort(key=lambda row: (by_letter(row["label"]), row["path"]))
    editions = record["editions"]
    moved = [{**row, "moved": words.moved(row, editions)} for row in rows if row["moves"]]
    moved.sort(key=lambda row: MOVES.index(row["surest"]))
    told = [
        {**row, **{f"stop:{each['study']}": words.stop(row, each["study"]) for each in editions}}
        for row in rows
    ]
    known = [row for row in rows if not math.isnan(row["entropy"])]
    unsure = sorted(known, key=lambda row: -row["entropy"])[:MOST_UNSURE]
    text = render(
        READS[0],
        Page(evidence),
        moved=moved,
        told=told,
        unsure=unsure,
        known=known,
        classes=classes_by_edition(record),
        provisional=words.provisional(editions),
        words=words,
        follows=follow_words,
        marks=[PREVIEW] if record["preview"] else [],
    )
    write_text(path, text)


def classes_by_edition(record: dict[str, Any]) -> list[dict[str, Any]]:
    """Return every class with its edition, its place in the record, and what is told of it."""
    places = {each["study"]: place for place, each in enumerate(record["editions"])}
    names = {(places[one["study"]], one["id"]): one["name"] for one in record["classes"]}
    return [
        {
            "key": f"classes.{number}.",
            "edition": record["editions"][places[one["study"]]]["edition"],
            "name": one["name"],
            "told": words.class_told(one, names, places[one["study"]]),
        }
        for number, one in enumerate(record["classes"])
    ]
