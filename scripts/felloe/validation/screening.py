"""The screening rules of the settings, put to everybody, and the account of the participants."""

import numpy as np

from felloe.errors import Fault, StudyError
from felloe.validation.intake.across import never_together_placed
from felloe.validation.intake.people import Register
from felloe.validation.task import (
    agreement_with_others,
    identical_to_earlier,
    order_following,
    task_profile,
)

FLOW_COLUMNS = ("population", "stage", "n", "lost", "reasons")
NOT_VALID = "placed fewer than two terms"


def screened(received, labels, rules):
    """
    Describe every participant and say whether they are kept.

    Parameters
    ----------
    received : felloe.validation.tables.Received
    labels : sequence of str
        What participants saw of each term.
    rules : dict
        The section `screening` of the settings.

    Returns
    -------
    list of dict
        One row of `validation/participants.csv` per participant, in sorted order.
    """
    sorts = received.sorts
    agreement = agreement_with_others(sorts.piles)
    minimum = rules["identical_submissions"]["minimum_terms"]
    earlier = identical_to_earlier(sorts.piles, received.positions, minimum)
    alphabet = np.argsort(np.argsort([label.casefold() for label in labels], kind="stable"))
    people = []
    for i, name in enumerate(sorts.participants):
        row = described(sorts.piles[i], received.positions[i], received.minutes[i], alphabet)
        row = {"participant": name, "population": sorts.populations[i], **row}
        row["agreement_with_others"] = float(agreement[i])
        twin = sorts.participants[earlier[i]] if earlier[i] >= 0 else None
        reasons = reasons_against(row, twin, len(sorts.terms), rules)
        row["status"] = "excluded" if reasons else "kept"
        row["reason"] = "; ".join(reasons)
        people.append(row)
    return people


def described(piles, positions, minutes, alphabet):
    """Return the columns of one participant that follow from the own submission alone."""
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
        "minutes": float(minutes),
        "seconds_per_term": float(minutes) * 60.0 / len(piles),
        "entropy_bits": profile.entropy,
        "pile_sizes": ";".join(map(str, profile.sizes)),
    }


def reasons_against(row, twin, n_terms, rules):
    """Return the reasons for leaving a participant out; agreement with others is none."""
    placed = n_terms - row["n_unplaced"]
    if placed < 2:
        return [NOT_VALID]
    reasons = []
    if rules["all_in_one"] and row["n_piles"] == 1:
        reasons.append("all terms in one pile")
    if rules["all_apart"] and row["n_piles"] == placed:
        reasons.append("every term apart")
    fast = rules["too_fast"]
    if fast["use"] and row["seconds_per_term"] < fast["seconds_per_term"]:
        reasons.append(f"too fast (less than {fast['seconds_per_term']:g} s per term)")
    unplaced = rules["too_many_unplaced"]
    if unplaced["use"] and row["n_unplaced"] / n_terms > unplaced["share"]:
        reasons.append(f"more than {unplaced['share']:.0%} of the terms unplaced")
    if rules["identical_submissions"]["use"] and twin is not None:
        reasons.append(f"the same submission as {twin}")
    return reasons + order_reasons(row, rules["order_following"])


def order_reasons(row, rule):
    """Return the reasons that lie in the order in which terms were piled."""
    reasons = []
    for column, used, words in (
        ("order", rule["use"], "the order of presentation"),
        ("alphabet", rule["use"] and rule["alphabet"], "the alphabet"),
    ):
        followed, p = row[f"{column}_following"], row[f"{column}_following_p"]
        if used and p <= rule["p"] and followed >= rule["index"]:
            reasons.append(f"piles follow {words}")
    return reasons


def flow(people):
    """
    Account for everybody.

    Parameters
    ----------
    people : list of dict
        As `screened` returns them.

    Returns
    -------
    list of list
        Rows of `validation/flow.csv`: of each population those received, valid (at least two
        terms placed) and analysed, how many were lost before each stage, and why.
    """
    rows = []
    for population in sorted({person["population"] for person in people}):
        members = [person for person in people if person["population"] == population]
        invalid = [person for person in members if person["reason"] == NOT_VALID]
        excluded = [
            person
            for person in members
            if person["status"] == "excluded" and person["reason"] != NOT_VALID
        ]
        n = len(members)
        for stage, lost in (("received", []), ("valid", invalid), ("analysed", excluded)):
            n -= len(lost)
            reasons = [f"{person['participant']}: {person['reason']}" for person in lost]
            rows.append([population, stage, n, len(lost), " | ".join(reasons)])
    return rows


def check_left(sorts, people, limits):
    """
    Refuse to go on with too few participants, or with a pair that nobody left has placed.

    Parameters
    ----------
    sorts : Sorts
        Of everybody.
    people : list of dict
    limits : dict
        The section `intake` of the settings.

    Raises
    ------
    StudyError
    """
    kept = np.array([person["status"] == "kept" for person in people])
    faults = []
    for name in sorted(set(sorts.populations)):
        members = np.array([population == name for population in sorts.populations])
        n = int((kept & members).sum())
        if n < limits["minimum_participants"]:
            gone = [
                f"{person['participant']} ({person['reason']})"
                for person, out in zip(people, members & ~kept, strict=True)
                if out
            ]
            problem = f"screening leaves {n} of {int(members.sum())} participants of '{name}', "
            problem += f"at least {limits['minimum_participants']} are needed"
            remedy = f"Left out: {', '.join(gone)}. See `screening` in the settings."
            faults.append(Fault("sorts", 0, "", "", problem, remedy))
    if not faults:
        left = Register((), tuple(np.array(sorts.populations, dtype=object)[kept]))
        faults = list(
            never_together_placed(sorts.piles[kept], left, sorts.terms, "sorts (screened)")
        )
    if faults:
        raise StudyError(faults)
