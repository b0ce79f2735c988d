"""The JSON of an answer, held against what a page may write and nothing else."""

import json
import re
from collections.abc import Collection, Mapping
from datetime import UTC, datetime
from typing import Any, NoReturn

from felloe.collecting.identity import Identity
from felloe.collecting.returned import LONGEST_WORDS, Pile, Returned
from felloe.errors import shortened
from felloe.ground.language_tags import canonical_tag
from felloe.validation.intake.raw.characters import (
    IDENTIFIER,
    LONGEST_IDENTIFIER,
    cleaned,
    hidden_character,
)

FORM = "felloe-return-1"
HEAD = ("form", "kind", "study", "edition", "participant", "terms", "language", "saved")
BODIES = {
    "sort": ("piles", "unknown", "unplaced"),
    "colours": ("picks", "unknown", "unplaced"),
}
NEEDED = {"sort": BODIES["sort"], "colours": ("picks",)}
SAVED = "%Y-%m-%dT%H:%M:%SZ"
MOST_TERMS = 1000
MOST_MINUTES = 100_000
REMEDY = "It was changed after it was saved: ask for the file as the page saved it."


class BadRecord(Exception):
    """A record is none that a page writes; the arguments are the problem and what to do."""


def bad(problem: str, remedy: str = REMEDY) -> NoReturn:
    """Refuse a record."""
    raise BadRecord(problem, remedy)


def returned_record(text: str, source: str) -> Returned:
    """
    Return the answer in a record.

    Parameters
    ----------
    text : str
        JSON.
    source : str
        Name of the file.

    Raises
    ------
    BadRecord
        If anything in it is not as a page writes it.
    """
    record = parsed(text)
    identity = identity_of(record)
    used: set[str] = set()
    return Returned(
        source=source,
        identity=identity,
        saved=saved_of(record),
        piles=piles_of(record.get("piles", []), used),
        unknown=term_list(record.get("unknown", []), "unknown", used),
        unplaced=term_list(record.get("unplaced", []), "unplaced", used),
        minutes=minutes_of(record),
        picks=picks_of(record.get("picks", {}), used),
    )


def parsed(text: str) -> Mapping[str, Any]:
    """Return the record with the keys that its kind has."""
    try:
        record = json.loads(text, object_pairs_hook=once, parse_constant=no_number)
    except (ValueError, RecursionError):
        bad("is no JSON, or not whole")
    if not isinstance(record, dict) or record.get("form") != FORM:
        bad("is no file that a page of a kit saved", "Take it out of returns/ if it is none.")
    kind = record.get("kind")
    if not isinstance(kind, str) or kind not in BODIES:
        bad("names no kind of answer that there is")
    missing = [name for name in (*HEAD, *NEEDED[kind]) if name not in record]
    if missing:
        bad(f"lacks '{missing[0]}'")
    beyond = sorted(set(record) - {*HEAD, *BODIES[kind], "minutes"})
    if beyond:
        bad(f"holds '{shortened(beyond[0])}', which no page writes")
    return record


def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an object none of whose keys stands twice."""
    found = dict(pairs)
    if len(found) < len(pairs):
        bad("names something twice")
    return found


def no_number(text: str) -> NoReturn:
    """Refuse what JSON has no numbers for."""
    bad(f"holds '{text}', which is no number")


def text_in(record: Mapping[str, Any], name: str, most: int = LONGEST_IDENTIFIER) -> str:
    """Return a text that is one line, without anything unseen."""
    value = record[name]
    if not isinstance(value, str) or not value or len(value) > most or hidden_character(value):
        bad(f"'{name}' is no text of a line with at most {most} characters")
    return value


def identity_of(record: Mapping[str, Any]) -> Identity:
    """Return whose answer to what the record says that it is."""
    for name in ("study", "participant"):
        if not IDENTIFIER.fullmatch(text_in(record, name)):
            bad(f"'{name}' is no name of one: '{shortened(record[name])}'")
    if not re.fullmatch("[0-9a-f]{64}", text_in(record, "terms")):
        bad("'terms' is no hash of a lexicon")
    if canonical_tag(text_in(record, "language")) is None:
        bad("'language' is no tag of a language")
    return Identity(
        kind=record["kind"],
        study=record["study"],
        edition=text_in(record, "edition"),
        participant=record["participant"],
        terms=record["terms"],
    )


def saved_of(record: Mapping[str, Any]) -> datetime:
    """Return when it was saved."""
    text = text_in(record, "saved")
    if not re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", text, re.ASCII):
        bad("'saved' is no time in UTC such as 2026-03-27T10:00:00Z")
    try:
        return datetime.strptime(text, SAVED).replace(tzinfo=UTC)
    except ValueError:
        bad("'saved' is no day or no time that there is")


def minutes_of(record: Mapping[str, Any]) -> float | None:
    """Return how long it took, where the page says so."""
    if "minutes" not in record:
        return None
    value = record["minutes"]
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not 0 <= value <= MOST_MINUTES:
        bad("'minutes' is no number of minutes")
    return float(value)


def term_list(value: Any, name: str, used: set[str]) -> tuple[str, ...]:
    """Return ids of terms, none of which stood anywhere before."""
    if not isinstance(value, list) or len(value) > MOST_TERMS:
        bad(f"'{name}' is no list of terms")
    for term in value:
        if not is_term(term):
            bad(f"'{name}' holds what is no id of a term: {shortened(term)!r}")
        if term in used:
            bad(f"the term '{term}' stands in it twice")
        used.add(term)
    return tuple(value)


def is_term(value: Any) -> bool:
    """Return whether a value can be the id of a term."""
    if not isinstance(value, str) or len(value) > LONGEST_IDENTIFIER:
        return False
    return IDENTIFIER.fullmatch(value) is not None


def piles_of(value: Any, used: set[str]) -> tuple[Pile, ...]:
    """Return the piles, each with a term at least."""
    if not isinstance(value, list) or len(value) > MOST_TERMS:
        bad("'piles' is no list of piles")
    return tuple(pile_of(each, number, used) for number, each in enumerate(value, start=1))


def pile_of(value: Any, number: int, used: set[str]) -> Pile:
    """Return one pile."""
    if not isinstance(value, dict) or not has_keys(value, {"words", "terms"}):
        bad(f"pile {number} has not just words and terms")
    terms = term_list(value["terms"], f"pile {number}", used)
    if not terms:
        bad(f"pile {number} is empty")
    words = value["words"]
    if not isinstance(words, str) or len(words) > LONGEST_WORDS:
        bad(f"the words of pile {number} are no text of at most {LONGEST_WORDS} characters")
    if hidden := hidden_character(words):
        bad(f"the words of pile {number}: {hidden}")
    return Pile(terms, cleaned(words))


def has_keys(value: Mapping[str, Any], wanted: Collection[str]) -> bool:
    """Return whether an object has these keys and no others."""
    return set(value) == set(wanted)


def picks_of(value: Any, used: set[str]) -> dict[str, str]:
    """Return the colour of every term that has one."""
    if not isinstance(value, dict) or len(value) > MOST_TERMS:
        bad("'picks' is no list of terms with colours")
    term_list(list(value), "picks", used)
    for term, colour in value.items():
        if not isinstance(colour, str) or not re.fullmatch("#[0-9a-f]{6}", colour):
            bad(f"the colour of '{term}' is none: {shortened(colour)!r}")
    return dict(value)
