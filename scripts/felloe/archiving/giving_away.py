"""Whose sorts can be worked out from the counts, where everybody was shown some terms."""

import numpy as np

from felloe.ground.arrays import Array, Bools, Ints
from felloe.ground.people.counts import count_cooccurrence
from felloe.ground.people.sorts import UNPLACED

TOGETHER, APART = 1, -1  # of two terms of one person; 0 is not known


def given_away(piles: Array) -> int:
    """
    Return of how many people the whole sort follows from the counts of their population.

    It is worked out as somebody would who knows who placed what, which is no secret: with fewer
    people than terms it can mostly be computed from `both` alone. Where nobody more can have put
    a pair together, everybody else kept it apart; where all that are left must have, they did; and
    terms beside one and the same term lie in one pile.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
        Of one population; `UNPLACED` where a term was not placed, or not shown.

    Returns
    -------
    int
        A lower bound: nothing is tried out.
    """
    counts, _ = count_cooccurrence(piles)
    owns = [np.flatnonzero(row != UNPLACED) for row in np.asarray(piles)]
    known = [np.eye(len(own), dtype=np.int8) for own in owns]
    left = -1
    while left != (left := sum(int((one == 0).sum()) for one in known)):
        nobody, everybody = who_is_left(counts, owns, known)
        for own, one in zip(owns, known, strict=True):
            pairs = np.ix_(own, own)
            one[(one == 0) & everybody[pairs]] = TOGETHER
            one[(one == 0) & nobody[pairs]] = APART
            one[:] = in_piles(one)
    return sum(len(one) > 1 and bool(one.all()) for one in known)


def who_is_left(counts: Ints, owns: list[Ints], known: list[Array]) -> tuple[Bools, Bools]:
    """Return of which pairs nobody, and of which everybody left, can have put them together."""
    missing, unknown = np.array(counts, dtype=np.int64), np.zeros_like(counts, dtype=np.int64)
    for own, one in zip(owns, known, strict=True):
        missing[np.ix_(own, own)] -= one == TOGETHER
        unknown[np.ix_(own, own)] += one == 0
    return missing == 0, (missing > 0) & (missing == unknown)


def in_piles(one: Array) -> Array:
    """Return what is known of one person's pairs, with what follows since piles are piles."""
    from scipy.sparse.csgraph import connected_components

    _, pile = connected_components(one == TOGETHER, directed=False)
    member = (pile[:, None] == np.arange(pile.max(initial=0) + 1)).astype(np.int64)
    apart = member @ (member.T @ (one == APART) @ member > 0) @ member.T > 0
    return np.where(pile[:, None] == pile, TOGETHER, np.where(apart, APART, 0))
