"""Designs in which every pair of terms has the same number of observers, by construction."""

from collections.abc import Iterator
from functools import cache

import numpy as np

from felloe.allocation.finite_field import LARGEST, Field, field, prime_power
from felloe.ground.arrays import Array, Ints


@cache
def known_design(n_terms: int, each: int) -> Ints | None:
    """
    Return sets of terms that show every pair of terms equally often.

    Hyperplanes of projective and affine geometries over finite fields; in two dimensions the
    planes, in which every pair lies on one line. What is left beside them shows every pair equally
    often too.

    Parameters
    ----------
    n_terms, each : int

    Returns
    -------
    (n_sets, each) array of int or None
        None where these geometries give none; others may be known.

    References
    ----------
    Bose (1939), On the construction of balanced incomplete block designs, Annals of Eugenics 9
    (from memory).
    """
    for points, size, q, dimensions, affine in geometries(n_terms):
        if points == n_terms and each in (size, n_terms - size):
            sets = hyperplanes(field(q), dimensions, affine)
            inside = np.zeros((len(sets), n_terms), dtype=bool)
            np.put_along_axis(inside, sets, True, axis=1)
            if each != size:
                inside = ~inside
            return np.nonzero(inside)[1].reshape(len(sets), each)
    return None


def geometries(most: int) -> Iterator[tuple[int, int, int, int, bool]]:
    """Yield points, points of a hyperplane, q, dimensions, and whether it is affine."""
    for q in range(2, LARGEST + 1):
        if prime_power(q) is None:
            continue
        dimensions = 2
        while q**dimensions <= most:
            yield q**dimensions, q ** (dimensions - 1), q, dimensions, True
            points, size = ((q**n - 1) // (q - 1) for n in (dimensions + 1, dimensions))
            yield points, size, q, dimensions, False
            dimensions += 1


def hyperplanes(over: Field, dimensions: int, affine: bool) -> Ints:
    """
    Return the points on every hyperplane.

    Points and hyperplanes are the vectors whose first element beside zero is one; a point lies on a
    hyperplane where their product is zero. Without one hyperplane and its points a projective
    geometry is an affine one.

    Returns
    -------
    (n_hyperplanes, n_points_each) array of int
        Each row sorted.
    """
    vectors = standing_vectors(over.size, dimensions + 1)
    product = np.zeros((len(vectors), len(vectors)), dtype=np.int64)
    for axis in range(dimensions + 1):
        terms = over.times[vectors[:, None, axis], vectors[None, :, axis]]
        product = over.plus[product, terms]
    on = product == 0
    if affine:
        on = np.delete(on[:, ~on[0]], 0, axis=0)
    return np.nonzero(on)[1].reshape(len(on), -1)


def standing_vectors(q: int, length: int) -> Array:
    """Return all vectors whose first element beside zero is one."""
    vectors = np.arange(q**length)[:, None] // q ** np.arange(length)[::-1] % q
    first = (vectors != 0).argmax(axis=1)
    standing: Array = vectors[vectors[np.arange(len(vectors)), first] == 1]
    return standing
