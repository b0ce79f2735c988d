"""How well the matrix of some people repeats that of others: random halves."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats
from felloe.ground.people.counts import partial_shares
from felloe.ground.people.pairs import SomePairs
from felloe.ground.rounding import PRODUCT_DECIMALS

CHUNK = 100  # random divisions at a time, to bound memory; no result depends on it
MOST_CELLS = 4_000_000  # divisions times pairs of terms at a time; no result depends on it
FEWEST_FOR_HALVES = 4  # two people in each half


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
    everywhere = bool(known.all())
    if not everywhere:
        x, y = np.where(known, x, 0.0), np.where(known, y, 0.0)
    counts = np.maximum(known.sum(axis=1, keepdims=True), 1)
    x = x - x.sum(axis=1, keepdims=True) / counts
    y = y - y.sum(axis=1, keepdims=True) / counts
    if not everywhere:
        x, y = x * known, y * known
    spread = np.sqrt((x * x).sum(axis=1) * (y * y).sum(axis=1))
    products = (x * y).sum(axis=1)
    out = np.full(len(x), np.nan)
    correlations = np.divide(products, spread, out=out, where=spread > 1e-12)
    return np.asarray(np.round(correlations, PRODUCT_DECIMALS))


def similarities(vectors: SomePairs, chosen: Array) -> Floats:
    """
    Return the share of those who put each pair together, for several choices of people.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    chosen : (n_choices, n_people) array of bool

    Returns
    -------
    (n_choices, n_pairs) array of float
        nan where nobody chosen placed both terms. Of partial sorts, drawn to the mean of those
        chosen, which stands where nobody placed both.
    """
    return shares_of(*vectors.counted(chosen), vectors.prior)


def shares_of(together: Floats, both: Floats, prior: float | None) -> Floats:
    """Return the shares of `similarities` from who put pairs together, and who placed both."""
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


def divided_similarities(vectors: SomePairs, groups: Bools) -> Iterator[tuple[Floats, Floats]]:
    """
    Yield the similarities of the people in groups and of those outside, some groups at a time.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    groups : (repeats, n_people) array of bool

    Yields
    ------
    inside, outside : (n_groups, n_pairs) array of float
        As returned by `similarities`; who is outside is everybody less who is inside.
    """
    everybody = vectors.counted(np.ones((1, groups.shape[1])))
    step = at_once(vectors.n_pairs)
    for part in np.split(groups, range(step, len(groups), step)):
        inside = vectors.counted(part)
        outside = [every - some for every, some in zip(everybody, inside, strict=True)]
        yield shares_of(*inside, vectors.prior), shares_of(outside[0], outside[1], vectors.prior)


def correlated_samples(vectors: SomePairs, first: Bools, second: Bools) -> Floats:
    """
    Correlate the matrices of two samples, repeat by repeat.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    first, second : (repeats, n_people) array of bool

    Returns
    -------
    (repeats,) array of float
        Over the pairs of terms that somebody of each sample placed; nan where a matrix is
        constant.
    """
    everybody = None
    if (first != second).all():  # halves: the other one is what is left of all, in whole numbers
        everybody = vectors.counted(np.ones((1, first.shape[1]), dtype=bool))
    step = at_once(vectors.n_pairs)
    parts = range(step, len(first), step)
    found = []
    for one, other in zip(np.split(first, parts), np.split(second, parts), strict=True):
        counts = vectors.counted(one)
        left = (
            vectors.counted(other)
            if everybody is None
            else tuple(whole - own for whole, own in zip(everybody, counts, strict=True))
        )
        shares = (shares_of(together, both, vectors.prior) for together, both in (counts, left))
        found.append(correlate_rows(*shares))
    return np.concatenate(found)


def divided_correlations(vectors: SomePairs, groups: Bools) -> Floats:
    """
    Correlate the matrices of the people in each group with those of the people outside it.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    groups : (repeats, n_people) array of bool

    Returns
    -------
    (repeats,) array of float
    """
    divided = divided_similarities(vectors, groups)
    return np.concatenate([correlate_rows(inside, outside) for inside, outside in divided])


def spearman_brown(half_correlation: float) -> float:
    """Return the reliability of the whole from the correlation of its halves; nan for -1."""
    if half_correlation <= -1.0:
        return float("nan")
    return 2.0 * half_correlation / (1.0 + half_correlation)


def split_half_reliability(
    vectors: SomePairs, halves: int, rng: np.random.Generator
) -> Reliability:
    """
    Estimate how well a population's matrix would be repeated by as many other people.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
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
    n_people = vectors.n_people
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
