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
    starts = row_starts(piles.shape[1])
    seen = [np.flatnonzero(own != UNPLACED) for own in piles]
    ends = np.cumsum([0, *(len(one) * (len(one) - 1) // 2 for one in seen)])
    numbers, joined = np.empty(ends[-1], np.int32), np.empty(ends[-1], bool)
    for own, terms, (start, end) in zip(piles, seen, pairwise(ends), strict=True):
        first, second = upper(len(terms))
        numbers[start:end] = starts[terms][first] + terms[second]
        joined[start:end] = own[terms][first] == own[terms][second]
    return numbers, joined, ends


def joined_pairs(piles: Array) -> tuple[Array, Array]:
    """
    List the pairs of terms that people put together, from their piles alone.

    Nobody's pairs apart are looked at: a person's cost is the sum of the squares of the piles,
    not the square of the terms.

    Parameters
    ----------
    piles : (n, N) array of int
        As for `placed_pairs`.

    Returns
    -------
    numbers : (n_joined,) array of int32
        As those of `placed_pairs` that are joined, in another order.
    people : (n_joined,) array of int32
        Who put the pair together.
    """
    starts = row_starts(piles.shape[1])
    person, term = np.nonzero(piles != UNPLACED)
    order = np.lexsort((piles[person, term], person))  # stable: terms of a pile stay sorted
    person, term = person[order], term[order]
    pile = piles[person, term]
    new = np.flatnonzero(np.diff(person, prepend=-1) | np.diff(pile, prepend=UNPLACED))
    sizes = np.diff(new, append=len(person))
    numbers, people = [np.zeros(0, np.int32)], [np.zeros(0, np.int32)]
    for size in np.unique(sizes[sizes > 1]).tolist():
        first, second = upper(size)
        begins = new[sizes == size]
        terms = term[begins[:, None] + np.arange(size)]
        found = starts[terms[:, first]] + terms[:, second]
        numbers.append(found.ravel().astype(np.int32))
        people.append(np.repeat(person[begins], len(first)).astype(np.int32))
    return np.concatenate(numbers), np.concatenate(people)


def placed_marks(piles: Array, kind: "np.typing.DTypeLike" = np.float32) -> "csr_array":
    """
    Mark who placed which pair of terms, as a sparse matrix.

    Parameters
    ----------
    piles : (n, N) array of int
        As for `placed_pairs`.
    kind : dtype
        Of the ones, and of a product with numbers of the same kind. It is exact where no sum
        goes beyond it: 2**24 for float32, 2**16 - 1 for uint16, which is twice as fast.

    Returns
    -------
    (n_pairs, n) sparse array
        Ones; pairs as in `placed_pairs`. A product costs one multiplication for every one that
        is held.
    """
    n, n_terms = piles.shape
    numbers, _, ends = placed_pairs(piles)
    n_pairs = n_terms * (n_terms - 1) // 2
    starts = ends_of(numbers, n_pairs)
    people, free = np.empty(len(numbers), np.int32), starts[:-1].copy()
    for person, (start, end) in enumerate(pairwise(ends)):
        own = numbers[start:end]  # each pair once, so that all of them move on at once
        people[free[own]] = person
        free[own] += 1
    return sparse_rows(people, starts, (n_pairs, n), kind)


def joined_marks(piles: Array, kind: "np.typing.DTypeLike" = np.float32) -> "csr_array":
    """Mark who put which pair of terms together; see `placed_marks`."""
    n, n_terms = piles.shape
    numbers, people = joined_pairs(piles)
    n_pairs = n_terms * (n_terms - 1) // 2
    order = np.lexsort((people, numbers))
    starts = ends_of(numbers, n_pairs)
    return sparse_rows(people[order], starts, (n_pairs, n), kind)


def row_starts(n_terms: int) -> Ints:
    """Return, for every term, the number of its pair with another less that other's place."""
    at = np.arange(n_terms)
    return np.asarray(at * (2 * n_terms - at - 1) // 2 - at - 1)


def ends_of(numbers: Array, n_pairs: int) -> Ints:
    """Return where the marks of each pair begin and end, once they are in the order of pairs."""
    starts = np.zeros(n_pairs + 1, np.int64)
    np.cumsum(np.bincount(numbers, minlength=n_pairs), out=starts[1:])
    return starts


def sparse_rows(
    people: Array, starts: Ints, shape: tuple[int, int], kind: "np.typing.DTypeLike"
) -> "csr_array":
    """Return ones at the people of each pair, with the short indices that products run on."""
    from scipy.sparse import csr_array

    narrow = np.int32 if len(people) < 2**31 else np.int64
    ones = np.ones(len(people), kind)
    return csr_array((ones, people.astype(narrow, copy=False), starts.astype(narrow)), shape=shape)
