"""Shares of people who put two terms together, also where nobody placed both."""

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.people.counts import Counts


def shares_together(counts: Counts, unknown: float | Array) -> Floats:
    """
    Return the share of people who put two terms together.

    Parameters
    ----------
    counts : Counts
    unknown : float or (n_terms, n_terms) array of float
        What stands where nobody placed both.

    Returns
    -------
    (n_terms, n_terms) array of float
        Of partial sorts, drawn to the mean; see `felloe.ground.people.counts.drawn_to_mean`.
    """
    if counts.prior is not None:
        return counts.similarity()
    return np.where(counts.both > 0, counts.together / np.maximum(counts.both, 1), unknown)
