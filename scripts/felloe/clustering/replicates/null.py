"""The same participants without structure: their piles dealt to the terms at random."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import overload

import numpy as np

from felloe.clustering.replicates.redraws import NULL_PURPOSE, Basis, permuted_basis
from felloe.ground.arrays import Array, Floats
from felloe.ground.groups.linkage import build_tree, cophenetic_correlation, merge_scale
from felloe.ground.randomness import Streams
from felloe.ground.squares import squared


class Squares(Sequence[Floats]):
    """Distances of several data sets, held pair by pair and squared when they are asked for."""

    def __init__(self, pairs: list[Floats], n_terms: int) -> None:
        """Take (N * (N - 1) / 2,) distances of each data set, and N."""
        self.pairs, self.n_terms = pairs, n_terms

    def __len__(self) -> int:
        """Return how many data sets there are."""
        return len(self.pairs)

    @overload
    def __getitem__(self, place: int) -> Floats: ...
    @overload
    def __getitem__(self, place: slice) -> "Squares": ...
    def __getitem__(self, place: int | slice) -> "Floats | Squares":
        """Return the (N, N) distances of one data set, or those of some."""
        if isinstance(place, slice):
            return Squares(self.pairs[place], self.n_terms)
        return squared(self.pairs[place], self.n_terms)


@dataclass(frozen=True)
class Null:
    """
    Data sets with terms permuted within participants.

    Attributes
    ----------
    trees : list of (N - 1, 4) array of float
    distances : sequence of (N, N) array of float
    merges : (M, R, N - 1, 2) array of int
        Trees of redrawn participants of the first M data sets.
    """

    trees: list[Floats]
    distances: Sequence[Floats]
    merges: Array


def permuted_distances(basis: Basis, streams: Streams, sets: int) -> Squares:
    """
    Return the distances of permuted data sets.

    Parameters
    ----------
    basis : Basis
    streams : Streams
    sets : int

    Returns
    -------
    Squares
    """
    pairs = [
        permuted_basis(basis, streams.generator(NULL_PURPOSE, one)).observed for one in range(sets)
    ]
    return Squares(pairs, basis.n_terms)


def collect_null(basis: Basis, method: str, streams: Streams, sets: int, merges: Array) -> Null:
    """
    Build the trees of permuted data sets.

    Parameters
    ----------
    basis : Basis
    method : str
    streams : Streams
    sets : int
        At least as many as `merges` has are built.
    merges : (M, R, N - 1, 2) array of int

    Returns
    -------
    Null
    """
    distances = permuted_distances(basis, streams, max(sets, len(merges)))
    return Null([build_tree(D, method) for D in distances], distances, merges)


def cophenetic_null(distances: Sequence[Floats], method: str) -> float:
    """
    Mean cophenetic correlation of trees of permuted data sets.

    Parameters
    ----------
    distances : sequence of (N, N) array of float
    method : str

    Returns
    -------
    float
    """
    values = [
        cophenetic_correlation(build_tree(D, method), merge_scale(D, method)) for D in distances
    ]
    return float(np.mean(values))
