"""What two editions compared amount to: a verdict on structure, on words and on people."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any

from felloe.ground.dotted import value_at

Record = Mapping[str, Any]

RELIABLE = 0.7  # of either study; `comparison.margins.reliability` has the same, and its reason
ALIKE = 0.6  # adjusted Rand from which divisions are called alike; rule of thumb, no source
BARELY = 0.2  # below it classes are said to have little in common; rule of thumb, no source
SEEN_ALIKE = 0.9  # lower end of the corrected correlation; `comparison.margins.corrected_r`
MOST_STAY = 0.25  # share of common words from which on many moved; rule of thumb, no source
FEW_WORDS = 0.2  # share of an edition's words that may go, or be new, in one vocabulary; the same
SIDES = ("older", "newer")
RAND = "tiers.data_only.class.adjusted_rand"  # halves are charted from their sorts alone

TOO_FEW = "too_few"
# structure
UNRELATED, NEAR_NOT_SAME = "unrelated", "near_not_same"
SAME, ALIKE_BUT, CANNOT_TELL = "same", "alike_but", "cannot_tell"
CHANGED, LITTLE_SHARED = "changed", "little_shared"
# words
NO_CORRESPONDENCE = "no_correspondence"
NONE_MOVED, NONE_ROBUST, AS_CHANCE = "none_moved", "none_robust", "as_chance"
SOME_MOVED, MANY_MOVED = "some_moved", "many_moved"
SAME_WORDS, MORE_WORDS, FEWER_WORDS, OTHER_WORDS = "same", "more", "fewer", "other"
RESHAPED = ("split", "merged")
# people
SEEN_SAME, SEEN_ALIKE_BUT, SEEN_APART = "seen_same", "seen_alike_but", "seen_apart"
SEEN_APART_SAME_CLASSES, NOT_SHOWN = "seen_apart_same_classes", "not_shown"
# cautions
ASKED_OTHERWISE, ONE_IN_PARTS, BOTH_IN_PARTS = "asked_otherwise", "one_in_parts", "both_in_parts"
ONE_PROVISIONAL, BOTH_PROVISIONAL, PREVIEW = "one_provisional", "both_provisional", "preview"


@dataclass(frozen=True)
class Verdict:
    """
    What two editions compared amount to; codes, for `verdict_words`.

    Attributes
    ----------
    structure, words, people : str
    stock : {"same", "more", "fewer", "other"}
        Whether the newer edition has the older one's words.
    reshaped : tuple of {"split", "merged"}
        What some of the older words became; those stand outside the moves.
    beyond : tuple of {"older", "newer"}
        Studies two halves of which agree better in their classes than the editions do.
    cautions : tuple of str
    """

    structure: str
    words: str
    people: str
    stock: str
    reshaped: tuple[str, ...]
    beyond: tuple[str, ...]
    cautions: tuple[str, ...]


def verdict(record: Record) -> Verdict:
    """
    Decide what may be said of two editions in three sentences.

    Parameters
    ----------
    record : mapping
        `comparison.json`.

    Returns
    -------
    Verdict
    """
    beyond = beyond_noise(record)
    structure = structure_of(record, beyond)
    return Verdict(
        structure=structure,
        words=words_of(record),
        people=people_of(record, structure),
        stock=stock_of(record),
        reshaped=tuple(change for change in RESHAPED if record["terms"][change]),
        beyond=beyond,
        cautions=cautions_of(record),
    )


def too_few(record: Record) -> bool:
    """Say whether either study's people are too few, or agree too little, to tell anything."""
    reliabilities = [value_at(record, f"reliability.{side}") for side in SIDES]
    halves = [value_at(record, f"noise.{side}.{RAND}.low") for side in SIDES]
    if any(value is None for value in (*reliabilities, *halves)):
        return True
    return bool(min(reliabilities) < RELIABLE)


def beyond_noise(record: Record) -> tuple[str, ...]:
    """Return the studies of which nearly all divisions into halves agree better in classes."""
    index = value_at(record, RAND)
    lows = {side: value_at(record, f"noise.{side}.{RAND}.low") for side in SIDES}
    return tuple(side for side, low in lows.items() if low is not None and index < low)


def structure_of(record: Record, beyond: tuple[str, ...]) -> str:
    """
    Decide what may be said of the classes.

    A small p says that classes, or distances, are related, never that they are the same: for that
    the adjusted Rand index itself has to be large. Where it is not, and halves of both studies do
    no better, nothing can be told.
    """
    if too_few(record):
        return TOO_FEW
    if not record["correspondence"]["found"]:
        related = record["mantel"]["pearson"]["p"] <= record["correspondence"]["level"]
        return NEAR_NOT_SAME if related else UNRELATED
    index = record["tiers"]["published"]["class"]["adjusted_rand"]
    if index >= ALIKE:
        return ALIKE_BUT if beyond else SAME
    if not beyond:
        return CANNOT_TELL
    return CHANGED if index >= BARELY else LITTLE_SHARED


def words_of(record: Record) -> str:
    """Decide what may be said of the words that both editions have."""
    if too_few(record):
        return TOO_FEW
    if not record["correspondence"]["found"]:
        return NO_CORRESPONDENCE
    moves, common = record["migrations"], record["terms"]["common"]
    if not moves["robust"]:
        return NONE_ROBUST if moves["possible"] else NONE_MOVED
    if moves["robust"] <= by_chance(record):
        return AS_CHANCE
    return MANY_MOVED if moves["robust"] >= MOST_STAY * common else SOME_MOVED


def by_chance(record: Record) -> int:
    """Return how many robust moves as many words made in simulation where none had moved."""
    expected = record["expected_moves"]
    if expected is None:
        return 0
    return ceil(float(max(expected["still_robust"])) * int(record["terms"]["common"]))


def stock_of(record: Record) -> str:
    """Say whether the newer edition has the older one's words; one that was split has gone on."""
    terms = record["terms"]
    kept = terms["retired"] <= FEW_WORDS * record["older"]["n_terms"]
    known = terms["new"] <= FEW_WORDS * record["newer"]["n_terms"]
    if kept:
        return SAME_WORDS if known else MORE_WORDS
    return FEWER_WORDS if known else OTHER_WORDS


def people_of(record: Record, structure: str) -> str:
    """Decide what may be said of how the people of both studies see the common words."""
    corrected, placed = record["corrected_r"], record["placed_differently"]
    if too_few(record) or corrected["low"] is None or corrected["says"] in ("no_bound", "nothing"):
        return TOO_FEW
    p, level = record["label_permutation"]["p_matched"], placed["level"]
    apart = p <= level or placed["named"] > 0
    if corrected["low"] >= SEEN_ALIKE:
        return SEEN_ALIKE_BUT if apart else SEEN_SAME
    if not apart:
        return NOT_SHOWN
    return SEEN_APART_SAME_CLASSES if structure in (SAME, ALIKE_BUT) else SEEN_APART


def cautions_of(record: Record) -> tuple[str, ...]:
    """Return what weakens everything that is said."""
    parts = ["in_parts" in record[side] for side in SIDES]
    provisional = [record[side]["provisional"] for side in SIDES]
    cautions = {
        ASKED_OTHERWISE: not record["same_instruction"],
        BOTH_IN_PARTS: all(parts),
        ONE_IN_PARTS: any(parts) and not all(parts),
        BOTH_PROVISIONAL: all(provisional),
        ONE_PROVISIONAL: any(provisional) and not all(provisional),
        PREVIEW: record["preview"],
    }
    return tuple(caution for caution, holds in cautions.items() if holds)
