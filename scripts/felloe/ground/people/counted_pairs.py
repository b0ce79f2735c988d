"""Pairs of terms of many people, counted without a full table of people by pairs."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.people.pairs import PairVectors, pair_vectors
from felloe.ground.people.seen_pairs import placed_pairs
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.squares import upper

if TYPE_CHECKING:
    from scipy.sparse import csr_array

MOST_WRITTEN = 5_000_000  # people times pairs of terms; more are not written out but counted
AT_ONCE = 8_000_000  # marks that are made at a time
MOST_HELD = 60_000_000  # marks kept from one count to the next (8 bytes each), else made anew
COLUMNS = 32  # choices of people at a time, so that they stay in the cache; no result depends on it


class Marks(NamedTuple):
    """
    What some people did with every pair of terms, as ones in sparse matrices.

    Attributes
    ----------
    people : slice
        Which they are.
    together : (n_pairs, n) sparse array of float32
        Who put both terms in one pile; pairs as in `PairVectors`.
    other : (n_pairs, n) sparse array of float32
        Who placed both; or who did not, with `CountedPairs.are_missing`.
    """

    people: slice
    together: "csr_array"
    other: "csr_array"


@dataclass(frozen=True)
class CountedPairs:
    """
    The sorts of many people: what `PairVectors` tells, counted to the same last bit.

    Attributes
    ----------
    piles : (n_people, n_terms) array of int
        Pile numbers, meaningful within a row only; `UNPLACED` where a term was not placed.
    prior : float, optional
        Of partial sorts; see `counts.drawn_to_mean`.
    """

    piles: Array
    prior: float | None = None

    @property
    def n_people(self) -> int:
        """The number of people."""
        return len(self.piles)

    @property
    def n_terms(self) -> int:
        """The number of terms."""
        return int(self.piles.shape[1])

    @property
    def n_pairs(self) -> int:
        """The number of pairs of terms."""
        return self.n_terms * (self.n_terms - 1) // 2

    @cached_property
    def complete(self) -> bool:
        """Whether everybody placed every term."""
        return bool((self.piles != UNPLACED).all())

    @cached_property
    def are_missing(self) -> bool:
        """Whether pairs that people did not place are marked, being fewer than those they did."""
        placed = (self.piles != UNPLACED).sum(axis=1)
        return bool((placed * (placed - 1)).sum() > self.n_pairs * len(self.piles))

    @cached_property
    def held(self) -> list[Marks]:
        """All marks, to be kept."""
        return list(self.made())

    def release(self) -> None:
        """Let go of the marks that are held; who counts again makes them anew."""
        self.__dict__.pop("held", None)

    def marks(self) -> Iterator[Marks]:
        """Yield the marks of everybody, some people at a time; made once where they are few."""
        yield from self.held if int(self.sizes.sum()) <= MOST_HELD else self.made()

    @cached_property
    def sizes(self) -> Array:
        """The pairs that each person placed, or did not: as many as are marked."""
        placed = (self.piles != UNPLACED).sum(axis=1).astype(np.int64)
        pairs = placed * (placed - 1) // 2
        return np.asarray(self.n_pairs - pairs if self.are_missing else pairs)

    def made(self) -> Iterator[Marks]:
        """Make the marks of everybody, some people at a time."""
        # pairs that people placed are listed on the way, whichever are marked
        most = max(int((self.piles != UNPLACED).sum(axis=1).max(initial=0)), 2)
        step = max(AT_ONCE // (most * (most - 1) // 2), 1)
        for start in range(0, len(self.piles), step):
            some = slice(start, start + step)
            numbers, joined, ends = placed_pairs(self.piles[some])
            own = (np.count_nonzero(joined[a:b]) for a, b in pairwise(ends))
            before = np.cumsum([0, *own])
            together = marked(numbers[joined], before, self.n_pairs)
            if self.are_missing:
                numbers, ends = missing_pairs(self.piles[some])
            yield Marks(some, together, marked(numbers, ends, self.n_pairs))

    def of(self, people: Array) -> "CountedPairs":
        """Return the same of some people: indices or a mask."""
        return CountedPairs(self.piles[people], self.prior)

    def counted(self, chosen: Array) -> tuple[Floats, Floats]:
        """
        Count who of those chosen put each pair together, and who placed both.

        Parameters
        ----------
        chosen : (n_choices, n_people) array of bool

        Returns
        -------
        together, both : (n_choices, n_pairs) array of float
            Exact: sums of zeros and ones below 2**24 are.
        """
        columns = np.asarray(chosen, dtype=np.float32).T
        together, other = (np.zeros((self.n_pairs, len(chosen)), np.float32) for _ in range(2))
        for some, joined, marks in self.marks():
            for start in range(0, len(chosen), COLUMNS):
                at = slice(start, start + COLUMNS)
                own = np.ascontiguousarray(columns[some, at])
                together[:, at] += joined @ own
                other[:, at] += marks @ own
        if self.are_missing:
            other = columns.sum(axis=0) - other
        # every row in one piece, so that sums over it are those over any other such row
        return np.ascontiguousarray(together.T, float), np.ascontiguousarray(other.T, float)

    def filled_in(self, usual: Floats) -> "csr_array":
        """
        Return who put what together, less `usual` for everybody's every pair.

        Parameters
        ----------
        usual : (n_pairs,) array of float
            What a person who did not place both terms is taken to have said.

        Returns
        -------
        (n_pairs, n_people) sparse array of float
            A weighted sum over people is that of what they said, less `usual` times the sum of
            the weights; with `are_missing` nothing is taken off.
        """
        from scipy.sparse import csr_array, diags_array, hstack

        scale = diags_array(usual if self.are_missing else -usual)
        parts = [one.together.astype(float) + scale @ one.other for one in self.marks()]
        return csr_array(hstack(parts, format="csr"))

    def between(self) -> tuple[Floats, Floats, Floats]:
        """
        Count what every two people have in common.

        Returns
        -------
        shared : (n_people, n_people) array of float
            Pairs of terms that both placed.
        alone : (n_people, n_people) array of float
            Pairs that the person of the row put together and the one of the column placed.
        joint : (n_people, n_people) array of float
            Pairs that both put together.
        """
        placed = (self.piles != UNPLACED).astype(np.float32)
        terms = (placed @ placed.T).astype(float)
        joint, alone = (np.empty(terms.shape) for _ in range(2))
        for rows, together, _ in self.marks():
            for columns, joined, other in self.marks():
                if columns.start >= rows.start:
                    joint[rows, columns] = (together.T @ joined).toarray()
                    joint[columns, rows] = joint[rows, columns].T
                alone[rows, columns] = (together.T @ other).toarray()
        if self.are_missing:
            alone = np.diagonal(joint)[:, None] - alone
        return terms * (terms - 1.0) / 2.0, alone, joint

    def centred_products(self) -> tuple[Floats, Floats]:
        """Return what `PairVectors.centred_products` does, but for rounding."""
        shared, alone, joint = self.between()
        means = np.diagonal(joint) / np.maximum(np.diagonal(shared), 1.0)
        expected = alone * means[None, :]
        products = joint - expected - expected.T + np.outer(means, means) * shared
        return products, shared


AnyPairs = PairVectors | CountedPairs


def marked(numbers: Array, ends: Ints, n_pairs: int) -> "csr_array":
    """Return ones at the numbers of each person's pairs; those of one lie between two ends."""
    from scipy.sparse import csc_array

    ones = np.ones(len(numbers), np.float32)
    return csc_array((ones, numbers, ends), shape=(n_pairs, len(ends) - 1)).tocsr()


def missing_pairs(piles: Array) -> tuple[Array, Array]:
    """List the pairs that each person did not place, as `placed_pairs` lists the others."""
    first, second = upper(piles.shape[1])
    found = [np.flatnonzero(gone[first] | gone[second]) for gone in piles == UNPLACED]
    numbers = np.concatenate([np.empty(0, np.intp), *found]).astype(np.int32)
    return numbers, np.cumsum([0, *(len(one) for one in found)])


def pairs_of(piles: Array, prior: float | None = None) -> AnyPairs:
    """
    Return the pairs of terms of some people: written out where they are few, else for counting.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    prior : float, optional

    Returns
    -------
    PairVectors or CountedPairs
    """
    n_people, n_terms = np.shape(piles)
    few = n_people * n_terms * (n_terms - 1) // 2 <= MOST_WRITTEN
    return pair_vectors(piles, prior) if few else CountedPairs(np.asarray(piles), prior)
