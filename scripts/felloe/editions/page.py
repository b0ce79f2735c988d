"""The report of two editions compared."""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from markupsafe import Markup, escape

from felloe.editions import follow_words, verdict_words, words
from felloe.editions.chance import noise_words
from felloe.editions.correspondence import GRADES, NO_CORRESPONDENCE, NONE
from felloe.editions.linking.links import RETIRED
from felloe.editions.verdict import by_chance, verdict
from felloe.ground.files.tables import Row
from felloe.ground.files.writing import write_text
from felloe.report.mark_words import PREVIEW
from felloe.report.telling.evidence import Evidence
from felloe.report.telling.page import Page, render

READS = ("editions/page.html.j2", "editions/linked.html.j2")
RECORD = "comparison.json"
QUOTE = re.compile(r"\{([\w.]+)\|(\w+)\}")  # a key of the record and how its value is shown


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
    found = verdict(evidence.record(RECORD))
    page = Page(evidence)
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
        page,
        moves=moves,
        by_chance=by_chance(evidence.record(RECORD)),
        decided_columns=decided,
        retired=retired_words(evidence),
        provisional=words.provisional(evidence.record(RECORD)),
        words=words,
        verdict=quoted_verdict(page, verdict_words.told(found)),
        asked_otherwise=verdict_words.asked_otherwise(found),
        noise=noise_words,
        quoted=lambda text: quoted(page, text),
        follows=follow_words,
        marks=[PREVIEW] if evidence.value(RECORD, "preview") else [],
    )
    write_text(path, text)


def retired_words(evidence: Evidence) -> list[Row]:
    """Return the rows of retired terms, each with where members are told to look instead."""
    places = {row["term"]: row["where_it_is_now"] for row in evidence.rows("members.csv")}
    rows = evidence.select("terms.csv", change=RETIRED)
    return [{**row, "place": places[row["term_older"]]} for row in rows]


def quoted(page: Page, text: str) -> Markup:
    """
    Return a sentence with its numbers, each from the record and with its place there.

    Parameters
    ----------
    page : Page
    text : str
        A number stands as `{key|style}`; of style `text`, the words of the record.

    Returns
    -------
    Markup
        "" if the record does not hold all of them.
    """
    if not page.has(RECORD, *(key for key, _ in QUOTE.findall(text))):
        return Markup("")
    parts, end = [], 0
    for quote in QUOTE.finditer(text):
        key, style = quote.groups()
        value = page.text(RECORD, key) if style == "text" else page.num(RECORD, key, style)
        parts += [escape(text[end : quote.start()]), value]
        end = quote.end()
    return Markup("").join([*parts, escape(text[end:])])


def quoted_verdict(
    page: Page, told: Sequence[verdict_words.Told]
) -> list[tuple[str, Markup, list[Markup]]]:
    """Return what each sentence is about, the sentence, and what it rests on, with numbers."""
    return [
        (
            one.about,
            quoted(page, one.sentence),
            [line for line in (quoted(page, text) for text in one.rests) if line],
        )
        for one in told
    ]
