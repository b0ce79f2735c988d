"""What was noticed, who was left out and how stable the sorts are, in words."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row
from felloe.validation.labels import EVERYBODY

REASONS = {  # by the rules of `screening` in the settings
    "fewer_than_two_placed": "placed fewer than two terms",
    "all_in_one": "all terms in one pile",
    "all_apart": "every term apart",
    "too_fast": "too fast",
    "too_many_unplaced": "too many terms unplaced",
    "identical_submissions": "the same submission as another participant",
    "order_following": "piles follow the order of presentation",
    "alphabet_following": "piles follow the alphabet",
}
MEASURES = {
    "n_piles": "piles",
    "n_single_piles": "single-term piles",
    "largest_pile_share": "largest pile, share of terms",
    "pairs_together_share": "pairs put together, share",
}
# a line of these is one person's, so that no page points at it
FILES_OF_PEOPLE = (
    "participants.csv",
    "sorts.csv",
    "sorts.xlsx",
    "colours.csv",
    "colours.xlsx",
)
NUMBER = re.compile(r"\d+")


def reasons(rules: Iterable[str]) -> str:
    """Return why somebody was left out, by the codes of the rules."""
    return "; ".join(REASONS[rule] for rule in rules)


def granularity(rows: Iterable[Row]) -> list[Row]:
    """Return rows of `validation/granularity.csv`, the measures in words."""
    return [{**row, "measure": MEASURES[row["measure"]]} for row in rows]


def findings(rows: Sequence[Row]) -> list[Row]:
    """
    Return what was noticed, without pointing at anybody.

    Parameters
    ----------
    rows : sequence of dict
        Rows of `validation/findings.csv`.

    Returns
    -------
    list of dict
        `severity`, `file`, `line` (None in a file that tells of people), `term`, `times` and
        `message`. Findings that differ in numbers and places alone are told as one, the numbers
        as a range.
    """
    groups: dict[tuple[Any, ...], list[str]] = {}
    for row in rows:
        line = None if row["file"] in FILES_OF_PEOPLE else row["line"]
        kind = NUMBER.sub("#", row["message"])
        key = (row["severity"], row["file"], line, row["term"], kind)
        groups.setdefault(key, []).append(row["message"])
    return [
        {
            "severity": severity,
            "file": file,
            "line": line,
            "term": term,
            "times": len(messages),
            "message": in_one(messages),
        }
        for (severity, file, line, term, _), messages in groups.items()
    ]


def in_one(messages: Sequence[str]) -> str:
    """Return messages that differ in numbers alone as one, numbers that differ as ranges."""
    numbers = zip(*(map(int, NUMBER.findall(message)) for message in messages), strict=True)
    ranges = iter(
        [
            f"{min(found)} to {max(found)}" if min(found) < max(found) else None
            for found in map(list, numbers)
        ]
    )
    return NUMBER.sub(lambda match: next(ranges) or match[0], messages[0])


def target(plan: Mapping[str, Any]) -> str:
    """Return whether a population's matrix is as reliable as the settings ask; "" if unknown."""
    if plan["reliability"] is None:
        return ""
    return "Target reached." if plan["reliability"] >= plan["target"] else "Target not reached."


def plan(told: Mapping[str, Any], label: str) -> str:
    """
    Return what more participants would gain.

    Parameters
    ----------
    told : mapping
        One of the `plans` of `validation/stability.json`.
    label : str
        Wording of the population.
    """
    n, now, goal = told["participants"], told["reliability"], told["target"]
    if now is None:
        return f"{label}: {n} participants are too few, or too much alike, to tell."
    gains = ", ".join(f"{each['added']} more to {each['reliability']:.3f}" for each in told["more"])
    text = (
        f"{label}: as many other people as these {n} would be expected to give a matrix that "
        f"correlates {now:.3f} with this one (Spearman-Brown); {gains}. "
    )
    needed = told["needed_for_target"]
    if needed is None:
        return text + "The halves do not agree, so no number of people can be named."
    if needed <= n:
        return text + f"The target of {goal:g} is reached; {needed} people would have done."
    return text + f"The target of {goal:g} would take about {needed - n} more, {needed} in all."


def agreement_of_tiers(rows: Iterable[Row], cuts: Mapping[str, Any]) -> str:
    """
    Return how far the tiers of two separate samples agree, small and large.

    Parameters
    ----------
    rows : iterable of dict
        Rows of `validation/stability.csv`.
    cuts : mapping
        `cuts` of `validation/stability.json`.
    """
    curve = list(rows)
    parts = []
    for tier, number in (("class", cuts["classes"]), ("subclass", cuts["subclasses"])):
        points = [row for row in curve if row["quantity"] == f"{tier}_agreement"]
        middle, last = points[(len(points) - 1) // 2], points[-1]
        parts.append(
            f"{number} {tier}es of two separate samples of {middle['participants']} agree by "
            f"{middle['mean']:.2f} (adjusted Rand), of {last['participants']} by {last['mean']:.2f}"
        )
    return "; ".join(parts) + "."


def answer(record: Mapping[str, Any], rows: Iterable[Row]) -> str:
    """
    Return what more participants would gain, all populations together.

    Parameters
    ----------
    record : mapping
        `validation/stability.json`.
    rows : iterable of dict
        Rows of `validation/stability.csv`.
    """
    everybody = plan(record["plans"][-1], EVERYBODY)
    return f"{everybody} {agreement_of_tiers(rows, record['cuts'])}"
