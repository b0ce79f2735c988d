"""What it means that everybody was shown some of the terms, in words."""

from collections.abc import Mapping
from typing import Any

from felloe.ground.files.numbers import shown

Record = Mapping[str, Any]

CONTEXT = (
    "A pile depends on what else lies on the table: beside like terms a term is told from its "
    "neighbours, in a mixed set it joins them. Where sets are dealt at random over the whole "
    "lexicon this averages out over people; the sort of one person, or of one set, says little by "
    "itself."
)
NOT_SHOWN = (
    "A term that somebody was not shown says nothing about that person: it is neither apart from "
    "others nor a term that was not placed. Screening, missing placements and seconds per term "
    "count what was shown."
)
EQUAL_NUMBERS = (
    "The more terms somebody was shown, the more piles they make, so how coarsely people sort is "
    "compared at equal numbers only."
)
REDUCED = (
    "Where people placed different numbers of terms, figure, table and pooling tests describe "
    "everybody as of the least number that anybody placed: the piles expected of as many of the "
    "person's own terms, drawn at random. Shares of pairs put together need no such allowance."
)
PEOPLE = (
    "Two people are compared on the pairs of terms that both placed; two without any are as far "
    "apart as people are in the mean, and are left out where agreement is measured. The tests that "
    "shuffle people move each person together with the terms that they were shown: they hold their "
    "level where the terms were dealt to both populations in the same way. Intervals of the "
    "corrected correlation and split-half reliabilities are approximations for sorts in parts; "
    "DEVELOPERS.md has how they do where the truth is known."
)

GIVEN_AWAY = (
    "Sorts in parts need more care: where few people saw each pair of terms, whole sorts can be "
    "worked out from the counts, though not whose they are. python3 scripts/run share refuses such "
    "a study."
)
DRAWINGS_ALONE = (
    "Whole sorts can follow from the counts of a study in parts: pass on the drawn wheel and the "
    "cards, not tables, matrices or distances, nor pages that tell shares of people."
)
FOR_AN_AUDITOR = (
    "The study is in parts: the counts in it may give whole sorts away; the command says of how "
    "many people. Hand it to one auditor, as carefully as one with people."
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
    return f"{who(shown)} shown {how_many(shown)} of the {terms} terms, and sorted them"


def who(shown: Record) -> str:
    """Return who was shown so many terms; a few who were shown less or more are no numbers."""
    return "All but a few participants were" if "but_a_few" in shown else "Each participant was"


def how_many(shown: Record) -> str:
    """Return how many terms people were shown."""
    if shown["least"] == shown["largest"]:
        return f"{shown['least']}"
    return f"{shown['least']} to {shown['largest']} (median {shown['median']:g})"


def before_each(about: Record) -> str:
    """Return how many terms lay before each participant, in a few words."""
    shown = about["terms_per_participant"]
    said = f"{who(shown)} shown {how_many(shown)}"
    return said[0].lower() + said[1:]


def by_hand(record: Record) -> str:
    """Say how a share is drawn to the mean; `record` is `matrices/observers.json`."""
    if not record["prior"]:
        return "A pair that nobody placed both of takes the mean share of all pairs."
    return (
        f"Before the division add {record['prior']:g} to <code>both</code>, and to "
        f"<code>together</code> {record['prior']:g} times the mean share: the sum of all pairs in "
        "<code>together</code> over that in <code>both</code> (matrices.prior)."
    )


def missing(record: Record) -> str:
    """Return what is done about terms that were shown and not placed."""
    if not record["unplaced"]:
        return "Everybody placed every term that they were shown."
    return (
        "A term that somebody was shown and did not place counts neither as together nor as apart, "
        "as if it had not been shown."
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
    unseen, pairs = (shown(found[name], "count") for name in ("unseen_pairs", "pairs"))
    return (
        f"{text} {unseen} of {pairs} pairs ({shown(found['unseen_share'], 'percent')}) "
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
