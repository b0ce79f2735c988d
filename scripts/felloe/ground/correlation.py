"""How two lists of numbers go together."""

import numpy as np

from felloe.ground.arrays import Array, Floats


def correlation(x: Array, y: Array) -> float:
    """
    Return Pearson's correlation.

    Parameters
    ----------
    x, y : (n,) array of float

    Returns
    -------
    float
        -1 to 1, not rounded; nan where one of the two does not vary.
    """
    x, y = x - np.mean(x), y - np.mean(y)
    scale = np.sqrt(np.sum(x * x) * np.sum(y * y))
    return float(np.sum(x * y) / scale) if scale > 0 else float("nan")


def average_ranks(values: Array) -> Floats:
    """Return the ranks of `values` from 1, the mean rank where values are equal."""
    _, place, counts = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(counts)
    ranks: Floats = (last - (counts - 1) / 2.0)[place]
    return ranks
