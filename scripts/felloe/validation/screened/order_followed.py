"""Whether somebody piled terms in the order in which they came."""

from functools import cache, lru_cache
from math import comb

import numpy as np
from numpy.lib.stride_tricks import as_strided

from felloe.ground.arrays import Array, Floats
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


@lru_cache(maxsize=512)
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
    """
    Return the distribution after a pile of `size` was laid into a row of `length` terms.

    Of s neighbours that shared a pile u = s - b are left where r blocks part b of them, and the
    pile brings size - r of its own: all r, b and u at once, from strided views of one table.

    Parameters
    ----------
    chances : (n_terms,) array of float
        Of 0, 1 ... neighbours that share a pile, before.
    length, size : int

    Returns
    -------
    (n_terms,) array of float
    """
    states = max(length, 1)
    most = min(size, length + 1)
    table = binomials(1 << size.bit_length())
    zero = len(table) // 2  # both the row of chosen 0 and the column of n = 0
    step, one = table.strides
    padded = np.zeros(states + most)
    padded[:states] = chances[:states]
    before = as_strided(padded, (most + 1, states), (one, one))
    parted = before * as_strided(table[zero:, zero:], (most + 1, states), (step + one, one))
    elsewhere = as_strided(
        table[zero + 1 :, zero + length + 1 :], (most, most + 1, states), (step, -step - one, -one)
    )
    ways = comb(length + size, size)
    cuts = np.array([comb(size - 1, blocks) / ways for blocks in range(most)])
    gained = cuts[:, None] * np.einsum("bu,rbu->ru", parted, elsewhere)
    shared = np.arange(states) + (size - 1 - np.arange(most))[:, None]
    laid: Floats = np.bincount(shared.ravel(), gained.ravel(), len(chances)).astype(float)
    return laid


@cache
def binomials(most: int) -> Floats:
    """
    Return C(n, chosen) for n up to `MOST_TERMS` + 1 and chosen up to `most`.

    Returns
    -------
    (2 * most + 1, most + MOST_TERMS + 2) array of float
        n and chosen are counted from the place (most, most); zeros before it, so that whoever
        steps below n or chosen of 0 finds that there is no way.
    """
    table = np.zeros((2 * most + 1, most + MOST_TERMS + 2))
    for chosen in range(most + 1):
        table[most + chosen, most:] = [float(comb(n, chosen)) for n in range(MOST_TERMS + 2)]
    return table
