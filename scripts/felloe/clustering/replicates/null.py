"""The same participants without structure: their piles dealt to the terms at random."""

from dataclasses import dataclass

import numpy as np

from felloe.clustering.replicates.redraws import NULL_PURPOSE, Basis, permuted_basis
from felloe.ground.arrays import Array, Floats
from felloe.ground.groups.linkage import build_tree, cophenetic_correlation, merge_scale
from felloe.ground.randomness import Streams
from felloe.ground.squares import squared


@dataclass(frozen=True)
class Null:
    """
    Data sets with terms permuted within participants.

    Attributes
    ----------
    trees : list of (N - 1, 4) array of float
    distances : list of (N, N) array of float
    merges : (M, R, N - 1, 2) array of int
        Trees of redrawn participants of the first M data sets.
    """

    trees: list[Floats]
    distances: list[Floats]
    merges: Array


def permuted_distances(basis: Basis, streams: Streams, sets: int) -> list[Floats]:
    """
    Return the distances of permuted data sets.

    Parameters
    ----------
    basis : Basis
    streams : Streams
    sets : int

    Returns
    -------
    list of (N, N) array of float
    """
    return [
        squared(permuted_basis(basis, streams.generator(NULL_PURPOSE, one)).observed, basis.n_terms)
        for one in range(sets)
    ]


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


def cophenetic_null(distances: list[Floats], method: str) -> float:
    """
    Mean cophenetic correlation of trees of permuted data sets.

    Parameters
    ----------
    distances : list of (N, N) array of float
    method : str

    Returns
    -------
    float
    """
    values = [
        cophenetic_correlation(build_tree(D, method), merge_scale(D, method)) for D in distances
    ]
    return float(np.mean(values))
