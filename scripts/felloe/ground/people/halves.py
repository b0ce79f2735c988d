"""How well the matrix of some people repeats that of others: random halves."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats
from felloe.ground.people.chosen_pairs import ChosenPairs
from felloe.ground.people.counts import partial_shares
from felloe.ground.people.pairs import PairVectors
from felloe.ground.rounding import PRODUCT_DECIMALS

CHUNK = 100  # random divisions at a time, to bound memory; no result depends on it
MOST_CELLS = 2**22  # as many of them as have so many pairs of terms between them, if that is fewer
FEWEST_FOR_HALVES = 4  # two people in each half
CountedPairs = PairVectors | ChosenPairs  # both count pairs for choices of people


@dataclass(frozen=True)
class Reliability:
    """
    How well one half of a population repeats the other.

    Attributes
    ----------
    half_correlation : float
        Mean correlation between the matrices of random halves; nan below four people.
    reliability : float
        The same stepped up to the whole population.
    halves : int
    """

    half_correlation: float
    reliability: float
    halves: int


def correlate_rows(x: Floats, y: Floats) -> Floats:
    """
    Correlate each row of `x` with the same row of `y` over the columns known in both.

    Parameters
    ----------
    x, y : (n_rows, n_columns) array of float
        nan where unknown.

    Returns
    -------
    (n_rows,) array of float
        Rounded to `PRODUCT_DECIMALS`; nan where a row is constant.
    """
    known = np.isfinite(x) & np.isfinite(y)
    if not known.all():
        x, y = np.where(known, x, 0.0), np.where(known, y, 0.0)
    counts = np.maximum(known.sum(axis=1, keepdims=True), 1)
    x = (x - x.sum(axis=1, keepdims=True) / counts) * known
    y = (y - y.sum(axis=1, keepdims=True) / counts) * known
    spread = np.sqrt((x * x).sum(axis=1) * (y * y).sum(axis=1))
    products = (x * y).sum(axis=1)
    out = np.full(len(x), np.nan)
    correlations = np.divide(products, spread, out=out, where=spread > 1e-12)
    return np.asarray(np.round(correlations, PRODUCT_DECIMALS))


def similarities(vectors: CountedPairs, chosen: Array) -> Floats:
    """
    Return the share of those who put each pair together, for several choices of people.

    Parameters
    ----------
    vectors : PairVectors or ChosenPairs
    chosen : (n_choices, n_people) array of bool

    Returns
    -------
    (n_choices, n_pairs) array of float
        nan where nobody chosen placed both terms. Of partial sorts, drawn to the mean of those
        chosen, which stands where nobody placed both.
    """
    return shares_of(*vectors.counts(chosen), vectors.prior)


def shares_of(together: Floats, both: Floats, prior: float | None) -> Floats:
    """Return the shares that follow from counts of pairs; see `similarities`."""
    if prior is not None:
        return partial_shares(together, both, prior)
    shares = np.full_like(together, np.nan)
    return np.asarray(np.divide(together, both, out=shares, where=both > 0))


def at_once(n_pairs: int) -> int:
    """Return how many choices of people are held at a time, so that memory stays bounded."""
    return max(1, min(CHUNK, MOST_CELLS // max(n_pairs, 1)))


def random_groups(rng: np.random.Generator, n_people: int, size: int, repeats: int) -> Bools:
    """Return (repeats, n_people) of bool: `size` people drawn without replacement in each row."""
    orders = rng.permuted(np.tile(np.arange(n_people), (repeats, 1)), axis=1)
    return np.asarray(orders < size)


def correlated_samples(vectors: CountedPairs, first: Bools, second: Bools) -> Floats:
    """
    Correlate the matrices of two samples, repeat by repeat.

    Parameters
    ----------
    vectors : PairVectors or ChosenPairs
    first, second : (repeats, n_people) array of bool

    Returns
    -------
    (repeats,) array of float
        Over the pairs of terms that somebody of each sample placed; nan where a matrix is
        constant.
    """
    everybody = None
    if (first != second).all():  # halves: the other one is what is left of all, in whole numbers
        everybody = vectors.counts(np.ones((1, first.shape[1]), dtype=bool))
    n_pairs = vectors.n_terms * (vectors.n_terms - 1) // 2
    parts = range(at_once(n_pairs), len(first), at_once(n_pairs))
    found = []
    for one, other in zip(np.split(first, parts), np.split(second, parts), strict=True):
        counts = vectors.counts(one)
        left = (
            vectors.counts(other)
            if everybody is None
            else tuple(whole - own for whole, own in zip(everybody, counts, strict=True))
        )
        shares = (shares_of(together, both, vectors.prior) for together, both in (counts, left))
        found.append(correlate_rows(*shares))
    return np.concatenate(found)


def divided_correlations(vectors: PairVectors, groups: Bools) -> Floats:
    """
    Correlate the matrices of the people in each group with those of the people outside it.

    Parameters
    ----------
    vectors : PairVectors
    groups : (repeats, n_people) array of bool

    Returns
    -------
    (repeats,) array of float
    """
    return correlated_samples(vectors, groups, ~groups)


def spearman_brown(half_correlation: float) -> float:
    """Return the reliability of the whole from the correlation of its halves; nan for -1."""
    if half_correlation <= -1.0:
        return float("nan")
    return 2.0 * half_correlation / (1.0 + half_correlation)


def split_half_reliability(
    vectors: PairVectors, halves: int, rng: np.random.Generator
) -> Reliability:
    """
    Estimate how well a population's matrix would be repeated by as many other people.

    Parameters
    ----------
    vectors : PairVectors
        One population.
    halves : int
        Random divisions into two halves.
    rng : numpy.random.Generator

    Returns
    -------
    Reliability

    References
    ----------
    Spearman (1910) and Brown (1910), British Journal of Psychology 3 (from memory).
    """
    n_people = len(vectors.together)
    if n_people < FEWEST_FOR_HALVES:
        return Reliability(float("nan"), float("nan"), 0)
    correlations = divided_correlations(
        vectors, random_groups(rng, n_people, n_people // 2, halves)
    )
    known = correlations[np.isfinite(correlations)]
    if not len(known):
        return Reliability(float("nan"), float("nan"), 0)
    mean = round(float(known.mean()), PRODUCT_DECIMALS)
    return Reliability(mean, round(spearman_brown(mean), PRODUCT_DECIMALS), len(known))
