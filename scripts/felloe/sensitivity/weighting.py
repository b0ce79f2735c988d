"""Other reasonable ways to weigh who put what together."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats
from felloe.ground.distances import Distances
from felloe.ground.people.counts import partial_shares
from felloe.ground.people.seen_pairs import placed_pairs
from felloe.ground.people.sorts import POOLED, UNPLACED, Sorts
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.squares import squared, upper
from felloe.matrices.distances import sorts_distances

# The chart's own ways of weighing, and what they are called here.
CHART_WEIGHTS = {"plain": "plain", "equal_groups": "equal"}
PAIRS_AT_ONCE = 2**24  # of some people, at most, in memory
WEIGHTINGS = ("plain", "standardised", "information", "equal_groups")


def chart_weighting(weights: str) -> str:
    """Return what the chart's own way of weighing is called here."""
    return next(name for name, own in CHART_WEIGHTS.items() if own == weights)


def weighted_distances(sorts: Sorts, weighting: str) -> Distances:
    """
    Distances under one way of weighing the sorts.

    Parameters
    ----------
    sorts : Sorts
    weighting : {'plain', 'standardised', 'information', 'equal_groups'}
        plain: every participant counts every pair as 0 or 1. standardised: each participant's
        pairs have mean 0 and standard deviation 1, so that who makes many pairs does not
        weigh more. information: a pair in a small pile counts more, by minus the binary
        logarithm of the chance that a random pair lies in that pile. equal_groups: the
        populations' shares are averaged.

    Returns
    -------
    Distances
        0 to 1, rounded to `DISTANCE_DECIMALS`.

    Raises
    ------
    ValueError
        For an unknown weighting, or if some pair of whole sorts was placed by nobody.

    References
    ----------
    In the spirit of Burton (1975), Multivariate Behavioral Research 10:409-424 (from memory),
    whose own measures may differ in detail.
    """
    if weighting in CHART_WEIGHTS:
        return sorts_distances(sorts, POOLED, CHART_WEIGHTS[weighting])
    if weighting not in WEIGHTINGS:
        raise ValueError(f"weighting '{weighting}' is unknown; use one of {WEIGHTINGS}")
    weigh = _standardised if weighting == "standardised" else _information
    n_terms = len(sorts.terms)
    total, counted = np.zeros(len(upper(n_terms)[0])), np.zeros(len(upper(n_terms)[0]))
    for numbers, sort, together in _own_pairs(sorts.piles):
        total[numbers] += weigh(sort, together, numbers)
        counted[numbers] += 1
    if sorts.prior is None and (counted == 0).any():
        raise ValueError("some terms were never placed by the same participant")
    prior = sorts.prior
    means = total / counted if prior is None else partial_shares(total, counted, prior)
    return Distances(sorts.terms, squared(_scaled(means), n_terms))


def _own_pairs(piles: Array) -> Iterator[tuple[Array, Array, Bools]]:
    """Yield of each person the pairs of terms that they placed, their piles, what is together."""
    at_once = max(1, PAIRS_AT_ONCE // len(upper(piles.shape[1])[0]))
    for start in range(0, len(piles), at_once):
        some = piles[start : start + at_once]
        numbers, joined, ends = placed_pairs(some)
        for sort, (begin, end) in zip(some, pairwise(ends), strict=True):
            yield numbers[begin:end], sort, joined[begin:end]


def _standardised(sort: Array, together: Bools, pairs: Array) -> Floats:
    share = together.mean() if len(together) else 0.0
    spread = np.sqrt(share * (1.0 - share))
    # one pile, or singles only, say nothing about any pair
    return np.asarray((together - share) / spread if spread > 0 else np.zeros(len(together)))


def _information(sort: Array, together: Bools, pairs: Array) -> Floats:
    placed = int((sort != UNPLACED).sum())
    numbers, sizes = np.unique(sort[sort != UNPLACED], return_counts=True)
    worth = np.zeros(int(numbers.max(initial=0)) + 1)
    several = sizes > 1
    chance = sizes[several] * (sizes[several] - 1.0) / (placed * (placed - 1.0))
    worth[numbers[several]] = np.round(-np.log2(chance), DISTANCE_DECIMALS)
    told: Floats = np.where(together, worth[sort[upper(len(sort))[0][pairs]]], 0.0)
    return told


def _scaled(similar: Floats) -> Floats:
    """Turn similarities into distances from 0 to 1; scale and origin do not change a tree."""
    low, high = similar.min(), similar.max()
    spread = high - low if high > low else 1.0
    scaled: Floats = np.round((high - similar) / spread, DISTANCE_DECIMALS)
    return scaled
