"""The pairs that each person of a partial study placed, and no others: few of all there are."""

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from felloe.ground.arrays import Array, Ints
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.squares import upper

if TYPE_CHECKING:
    from scipy.sparse import csr_array


def placed_pairs(piles: Array) -> tuple[Array, Array, Ints]:
    """
    List the pairs of terms that each person placed, one person after the other.

    Parameters
    ----------
    piles : (n, N) array of int
        Pile numbers, meaningful within a row only; `UNPLACED` where a term was not placed.

    Returns
    -------
    numbers : (n_placed,) array of int32
        Pairs are numbered as the upper triangle of terms by terms is read, row by row.
    joined : (n_placed,) array of bool
        Whether the person put the two terms together.
    ends : (n + 1,) array of int
        Those of person g lie from `ends[g]` to `ends[g + 1]`.
    """
    at = np.arange(piles.shape[1])
    starts = at * (2 * len(at) - at - 1) // 2 - at - 1
    seen = [np.flatnonzero(own != UNPLACED) for own in piles]
    ends = np.cumsum([0, *(len(one) * (len(one) - 1) // 2 for one in seen)])
    numbers, joined = np.empty(ends[-1], np.int32), np.empty(ends[-1], bool)
    for own, terms, (start, end) in zip(piles, seen, pairwise(ends), strict=True):
        first, second = upper(len(terms))
        numbers[start:end] = starts[terms][first] + terms[second]
        joined[start:end] = own[terms][first] == own[terms][second]
    return numbers, joined, ends


def seen_pairs(piles: Array) -> "tuple[csr_array, csr_array]":
    """
    Mark who put and who placed which pair of terms, as sparse matrices.

    Parameters
    ----------
    piles : (n, N) array of int
        As for `placed_pairs`.

    Returns
    -------
    together, placed : (n_pairs, n) sparse array of float32
        Ones; pairs as in `placed_pairs`. A product with whole numbers is exact where its own are
        below 2**24, and costs one multiplication for every one that is held.
    """
    numbers, joined, ends = placed_pairs(piles)
    n_terms = piles.shape[1]
    n_pairs = n_terms * (n_terms - 1) // 2
    before = np.cumsum([0, *(joined[a:b].sum() for a, b in pairwise(ends))])
    return marked(numbers[joined], before, n_pairs), marked(numbers, ends, n_pairs)


def marked_pairs(piles: Array, together: bool) -> "csr_array":
    """Mark who put together, or who placed, which pair: one of the two of `seen_pairs`."""
    numbers, joined, ends = placed_pairs(piles)
    n_pairs = piles.shape[1] * (piles.shape[1] - 1) // 2
    if not together:
        return marked(numbers, ends, n_pairs)
    before = np.concatenate([[0], np.cumsum(joined)])[ends]
    return marked(numbers[joined], before, n_pairs)


def marked(numbers: Array, ends: Ints, n_pairs: int) -> "csr_array":
    """Return ones at the numbers of each person's pairs; those of one lie between two ends."""
    from scipy.sparse import csc_array

    ones = np.ones(len(numbers), np.float32)
    return csc_array((ones, numbers, ends), shape=(n_pairs, len(ends) - 1)).tocsr()
