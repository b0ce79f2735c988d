"""Whether somebody piled terms in the order in which they came."""

from functools import cache
from math import comb

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.people.sorts import UNPLACED

DIGITS = 9  # of a probability
MOST_TERMS = 1000  # above it, numbers of arrangements no longer fit a float


def order_following(piles: Array, order: Array) -> tuple[float, float]:
    """
    Return how far a participant piled terms in the order in which they came.

    Parameters
    ----------
    piles : (n_terms,) array of int
        `UNPLACED` where a term was not placed.
    order : (n_terms,) array of number
        Position of each term; nan where unknown. Only its ranks count.

    Returns
    -------
    index : float
        Share of neighbours in the order that share a pile; terms that were not placed are left
        out of the order. nan for fewer than two terms.
    p : float
        Share of all orders of these terms whose index is at least this high: the exact
        permutation p, the given order being one of them.
    """
    piles, order = np.asarray(piles), np.asarray(order, dtype=float)
    known = np.flatnonzero((piles != UNPLACED) & ~np.isnan(order))
    if len(known) < 2:
        return np.nan, np.nan
    seen = piles[known[np.argsort(order[known], kind="stable")]]
    followed = int((seen[1:] == seen[:-1]).sum())
    sizes = np.sort(np.unique(seen, return_counts=True)[1])[::-1]
    chances = chances_of_neighbours(tuple(sizes.tolist()))
    # rounded once; a p is never 0, so digits count and not decimals
    p = float(f"{chances[followed:].sum():.{DIGITS}g}")
    return followed / (len(known) - 1), min(p, 1.0)


@cache
def chances_of_neighbours(sizes: tuple[int, ...]) -> Floats:
    """
    Return the distribution of the number of neighbours that share a pile, all orders alike.

    Piles are laid into the row one after another. A pile of n terms is cut into r blocks in
    C(n - 1, r - 1) ways; the blocks go into r of the L + 1 gaps of a row of L terms, b of them
    into gaps between neighbours that share a pile, which they part.

    Parameters
    ----------
    sizes : tuple of int
        Terms per pile.

    Returns
    -------
    (n_terms,) array of float
        Chance of 0, 1 ... n_terms - 1 such neighbours.

    Raises
    ------
    ValueError
        For more than `MOST_TERMS` terms.
    """
    n_terms = sum(sizes)
    if n_terms > MOST_TERMS:
        raise ValueError(f"{n_terms} terms; chances are known up to {MOST_TERMS}")
    chances = np.zeros(n_terms)
    chances[0] = 1.0
    length = 0
    for size in sizes:
        chances = laid_in(chances, length, size)
        length += size
    return chances


def laid_in(chances: Floats, length: int, size: int) -> Floats:
    """Return the distribution after a pile of `size` was laid into a row of `length` terms."""
    new = np.zeros_like(chances)
    shared = np.arange(max(length, 1))  # neighbours sharing a pile, before
    ways = comb(length + size, size)
    for blocks in range(1, min(size, length + 1) + 1):
        cuts = comb(size - 1, blocks - 1) / ways
        for parted in range(min(blocks, int(shared[-1])) + 1):
            into_shared = binomials(shared, parted)
            elsewhere = binomials(length + 1 - shared, blocks - parted)
            weight = cuts * into_shared * elsewhere * chances[: len(shared)]
            gained = size - blocks - parted
            first = max(0, -gained)  # fewer are shared than parted: weight is zero there
            new[shared[first:] + gained] += weight[first:]
    return new


@cache
def pascal_column(chosen: int) -> Floats:
    """Return C(n, chosen) for n from 0 to `MOST_TERMS` + 1."""
    return np.array([float(comb(n, chosen)) for n in range(MOST_TERMS + 2)])


def binomials(numbers: Ints, chosen: int) -> Floats:
    """Return C(n, chosen) for each of the numbers."""
    return pascal_column(chosen)[numbers]
