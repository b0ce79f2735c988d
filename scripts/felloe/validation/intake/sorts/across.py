"""What only shows when a study's files are held against one another."""

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from felloe.errors import Fault
from felloe.ground.arrays import Array, Bools
from felloe.ground.people.sorts import UNPLACED
from felloe.validation.intake.lexicon.left_out import WAY_OUT
from felloe.validation.intake.sorts.people import Register
from felloe.validation.screened.task import identical_submissions
from felloe.validation.settings import Limits

LISTED_PAIRS = 200  # pairs named one by one; a study with more has a fault of design


def unused_participants(without: Sequence[str], register: Register, file: str) -> Iterator[Fault]:
    """Report participants who are registered and have no sorts."""
    lines = dict(zip(register.participants, register.lines, strict=True))
    for name in without:
        problem = f"the participant has no row in {file}"
        remedy = "Add the sort, or take the participant out of participants.csv."
        yield Fault("participants.csv", lines[name], "participant", name, problem, remedy)


def check_groups(
    populations: Collection[str], register: Register, limits: Limits
) -> Iterator[Fault]:
    """Report declared populations that hold too few participants for what is asked."""
    least = limits.minimum_participants
    for name in populations:
        n = register.populations.count(name)
        if n < least:
            problem = f"the population has {n} participant(s), at least {least} are needed"
            reason = "reliability is computed from two halves of at least two people"
            remedy = f"Collect more, or merge populations: {reason}."
            if len(populations) > 1:
                remedy = f"Collect more, or merge populations: they are compared, and {reason}."
            yield Fault("study.yaml", 0, "populations", name, problem, remedy)


def check_sizes(terms: Sequence[str], limits: Limits) -> Iterator[Fault]:
    """Report a lexicon that is too small to be divided into tiers."""
    least = limits.minimum_terms
    if len(terms) < least:
        problem = f"{len(terms)} term(s) are listed, at least {least} are needed"
        reason = "a tree of three tiers and a map of two dimensions need that many"
        yield Fault("terms.csv", 0, "term", "", problem, f"Add terms: {reason}.")
    if len(terms) > limits.maximum_terms:
        problem = f"{len(terms)} terms are listed, at most {limits.maximum_terms} are read"
        yield Fault("terms.csv", 0, "term", "", problem, "Divide the lexicon.")


def never_together_placed(
    piles: Array,
    populations: Sequence[str],
    terms: Sequence[str],
    file: str,
    most_unseen: float | None = None,
) -> Iterator[Fault]:
    """
    Report pairs of terms that no participant of some population placed on the same table.

    Where everybody was shown some terms, a share of pairs up to `most_unseen` may be unknown.
    """
    of_people = np.asarray(populations)
    for name in np.unique(of_people):
        placed = (piles[of_people == name] != UNPLACED).astype(np.float32)
        both = placed.T @ placed
        never = np.flatnonzero(np.diag(both) == 0)
        for i in never.tolist():
            problem = f"nobody of '{name}' placed this term"
            remedy = f"Nothing is known about it: {WAY_OUT}."
            yield Fault(file, 0, "term", terms[i], problem, remedy)
        pairs = np.argwhere(np.triu(both == 0, 1))
        pairs = pairs[~np.isin(pairs, never).any(axis=1)]
        if most_unseen is not None:
            yield from too_many_unseen(str(name), len(pairs), len(terms), most_unseen)
            continue
        for i, j in pairs[:LISTED_PAIRS].tolist():
            problem = f"nobody of '{name}' placed both '{terms[i]}' and '{terms[j]}'"
            remedy = "How far apart they are is unknown: collect more sorts, or drop a term."
            yield Fault(file, 0, "term", f"{terms[i]}, {terms[j]}", problem, remedy)
        if len(pairs) > LISTED_PAIRS:
            problem = f"{len(pairs)} pairs in all were never placed together by '{name}'"
            yield Fault(file, 0, "term", "", problem, "Collect more complete sorts.")


def too_many_unseen(name: str, unseen: int, n_terms: int, most: float) -> Iterator[Fault]:
    """Report a population of whom nobody placed both of too many pairs of terms."""
    pairs = n_terms * (n_terms - 1) // 2
    if unseen > most * pairs:
        problem = f"nobody of '{name}' placed both of {unseen} of {pairs} pairs of terms "
        problem += f"({unseen / pairs:.1%}); at most {most:.1%} may be unknown "
        problem += "(matrices.most_unseen_pairs)"
        remedy = "Collect more sorts, show everybody more terms, or spread the terms more evenly."
        yield Fault("design.csv", 0, "", name, problem, remedy)


def incomplete_sorts(
    piles: Array,
    register: Register,
    terms: Sequence[str],
    file: str,
    shown: Bools | None = None,
) -> Iterator[Fault]:
    """Note who left terms unplaced that they were shown, and which terms were left most often."""
    unplaced = piles == UNPLACED
    asked = np.full(len(piles), len(terms))
    if shown is not None:
        unplaced, asked = unplaced & shown, shown.sum(axis=1)
    for name, row, number in zip(register.participants, unplaced, asked.tolist(), strict=True):
        if row.any():
            problem = f"a participant did not place {int(row.sum())} of {number} terms"
            yield Fault(file, 0, "pile", name, problem, severity="note")
    for j in np.flatnonzero(unplaced.any(axis=0)).tolist():
        n = int(unplaced[:, j].sum())
        problem = f"the term '{terms[j]}' was not placed by {n} participant(s)"
        yield Fault(file, 0, "term", terms[j], problem, severity="note")


def sent_from_two_populations(
    piles: Array,
    positions: Array,
    register: Register,
    minimum_terms: int,
    shown: Bools | None = None,
) -> Iterator[Fault]:
    """Note submissions that were sent from more than one population; screening keeps them."""
    people, populations = register.participants, register.populations
    nowhere = [""] * len(people)
    for rows in identical_submissions(piles, positions, nowhere, minimum_terms, shown):
        for row in rows[1:]:
            others = [other for other in rows if populations[other] != populations[row]]
            if others and others[0] < row:
                problem = f"the same submission as '{people[others[0]]}' sent from "
                problem += f"'{populations[others[0]]}'; both count"
                line = register.lines[row]
                yield Fault("participants.csv", line, "participant", people[row], problem,
                            severity="note")  # fmt: skip
