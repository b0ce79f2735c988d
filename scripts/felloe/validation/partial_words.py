"""What it means that everybody was shown some of the terms, in words."""

from collections.abc import Mapping
from typing import Any

Record = Mapping[str, Any]

CONTEXT = (
    "What lies on the table decides what a pile is: with other terms beside it, a term may find "
    "nearer ones or none, so piles are wider in a mixed set and finer in a set of like terms. "
    "Where sets are dealt at random over the whole lexicon this averages out over people; of one "
    "person alone it says nothing."
)
NOT_SHOWN = (
    "A term that somebody was not shown says nothing about that person: it is neither apart from "
    "others nor a term that was not placed. Screening, missing placements and seconds per term "
    "count what was shown."
)
EQUAL_NUMBERS = (
    "Numbers of piles grow with the number of terms shown, so how coarsely people sort is compared "
    "at equal numbers only."
)
REDUCED = (
    "Where people placed different numbers of terms, the pooling tests describe everybody as of "
    "the least number that anybody placed (expected piles of as many of the person's own terms, "
    "drawn at random). The table and the figure show piles as they were made."
)
PEOPLE = (
    "Two people are compared on the pairs of terms that both placed; two without any are as far "
    "apart, and agree as much, as people do in the mean. The tests that shuffle people move each "
    "person together with the terms that they were shown: they hold their level where the terms "
    "were dealt to both populations in the same way, whoever got which. Intervals of the corrected "
    "correlation and split-half reliabilities are approximations for sorts in parts; DEVELOPERS.md "
    "has how they do where the truth is known."
)


def asked(about: Record, terms: int) -> str:
    """
    Return what each participant was given to sort.

    Parameters
    ----------
    about : mapping
        `validation/study.json` of a study whose participants were shown some terms.
    terms : int
        Of the lexicon.
    """
    shown = about["terms_per_participant"]
    if shown["least"] == shown["largest"]:
        return f"Each participant was shown {shown['least']} of the {terms} terms, and sorted them"
    return (
        f"Each participant was shown {shown['least']} to {shown['largest']} (median "
        f"{shown['median']:g}) of the {terms} terms, and sorted them"
    )


def missing(record: Record) -> str:
    """Return what is done about terms that were shown and not placed."""
    if not record["unplaced"]:
        return "Everybody placed every term that they were shown."
    return (
        "A term that somebody was shown and did not place counts neither as together nor as apart, "
        "as if it had not been shown."
    )


def granularity(about: Record) -> str:
    """Return at what numbers of terms granularity is compared."""
    shown = about["terms_per_participant"]
    if shown["least"] == shown["largest"]:
        return f"{EQUAL_NUMBERS} Everybody was shown {shown['least']} terms. {REDUCED}"
    return (
        f"{EQUAL_NUMBERS} People were shown {shown['least']} to {shown['largest']} terms, so "
        "numbers and sizes of piles of single people are not to be held against one another. "
        f"{REDUCED}"
    )


def observers(label: str, found: Record) -> str:
    """
    Return how many people stand behind the pairs of terms of one population.

    Parameters
    ----------
    label : str
        Wording of the population.
    found : mapping
        Its entry in `matrices/observers.json`.
    """
    least, most = found["least"], found["largest"]
    text = f"{label}: a pair of terms was placed by {least} to {most} people (median "
    text += f"{found['median']:g})."
    if not found["unseen_pairs"]:
        return f"{text} Every pair was placed by somebody."
    return (
        f"{text} {found['unseen_pairs']} of {found['pairs']} pairs ({found['unseen_share']:.1%}) "
        "were placed by nobody; they take the mean of all pairs."
    )


def prior(record: Record) -> str:
    """Return how shares of rarely seen pairs are told; `record` is `matrices/observers.json`."""
    number = record["prior"]
    if number == 0:
        return "Shares of pairs are as they were counted (matrices.prior is 0)."
    observers = "one further observer" if number == 1 else f"{number:g} further observers"
    return (
        f"The distances count {observers} of every pair, who put it together as often as pairs are "
        "in the mean (matrices.prior). So a pair that few people saw does not pose as a certainty; "
        "of shares told as so many of 100 people, on the wheel too, this is part. Beyond a dozen "
        "people a pair it makes hardly a difference."
    )
