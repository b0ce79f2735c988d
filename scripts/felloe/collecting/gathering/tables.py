"""The answers that count, as the tables of a study's folder."""

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence

from felloe.collecting.gathering.expected import Expected
from felloe.collecting.gathering.judging import plain_words
from felloe.collecting.returned import Pile, Returned
from felloe.ground.files.tables import guarded

SORTS, PEOPLE, WORDS, COLOURS = "sorts.csv", "participants.csv", "pile_words.csv", "colours.csv"
Cells = Sequence[str | int]


def tables_of(
    sorts: Mapping[str, Returned], colours: Mapping[str, Returned], expected: Expected
) -> dict[str, bytes | None]:
    """
    Return the bytes of every table; None where it would have no row.

    Parameters
    ----------
    sorts, colours : mapping of str to Returned
        By participant.
    expected : Expected
    """
    by_person = sorted(sorts.items())
    piles = {person: piles_of(returned) for person, returned in by_person}
    placed = [row for person in piles for row in placements(person, piles[person], expected)]
    words = [row for person in piles for row in words_of(person, piles[person])]
    people = [
        (person, expected.people[person], minutes_of(each) if expected.timed else "")
        for person, each in by_person
    ]
    timed = any(row[2] for row in people)
    picked = [
        (term, person, colour.lower())
        for person, each in sorted(colours.items())
        for term, colour in each.picks.items()
    ]
    return {
        SORTS: table(("participant", "term", "pile", "position"), placed),
        PEOPLE: table(
            ("participant", "population", "minutes")[: 3 if timed else 2],
            [row[: 3 if timed else 2] for row in people],
        ),
        WORDS: table(("participant", "pile", "words"), words),
        COLOURS: table(("term", "respondent", "colour"), sorted(picked)),
    }


def table(header: Sequence[str], rows: Iterable[Cells]) -> bytes | None:
    """Return a table as CSV, None if it has no row."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    lines = [tuple(row) for row in rows]
    writer.writerows([tuple(header), *lines])
    return text.getvalue().encode() if lines else None


def piles_of(returned: Returned) -> list[Pile]:
    """Return the piles with something in them, by the first of their terms."""
    return sorted((pile for pile in returned.piles if pile.terms), key=lambda pile: min(pile.terms))


def placements(person: str, piles: Sequence[Pile], expected: Expected) -> list[Cells]:
    """Return a row for every analysed term that a person was shown; an empty pile: not placed."""
    place = {term: number for number, pile in enumerate(piles, 1) for term in pile.terms}
    shown = expected.shown[person]
    terms = sorted(set(shown) - expected.left_out)
    return [(person, term, place.get(term, ""), shown[term] or "") for term in terms]


def words_of(person: str, piles: Sequence[Pile]) -> list[Cells]:
    """Return a row for every pile for which a person had words."""
    said = [(number, plain_words(pile.words)) for number, pile in enumerate(piles, 1)]
    return [(person, number, guarded(words)) for number, words in said if words]


def minutes_of(returned: Returned) -> str:
    """Return minutes with two decimals at the most; empty where nothing is known."""
    if returned.minutes is None:
        return ""
    return re.sub(r"\.?0+$", "", f"{returned.minutes:.2f}")
