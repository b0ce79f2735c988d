"""Pairs of terms and square matrices: one home for going from the one to the other."""

from functools import cache

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints


@cache
def upper(n: int) -> tuple[Ints, Ints]:
    """Return the row and column of each pair of `n` things, row by row of the upper triangle."""
    return np.triu_indices(n, 1)


def condensed(square: Array) -> Array:
    """
    Return the upper triangle of symmetric matrices, row by row.

    Parameters
    ----------
    square : (..., N, N) array

    Returns
    -------
    (..., N * (N - 1) / 2) array
        Copied from the upper triangle only.
    """
    rows, columns = upper(np.shape(square)[-1])
    return np.asarray(square)[..., rows, columns]


def squared(pairs: Array, n: int, diagonal: float = 0.0) -> Floats:
    """
    Return the symmetric matrices of values given pair by pair.

    Parameters
    ----------
    pairs : (..., N * (N - 1) / 2) array
    n : int
        N.
    diagonal : float

    Returns
    -------
    (..., N, N) array of float
    """
    pairs = np.asarray(pairs, dtype=float)
    rows, columns = upper(n)
    square = np.empty((*pairs.shape[:-1], n, n))
    square[..., rows, columns] = pairs
    square[..., columns, rows] = pairs
    square[..., np.arange(n), np.arange(n)] = diagonal
    return square


def doubly_centred(squared_distances: Array) -> Floats:
    """
    Return the inner products about the centroid that belong to squared distances.

    Parameters
    ----------
    squared_distances : (N, N) array of float
        Symmetric, zero diagonal.

    Returns
    -------
    (N, N) array of float
        Symmetric; its rows add up to zero and its trace is the total sum of squares.

    References
    ----------
    Gower (1966), Biometrika 53:325-338 (from memory).
    """
    half = -0.5 * np.asarray(squared_distances, dtype=float)
    rows = half.mean(axis=0)
    centred: Floats = half - rows[:, None] - rows[None, :] + half.mean()
    return centred


def nearest_terms(S: Array, term: int, number: int) -> list[int]:
    """Return the `number` terms most similar to one, most similar first, ties in term order."""
    row = np.array(S[term])
    row[term] = -np.inf
    others = min(number, len(row) - 1)
    return [int(place) for place in np.argsort(-row, kind="stable")[:others]]
