"""How far each participant agrees with what all the others together say."""

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.counts import count_cooccurrence, mean_share
from felloe.ground.people.sorts import UNPLACED
from felloe.validation.screened.granularity import numbers_of_piles

# of more people, "the others" of a person are everybody outside their group of so many groups: a
# tree of terms for every group, and not for every person
ALONE_AT_MOST, GROUPS = 1000, 100


def agreement_with_others(piles: Array, partial: bool = False) -> Floats:
    """
    Return how far each participant agrees with what all the others together say.

    The others' consensus is the average-linkage tree of their distances, cut into as many
    groups as the participant made piles, so that neither lumping nor splitting is held against
    anybody. A pair that none of the others placed counts as apart; where everybody was shown some
    terms, it takes the mean. It is shown, never a reason to leave anybody out. Of more than
    `ALONE_AT_MOST` people, one of `GROUPS` groups is left out at a time (`left_out_together`).

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        `UNPLACED` where a term was not placed.
    partial : bool
        Whether everybody was shown some terms.

    Returns
    -------
    (n_participants,) array of float
        Adjusted Rand index over the terms that the participant placed; 0 for one pile or
        singles; nan for a participant without others.
    """
    piles = np.asarray(piles)
    if len(piles) < 2:
        return np.full(len(piles), np.nan)
    counts = count_cooccurrence(piles)
    unknown = mean_share(*counts) if partial else 0.0
    n_piles, n_placed = numbers_of_piles(piles), (piles != UNPLACED).sum(axis=1)
    says_something = (n_piles > 1) & (n_piles < n_placed)
    agreement = np.zeros(len(piles))
    for group in left_out_together(len(piles)):
        members = group[says_something[group]]
        if not len(members):
            continue
        tree = tree_without(counts, piles[group], unknown)
        groups = {number: cut(tree, number) for number in set(n_piles[members].tolist())}
        for i in members.tolist():
            agreement[i] = adjusted_rand(piles[i], groups[int(n_piles[i])])
    return agreement


def left_out_together(n_people: int) -> list[Ints]:
    """
    Return the groups of people of whom none is among the others of any of them.

    Up to `ALONE_AT_MOST` people, everybody is a group alone; else every group holds a hundredth of
    the people, every hundredth in their order.
    """
    number = n_people if n_people <= ALONE_AT_MOST else GROUPS
    return [np.arange(first, n_people, number) for first in range(number)]


def tree_without(counts: tuple[Ints, Ints], left_out: Array, unknown: float) -> Floats:
    """
    Return the average-linkage tree of everybody but a few people.

    Parameters
    ----------
    counts : (n_terms, n_terms) array of int, twice
        Who put two terms together and who placed both, of everybody.
    left_out : (n_left_out, n_terms) array of int
        Piles of the few.
    unknown : float
        Share together of a pair that none of the others placed.
    """
    together, both = (
        whole - own for whole, own in zip(counts, count_cooccurrence(left_out), strict=True)
    )
    apart = 1.0 - np.where(both > 0, together / np.maximum(both, 1), unknown)
    np.fill_diagonal(apart, 0.0)
    return build_tree(apart, "average")
