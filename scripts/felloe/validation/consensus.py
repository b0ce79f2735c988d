"""How far each participant agrees with what all the others together say."""

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.counts import count_cooccurrence, mean_share
from felloe.ground.people.sorts import UNPLACED
from felloe.validation.granularity import numbers_of_piles


def agreement_with_others(piles: Array, partial: bool = False) -> Floats:
    """
    Return how far each participant agrees with what all the others together say.

    The others' consensus is the average-linkage tree of their distances, cut into as many
    groups as the participant made piles, so that neither lumping nor splitting is held against
    anybody. A pair that none of the others placed counts as apart; where everybody was shown some
    terms, it takes the mean. It is shown, never a reason to leave anybody out.

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
    together, both = count_cooccurrence(piles)
    unknown = mean_share(together, both) if partial else 0.0
    agreement = np.zeros(len(piles))
    for i, (row, n_piles) in enumerate(zip(piles, numbers_of_piles(piles).tolist(), strict=True)):
        placed = row != UNPLACED
        if n_piles < 2 or n_piles == placed.sum():
            continue
        own = (row[:, None] == row) & placed
        seen = both - (placed[:, None] & placed)
        apart = 1.0 - np.where(seen > 0, (together - own) / np.maximum(seen, 1), unknown)
        np.fill_diagonal(apart, 0.0)
        agreement[i] = adjusted_rand(row, cut(build_tree(apart, "average"), n_piles))
    return agreement
