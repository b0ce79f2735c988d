"""Other reasonable ways to weigh who put what together."""

import numpy as np

from felloe.ground.rounding import DISTANCE_DECIMALS as DECIMALS
from felloe.ground.sorts import UNPLACED
from felloe.matrices.distances import chart_dissimilarity

WEIGHTINGS = ("plain", "standardised", "information", "equal_groups")


def weighted_dissimilarity(piles, populations, weighting):
    """
    Distances under one way of weighing the sorts.

    Parameters
    ----------
    piles : (n, N) array of int
    populations : sequence of str
    weighting : {'plain', 'standardised', 'information', 'equal_groups'}
        plain: every participant counts every pair as 0 or 1. standardised: each participant's
        pairs have mean 0 and standard deviation 1, so that who makes many pairs does not
        weigh more. information: a pair in a small pile counts more, by minus the binary
        logarithm of the chance that a random pair lies in that pile. equal_groups: the
        populations' shares are averaged.

    Returns
    -------
    (N, N) array of float
        Symmetric, zero diagonal, 0 to 1, rounded to `DECIMALS`.

    Raises
    ------
    ValueError
        For an unknown weighting, or if some pair was placed by nobody.

    References
    ----------
    In the spirit of Burton (1975), Multivariate Behavioral Research 10:409-424 (from memory),
    whose own measures may differ in detail.
    """
    if weighting == "plain":
        return chart_dissimilarity(piles, populations, "pooled", "plain")
    if weighting == "equal_groups":
        return chart_dissimilarity(piles, populations, "pooled", "equal")
    if weighting not in WEIGHTINGS:
        raise ValueError(f"weighting '{weighting}' is unknown; use one of {WEIGHTINGS}")
    piles = np.asarray(piles)
    weigh = _standardised if weighting == "standardised" else _information
    upper = np.triu_indices(piles.shape[1], 1)
    total, counted = np.zeros(len(upper[0])), np.zeros(len(upper[0]))
    for sort in piles:
        both = (sort[upper[0]] != UNPLACED) & (sort[upper[1]] != UNPLACED)
        together = both & (sort[upper[0]] == sort[upper[1]])
        total += np.where(both, weigh(sort, together, both, upper), 0.0)
        counted += both
    if (counted == 0).any():
        raise ValueError("some terms were never placed by the same participant")
    return _scaled(total / counted, piles.shape[1], upper)


def _standardised(sort, together, both, upper):
    share = together[both].mean() if both.any() else 0.0
    spread = np.sqrt(share * (1.0 - share))
    # one pile, or singles only, say nothing about any pair
    return (together - share) / spread if spread > 0 else np.zeros(len(together))


def _information(sort, together, both, upper):
    placed = int((sort != UNPLACED).sum())
    numbers, sizes = np.unique(sort[sort != UNPLACED], return_counts=True)
    worth = np.zeros(int(numbers.max(initial=0)) + 1)
    several = sizes > 1
    chance = sizes[several] * (sizes[several] - 1.0) / (placed * (placed - 1.0))
    worth[numbers[several]] = np.round(-np.log2(chance), DECIMALS)
    return np.where(together, worth[sort[upper[0]]], 0.0)


def _scaled(similar, n_terms, upper):
    """Turn similarities into distances from 0 to 1; scale and origin do not change a tree."""
    low, high = similar.min(), similar.max()
    apart = np.zeros((n_terms, n_terms))
    spread = high - low if high > low else 1.0
    apart[upper] = np.round((high - similar) / spread, DECIMALS)
    return apart + apart.T
