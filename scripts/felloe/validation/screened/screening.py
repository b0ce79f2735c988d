"""The screening rules of the settings, put to everybody, and the account of the participants."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from felloe.errors import Fault, StudyError
from felloe.ground.arrays import Array, Ints
from felloe.ground.people.sorts import Sorts
from felloe.validation.intake.sorts.across import never_together_placed
from felloe.validation.screened.consensus import agreement_with_others
from felloe.validation.screened.order_followed import order_following
from felloe.validation.screened.task import (
    Received,
    identical_submissions,
    identical_to_kept,
    task_profile,
)
from felloe.validation.settings import Limits, OrderFollowing, ScreeningRules

KEPT, EXCLUDED = "kept", "excluded"
NOT_VALID = "fewer_than_two_placed"  # the one reason that is no rule of the settings
RECEIVED, VALID, ANALYSED = "received", "valid", "analysed"
Person = dict[str, Any]  # a row of validation/participants.csv
Reasons = dict[str, str]  # code of the rule: what it says of this person


def by_participant(people: Sequence[Person]) -> list[Person]:
    """Return everybody in the order of the participants' ids."""
    return sorted(people, key=lambda person: str(person["participant"]))


def screened(received: Received, labels: Sequence[str], rules: ScreeningRules) -> list[Person]:
    """
    Describe every participant and say whether they are kept.

    Parameters
    ----------
    received : Received
    labels : sequence of str
        What participants saw of each term.
    rules : ScreeningRules

    Returns
    -------
    list of dict
        One row of `validation/participants.csv` per participant, in the order of the sorts.
    """
    sorts = received.sorts
    agreement = agreement_with_others(sorts.piles, received.shown is not None)
    minimum = rules.identical_submissions.minimum_terms
    sent = identical_submissions(
        sorts.piles, received.positions, sorts.populations, minimum, received.shown
    )
    alphabet = np.argsort(np.argsort([label.casefold() for label in labels], kind="stable"))
    people, asked = [], []
    for i, name in enumerate(sorts.participants):
        row: Person = {"participant": name, "population": sorts.populations[i]}
        minutes = float(received.minutes[i])
        seen = received.seen_by(i)
        row |= described(sorts.piles[i][seen], received.positions[i][seen], minutes, alphabet[seen])
        row["agreement_with_others"] = float(agreement[i])
        people.append(row)
        asked.append(int(seen.sum()))
    fit = np.array(
        [not reasons_against(row, n, rules, False) for row, n in zip(people, asked, strict=True)]
    )
    before = identical_to_kept(sent, fit)
    for row, n_shown, other in zip(people, asked, before.tolist(), strict=True):
        reasons = reasons_against(row, n_shown, rules, other >= 0)
        row["status"] = EXCLUDED if reasons else KEPT
        row["rules"] = tuple(reasons)
        row["same_as"] = sorts.participants[other] if other >= 0 else ""
        row["reason"] = "; ".join(reasons.values())
    return people


def described(piles: Array, positions: Array, minutes: float, alphabet: Ints) -> Person:
    """Return the columns of one participant that follow from what they did with terms shown."""
    profile = task_profile(piles)
    order = np.where(positions > 0, positions, np.nan)
    following, following_p = order_following(piles, order)
    by_letter, by_letter_p = order_following(piles, alphabet)
    return {
        "n_piles": len(profile.sizes),
        "n_single_piles": profile.sizes.count(1),
        "largest_pile_share": profile.largest_pile_share,
        "pairs_together_share": profile.pairs_together_share,
        "n_unplaced": profile.n_unplaced,
        "order_following": following,
        "order_following_p": following_p,
        "alphabet_following": by_letter,
        "alphabet_following_p": by_letter_p,
        "minutes": minutes,
        "seconds_per_term": minutes * 60.0 / len(piles),
        "entropy_bits": profile.entropy,
        "pile_sizes": ";".join(map(str, profile.sizes)),
    }


def reasons_against(row: Person, n_terms: int, rules: ScreeningRules, is_repeated: bool) -> Reasons:
    """
    Return the reasons for leaving a participant out; agreement with others is none.

    Parameters
    ----------
    row : dict
        See `described`.
    n_terms : int
        That the participant was shown.
    rules : ScreeningRules
    is_repeated : bool
        Whether another participant sent the same submission and goes before.

    Returns
    -------
    Reasons
    """
    placed = n_terms - row["n_unplaced"]
    if placed < 2:
        return {NOT_VALID: "placed fewer than two terms"}
    reasons: Reasons = {}
    if rules.all_in_one and row["n_piles"] == 1:
        reasons["all_in_one"] = "all terms in one pile"
    if rules.all_apart and row["n_piles"] == placed:
        reasons["all_apart"] = "every term apart"
    fast = rules.too_fast
    if fast.use and row["seconds_per_term"] < fast.seconds_per_term:
        reasons["too_fast"] = f"too fast (less than {fast.seconds_per_term:g} s per term)"
    unplaced = rules.too_many_unplaced
    if unplaced.use and row["n_unplaced"] / n_terms > unplaced.share:
        reasons["too_many_unplaced"] = f"more than {unplaced.share:.0%} of the terms unplaced"
    if rules.identical_submissions.use and is_repeated:
        reasons["identical_submissions"] = "the same submission as another participant"
    return reasons | order_reasons(row, rules.order_following)


def order_reasons(row: Person, rule: OrderFollowing) -> Reasons:
    """Return the reasons that lie in the order in which terms were piled."""
    reasons: Reasons = {}
    for code, used, words in (
        ("order_following", rule.use, "the order of presentation"),
        ("alphabet_following", rule.use and rule.alphabet, "the alphabet"),
    ):
        if used and row[f"{code}_p"] <= rule.p and row[code] >= rule.index:
            reasons[code] = f"piles follow {words}"
    return reasons


def kept_people(people: Sequence[Person]) -> list[Person]:
    """Return those who are kept."""
    return [person for person in people if person["status"] == KEPT]


def kept_sorts(everybody: Sorts, people: Sequence[Person]) -> Sorts:
    """
    Return the sorts of those who are kept.

    Parameters
    ----------
    everybody : Sorts
    people : sequence of dict
        As `screened` returns them for the same participants.

    Raises
    ------
    ValueError
        If they are not the same participants in the same order.
    """
    if tuple(person["participant"] for person in people) != everybody.participants:
        raise ValueError("the screened participants are not those of the sorts")
    return everybody.rows(i for i, person in enumerate(people) if person["status"] == KEPT)


def losses(members: Sequence[Person]) -> dict[str, Counter[tuple[str, ...]]]:
    """Count those who were lost before each stage, by the rules that name them."""
    lost: dict[str, Counter[tuple[str, ...]]] = {RECEIVED: Counter()}
    lost |= {VALID: Counter(), ANALYSED: Counter()}
    for person in members:
        if person["status"] == EXCLUDED:
            rules = tuple(person["rules"])
            lost[VALID if rules == (NOT_VALID,) else ANALYSED][rules] += 1
    return lost


def by_population(people: Sequence[Person]) -> Iterator[tuple[str, list[Person]]]:
    """Yield each population with its members, in sorted order."""
    for name in sorted({person["population"] for person in people}):
        yield name, [person for person in people if person["population"] == name]


def flow(people: Sequence[Person]) -> list[dict[str, Any]]:
    """
    Account for everybody.

    Parameters
    ----------
    people : sequence of dict
        As `screened` returns them.

    Returns
    -------
    list of dict
        Rows of `validation/flow.csv`: of each population those received, valid (at least two
        terms placed) and analysed, and how many were lost before each stage.
    """
    rows = []
    for population, members in by_population(people):
        n = len(members)
        for stage, lost in losses(members).items():
            n -= lost.total()
            rows.append({"population": population, "stage": stage, "n": n, "lost": lost.total()})
    return rows


def exclusions(people: Sequence[Person]) -> list[dict[str, Any]]:
    """
    Say for which reasons how many were lost, and nobody's name.

    Parameters
    ----------
    people : sequence of dict
        As `screened` returns them.

    Returns
    -------
    list of dict
        Rows of `validation/exclusions.csv`; everybody who was lost is counted once.
    """
    return [
        {"population": population, "stage": stage, "rules": rules, "n": n}
        for population, members in by_population(people)
        for stage, lost in losses(members).items()
        for rules, n in sorted(lost.items())
    ]


def check_left(
    sorts: Sorts, people: Sequence[Person], limits: Limits, most_unseen: float | None = None
) -> None:
    """
    Refuse to go on with too few participants, or with a pair that nobody left has placed.

    Parameters
    ----------
    sorts : Sorts
        Of everybody.
    people : sequence of dict
    limits : Limits
    most_unseen : float, optional
        Largest share of pairs that nobody of a population may have placed, where everybody was
        shown some terms.

    Raises
    ------
    StudyError
    """
    faults = list(too_few(people, limits.minimum_participants))
    if not faults:
        left = kept_sorts(sorts, people)
        found = never_together_placed(
            left.piles, left.populations, left.terms, "sorts (screened)", most_unseen
        )
        faults = list(found)
    if faults:
        raise StudyError(faults)


def too_few(people: Sequence[Person], least: int) -> Iterator[Fault]:
    """Yield the fault of every population that has fewer than `least` participants left."""
    for name, members in by_population(people):
        gone = [person for person in members if person["status"] == EXCLUDED]
        gone.sort(key=lambda person: person["participant"])
        n = len(members) - len(gone)
        if n < least:
            named = ", ".join(f"{person['participant']} ({person['reason']})" for person in gone)
            problem = f"screening leaves {n} of {len(members)} participants of '{name}', "
            problem += f"at least {least} are needed"
            remedy = f"Left out: {named}. See `screening` in the settings."
            yield Fault("sorts", 0, "", "", problem, remedy)
