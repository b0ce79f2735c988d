"""The form of `ballot.xlsx`: what stands where, and how a choice is written so that it is read."""

import hashlib
import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from felloe.ground.arrays import Array

BALLOT = "ballot.xlsx"
FORMAT = "felloe-ballot/1"
SHEET, ABOUT, CHOICES = "ballot", "about", "choices"
MADE_FROM = ("format", "study", "edition", "chart", "sorts")  # rows of the sheet `about`
ASKED = ("number", "kind", "question", "evidence")
SAID = ("reason", "decided_on", "decided_by")  # of every decision and name
ANSWERED = ("choice", "name", "absorbs", *SAID)
OWN = ("tier", "subject", "proposal", "alone", "stands_in", "check")
COLUMNS = (*ASKED, *ANSWERED, *OWN)
CHECKED = ("kind", *OWN[:-1])  # what the check of a row is over, beside its list
HIDDEN = ("kind", *OWN)  # columns that nobody has to see
HEAD = "column "  # the sheet `about` says under it how a column is called in the sheet `ballot`
OPEN, STAY, BESIDE, WITHIN, KEEP, DROP, PROPOSED, OTHER = (
    "open", "stay", "beside", "within", "keep", "drop", "name", "other",
)  # fmt: skip
MOVES = (BESIDE, WITHIN)
OF_TERM = (STAY, *MOVES, OPEN)
KINDS = {
    "term": OF_TERM,
    "sensitive": OF_TERM,
    "class": (KEEP, OPEN),
    "void": (KEEP, DROP, OPEN),
    "name": (PROPOSED, OTHER, OPEN),
}
CHOICE = re.compile(r"([a-z]+)(?: ([a-z0-9][a-z0-9_-]*))?(?: \| .*)?", re.DOTALL)
DIGITS = 12  # of a row's check; against slips, not against forgery
MOST_SUCCESSORS = 12  # terms of each tier that a name could hang on instead


@dataclass(frozen=True)
class Origin:
    """
    What a ballot was made from.

    Attributes
    ----------
    study, edition : str
    chart : str
        Hash of the published chart and its names.
    sorts : str
        Hash of everybody's sorts, whoever they are.
    """

    study: str
    edition: str
    chart: str
    sorts: str


def choice_text(code: str, term: str = "", words: str = "") -> str:
    """Return a choice as it stands in a list: what is read, then what is told."""
    return " ".join(part for part in (code, term, f"| {words}" if words else "") if part)


def read_choice(text: str) -> tuple[str, str] | None:
    """Return the code and the term of a choice, or None if it is no choice."""
    found = CHOICE.fullmatch(text)
    return (found[1], found[2] or "") if found else None


def writes_nothing(code: str, term: str, kind: str) -> bool:
    """Return whether a choice leaves everything as it is, so that no reason is asked for it."""
    return (code == STAY and not term) or (code == KEEP and kind in ("class", "void"))


def row_check(origin: Origin, cells: Mapping[str, str], choices: Iterable[str]) -> str:
    """
    Return the check of a row: that of other cells, choices or origin is another.

    Parameters
    ----------
    origin : Origin
    cells : mapping of str to str
        The row's cells by column, or at least those of `CHECKED`.
    choices : iterable of str
        The texts of its list.
    """
    made_from = (origin.study, origin.edition, origin.chart, origin.sorts)
    parts = (*made_from, *(cells[name] for name in CHECKED), *choices)
    return hashlib.sha256("\x1f".join(parts).encode()).hexdigest()[:DIGITS]


def successors(groups: Mapping[str, Sequence[str]]) -> str:
    """Return which terms a name could hang on instead, the first of each tier, as a cell."""
    return " ".join(
        f"{tier}={','.join(terms[:MOST_SUCCESSORS])}" for tier, terms in sorted(groups.items())
    )


def read_successors(text: str) -> dict[str, list[str]]:
    """Return what `successors` wrote."""
    found = (part.partition("=") for part in text.split())
    return {tier: terms.split(",") if terms else [] for tier, _, terms in found}


def next_anchor(candidates: Iterable[str], moving: Collection[str]) -> str | None:
    """Return the first term that stays, or None."""
    return next((term for term in candidates if term not in moving), None)


def sorts_hash(populations: Sequence[str], terms: Sequence[str], piles: Array) -> str:
    """
    Return the hash of all sorts, the same whoever made them and in whatever order they stand.

    Parameters
    ----------
    populations : sequence of str
        Of each participant.
    terms : sequence of str
    piles : (n_participants, n_terms) array of int
        Numbered by first appearance.
    """
    rows = sorted(
        f"{population}:{','.join(map(str, row))}"
        for population, row in zip(populations, piles.tolist(), strict=True)
    )
    return hashlib.sha256("\n".join([",".join(terms), *rows]).encode()).hexdigest()
