"""Matrix products in which sums stand for products and minima for sums, with counts of ties."""

import numpy as np

from felloe.ground.arrays import Floats

BLOCK = 1 << 16  # elements handled at a time: half a megabyte, so that a block stays in the cache


def min_plus(left: Floats, right: Floats) -> Floats:
    """
    Return the least sum over the shared index.

    Parameters
    ----------
    left : (n, k) array of float
    right : (k, p) array of float
        Whole numbers below 2**53 (sums are then exact), or infinity for what is not allowed.

    Returns
    -------
    (n, p) array of float
        `min over m of left[i, m] + right[m, j]`; infinity where k is 0.
    """
    n, k = left.shape
    p = right.shape[1]
    if k == 0:
        return np.full((n, p), np.inf)
    if k == 1:
        return np.asarray(left + right)
    least = np.empty((n, p))
    rows = max(1, BLOCK // max(1, k * p))
    for start in range(0, n, rows):
        part = left[start : start + rows, :, None] + right[None]
        part.min(axis=1, out=least[start : start + rows])
    return least


def min_plus_counted(
    left: Floats, left_counts: Floats, right: Floats, right_counts: Floats
) -> tuple[Floats, Floats]:
    """
    Return the least sum over the shared index, and in how many ways it is reached.

    Parameters
    ----------
    left, left_counts : (n, k) array of float
    right, right_counts : (k, p) array of float
        Counts say in how many ways a cost itself is reached.

    Returns
    -------
    least, counts : (n, p) array of float
        Counts are exact below 2**53; 0 where the least sum is infinite.
    """
    n, k = left.shape
    p = right.shape[1]
    least, counts = np.full((n, p), np.inf), np.zeros((n, p))
    rows = max(1, BLOCK // max(1, k * p))
    for start in range(0, n if k else 0, rows):
        here = slice(start, start + rows)
        part = left[here, :, None] + right[None]
        part.min(axis=1, out=least[here])
        ways = left_counts[here, :, None] * right_counts[None]
        ways[part != least[here, None, :]] = 0.0
        counts[here] = np.where(np.isinf(least[here]), 0.0, ways.sum(axis=1))
    return least, counts
