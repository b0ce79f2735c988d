"""What was noticed, who was left out and how stable the sorts are, in words."""

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row
from felloe.ground.people.small_cells import is_small, told_count
from felloe.validation import circulated
from felloe.validation.circulated import JOINED
from felloe.validation.labels import EVERYBODY
from felloe.validation.screened.consensus import ALONE_AT_MOST

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
SMALL_CELLS = (
    "Fewer than {least} people are not told of by themselves: where a reason names fewer, it is "
    "told together with others, and where so few were lost, how many were received is not told, "
    "nor counts from which the number would follow. Who did what stands in validation/ alone, "
    "which is not passed on. Counts of who put two terms together are told whole, since everything "
    "is made from them."
)
GRANULARITY_FIGURE = (
    "How coarsely each population sorts. A bar spans as wide a range as holds at least {least} "
    "people; its area is their share, the number above it says how many."
)
# a line of these is one person's, so that no page points at it
FILES_OF_PEOPLE = (
    "participants.csv",
    "sorts.csv",
    "sorts.xlsx",
    "design.csv",
    "design.xlsx",
    "colours.csv",
    "colours.xlsx",
)
OTHERS_IN_GROUPS = (
    " Of more than {most:,} people the others are everybody but a hundredth of the people, to "
    "which the participant belongs; one hundredth after the other is left out."
)
NUMBER = re.compile(r"\d+")
QUOTED = re.compile(r"'[^']*'|\"[^\"]*\"")
SOME, UNSAID = "some", "\u2026"
FEWER = "fewer than {least}"


def reasons(rules: Iterable[str]) -> str:
    """Return why somebody was left out, by the codes of the rules."""
    return "; ".join(REASONS[rule] for rule in rules)


def left_out(row: Row, least: int) -> str:
    """Return how many were left out and why: a row of `exclusions` without small cells."""
    if row["n"] is None:
        return f"{counted(None, least)}; why is not told"
    if row["rules"] == JOINED:
        return f"{row['n']}, for several reasons, told together since some name fewer than {least}"
    return f"{row['n']}, {reasons(row['rules'])}"


def shown_and_left_out(terms: Sequence[Row]) -> str:
    """Say, after their number, that terms were shown and are not analysed."""
    were, they, them = ("further terms were", "They are", "them")
    if len(terms) == 1:
        were, they, them = ("further term was", "It is", "it")
    return (
        f"{were} shown and left out. {they} counted nowhere, but piles were made with "
        f"{them} on the table: what lay beside {them} may have been sorted otherwise without. The "
        "reasons:"
    )


def of_received(rows: Sequence[Row], least: int) -> str:
    """Return of how many received those are who are analysed, where that may be told."""
    n = circulated.received(rows, least)
    return "" if n is None else f" of {n} received"


def flow(rows: Sequence[Row], least: int) -> list[Row]:
    """Return rows of `validation/flow.csv` without small cells."""
    told = circulated.flow(rows, least)
    few = counted(None, least)
    untold = {row["population"] for row in told if row["stage"] == "received" and row["n"] is None}
    for row in told:
        if row["stage"] == "analysed" and row["population"] in untold:
            row["lost"] = few
    return told


def the_others(received: int) -> str:
    """Return who the others are with whom participants are compared, where that needs telling."""
    return OTHERS_IN_GROUPS.format(most=ALONE_AT_MOST) if received > ALONE_AT_MOST else ""


def exclusions(rows: Sequence[Row], least: int) -> list[Row]:
    """Return rows of `validation/exclusions.csv` without small cells."""
    return circulated.exclusions(rows, least)


def ids(people: Iterable[Row], picks: Iterable[Row]) -> frozenset[str]:
    """Return the ids of all participants and respondents."""
    return frozenset(
        [*(row["participant"] for row in people), *(row["respondent"] for row in picks)]
    )


def noticed(warnings: Sequence[Row], notes: Sequence[Row]) -> str:
    """Return how many kinds of things were noticed, as `findings` tells them."""
    return (
        f"Checking the files gave {kinds(len(warnings))} of warnings and {kinds(len(notes))} of "
        "notes; none of them stops a study."
    )


def kinds(n: int) -> str:
    """Return a number of kinds in words."""
    return f"{n or 'no'} kind{'' if n == 1 else 's'}"


def findings(rows: Sequence[Row], least: int, people: Collection[str], terms: int) -> list[Row]:
    """
    Return what was noticed, without pointing at anybody.

    Parameters
    ----------
    rows : sequence of dict
        Rows of `validation/findings.csv`.
    least : int
        People that a number has to tell of.
    people : collection of str
        Ids of participants and respondents, none of which is told.
    terms : int
        Number of terms, which may be told.

    Returns
    -------
    list of dict
        `severity`, `file`, `line` (None in a file that tells of people), `term`, `times` and
        `message`. Findings that differ in numbers and places alone are told as one, the numbers
        as a range. Of a file that tells of people nothing that stands in it is quoted, a number
        that is one person's is told as `SOME`, and one of a few people as fewer than `least`.
    """
    groups: dict[tuple[Any, ...], list[Row]] = {}
    names = names_of(people)
    for row in rows:
        seen = of_people(row, least, terms) if tells_of_people(row) else dict(row)
        seen["file"] = names.sub(UNSAID, seen["file"])
        seen["message"] = QUOTED.sub(
            lambda quoted: UNSAID if quoted[0][1:-1] in people else quoted[0], seen["message"]
        )
        kind = NUMBER.sub("#", seen["message"])
        key = (seen["severity"], seen["file"], seen["line"], seen["term"], kind)
        groups.setdefault(key, []).append(seen)
    return [
        {
            "severity": severity,
            "file": file,
            "line": line,
            "term": term,
            "times": times(members, least),
            "message": in_one([row["message"] for row in members]),
        }
        for (severity, file, line, term, _), members in groups.items()
    ]


def tells_of_people(row: Row) -> bool:
    """Return whether a finding is about what people did."""
    return bool(row["participant"]) or row["file"] in FILES_OF_PEOPLE


def of_people(row: Row, least: int, terms: int) -> Row:
    """Return a finding about people that points at none and quotes none."""
    told = {**row, "line": None, "message": QUOTED.sub(UNSAID, row["message"])}
    told["of_one"] = bool(row["participant"] or row["line"])
    if row["participant"] or not (row["term"] or row["line"]):
        told["message"] = NUMBER.sub(
            lambda found: found[0] if is_number_of_terms(found, terms) else SOME, told["message"]
        )
    elif any(is_small(int(n), least) for n in NUMBER.findall(told["message"])):
        told["term"] = ""
        told["message"] = NUMBER.sub(
            lambda found: counted(told_count(int(found[0]), least), least), told["message"]
        )
    return told


def is_number_of_terms(found: re.Match[str], terms: int) -> bool:
    """Return whether a number is that of all terms, and not somebody's own that equals it."""
    return int(found[0]) == terms and found.string[: found.start()].endswith(" of ")


def times(members: Sequence[Row], least: int) -> int | str:
    """Return how often something was noticed; of a few people only that they are few."""
    if any(row.get("of_one") for row in members) and is_small(len(members), least):
        return counted(None, least)
    return len(members)


def names_of(people: Collection[str]) -> re.Pattern[str]:
    """Return what finds ids in a file's name, with whatever they are joined there."""
    ids_ = "|".join(re.escape(name) for name in sorted(people, key=len, reverse=True))
    return re.compile(rf"(?<![a-z0-9])(?:{ids_ or '(?!)'})(?![a-z0-9])", re.IGNORECASE)


def counted(n: int | None, least: int) -> str:
    """Return a count of people in words, where a small one is None."""
    return FEWER.format(least=least) if n is None else str(n)


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


MIDDLE = (
    "These numbers of classes and subclasses are those fixed in the settings or, where none is, "
    "the middle of the range there; the chart's own can be others."
)


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
    return f"{'; '.join(parts)}. {MIDDLE}"


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
