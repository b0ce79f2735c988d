"""On how many pairs every two of many people disagree, without a row of pairs for each."""

from typing import Any

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.people.pairs import filled
from felloe.ground.people.sorts import UNPLACED, membership
from felloe.ground.squares import upper


def pairs_together(piles: Array) -> Any:
    """
    Return which pairs of terms each person put together.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int

    Returns
    -------
    (n_people, n_terms * n_terms) scipy.sparse.csr_array
        Ones; the pair of term `i` and a later `j` is column `i * n_terms + j`.
    """
    from scipy.sparse import csr_array

    n_terms = piles.shape[1]
    columns, ends = [], [0]
    for pile in piles:
        placed = np.flatnonzero(pile != UNPLACED)
        first, second = upper(len(placed))
        same = pile[placed[first]] == pile[placed[second]]
        columns.append(placed[first][same] * n_terms + placed[second][same])
        ends.append(ends[-1] + len(columns[-1]))
    found = np.concatenate(columns) if columns else np.empty(0, dtype=int)
    shape = len(piles), n_terms * n_terms
    return csr_array((np.ones(len(found)), found, np.array(ends)), shape=shape)


def mirkin_of_many(piles: Array) -> Floats:
    """
    Return what `pairs.mirkin_distances` returns, for many people and terms.

    A row of 44,850 pairs for each of a thousand people would take a gigabyte; only what was put
    together is kept.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
        `UNPLACED` where a term was not placed, or not shown.

    Returns
    -------
    (n_people, n_people) array of float
        Two people who placed no pair in common are as far apart as others in the mean.
    """
    placed = (piles != UNPLACED).astype(np.float32)
    n_people, n_terms = piles.shape
    common = (placed @ placed.T).astype(float)
    shared = common * (common - 1.0) / 2.0
    alone = seen_by_others(piles, placed)
    together = pairs_together(piles)
    both = (together @ together.T).toarray()
    disagree = alone + alone.T - 2.0 * both
    out = np.full((n_people, n_people), np.nan)
    apart = filled(np.divide(disagree, shared, out=out, where=shared > 0))
    np.fill_diagonal(apart, 0.0)
    return np.asarray(apart * (n_terms * (n_terms - 1) // 2))


def seen_by_others(piles: Array, placed: Array) -> Floats:
    """
    Count the pairs that one person put together and another placed.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    placed : (n_people, n_terms) array of float
        Ones and zeros.

    Returns
    -------
    (n_people, n_people) array of float
        Row: who put together; column: who placed both.
    """
    found = np.empty((len(piles), len(piles)))
    for row, pile in zip(found, piles, strict=True):  # one after the other: little memory
        in_piles = membership(pile[None]) @ placed.T  # whole numbers below 2**24: exact
        row[:] = (in_piles * (in_piles - 1.0)).sum(axis=0) / 2.0
    return found
