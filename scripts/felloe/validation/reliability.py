"""Would the same number of other people give the same picture, and what would more people add?"""

import math
from dataclasses import dataclass

import numpy as np

from felloe.ground.agreement import adjusted_rand
from felloe.ground.charting import charted
from felloe.ground.halves import correlate_rows, similarities, spearman_brown
from felloe.ground.pairs import DECIMALS
from felloe.ground.squares import squared

CHUNK = 100  # samples at a time, to bound memory; no result depends on it
LINKAGE = "average"  # of the trees behind the agreement of tiers, whatever the chart uses
BAND = (0.05, 0.5, 0.95)


@dataclass(frozen=True)
class Spread:
    """
    A quantity over repeats.

    Attributes
    ----------
    quantity : str
    participants : int
        People behind each of the matrices that are compared.
    repeats : int
        Repeats that gave a value.
    mean, low, median, high : float
        `low` and `high` hold nine tenths of the repeats between them; nan without repeats.
    """

    quantity: str
    participants: int
    repeats: int
    mean: float
    low: float
    median: float
    high: float


def spread(quantity, participants, values):
    """Summarise the repeats that gave a value."""
    known = np.asarray(values, dtype=float)
    known = known[np.isfinite(known)]
    if not len(known):
        return Spread(quantity, participants, 0, math.nan, math.nan, math.nan, math.nan)
    low, median, high = np.round(np.quantile(known, BAND), DECIMALS).tolist()
    mean = round(float(known.mean()), DECIMALS)
    return Spread(quantity, participants, len(known), mean, low, median, high)


def stratified_samples(rng, populations, sizes, repeats):
    """
    Draw two samples without a common member, each with so many of every population.

    Parameters
    ----------
    rng : numpy.random.Generator
    populations : (n_people,) array of str
    sizes : dict of str to (int, int)
        Members of the first and of the second sample, by population.
    repeats : int

    Returns
    -------
    first, second : (repeats, n_people) array of bool

    Raises
    ------
    ValueError
        If a population has too few members for both samples.
    """
    populations = np.asarray(populations)
    first = np.zeros((repeats, len(populations)), dtype=bool)
    second = np.zeros_like(first)
    for name in np.unique(populations):
        members = np.flatnonzero(populations == name)
        one, other = sizes[name]
        if one + other > len(members):
            raise ValueError(f"{name!r} has {len(members)} members, {one + other} are asked for")
        ranks = rng.permuted(np.tile(np.arange(len(members)), (repeats, 1)), axis=1)
        first[:, members] = ranks < one
        second[:, members] = (ranks >= one) & (ranks < one + other)
    return first, second


def half_sizes(populations):
    """Return the sizes of two halves of every population; the second has the odd one."""
    names, counts = np.unique(np.asarray(populations), return_counts=True)
    return {
        name: (int(count // 2), int(count - count // 2))
        for name, count in zip(names.tolist(), counts, strict=True)
    }


def curve_sizes(populations, steps):
    """
    Return sizes of equal samples, from a few people up to half of every population.

    Parameters
    ----------
    populations : sequence of str
    steps : int

    Returns
    -------
    list of dict
        As `stratified_samples` takes them, each of another total size, in ascending order.
    """
    halves = {name: one for name, (one, _) in half_sizes(populations).items()}
    found = {}
    for step in range(1, steps + 1):
        sizes = {name: max(1, half * step // steps) for name, half in halves.items()}
        found.setdefault(sum(sizes.values()), {name: (n, n) for name, n in sizes.items()})
    return [found[total] for total in sorted(found)]


def correlated_samples(vectors, first, second):
    """
    Correlate the matrices of two samples, repeat by repeat.

    Parameters
    ----------
    vectors : PairVectors
    first, second : (repeats, n_people) array of bool

    Returns
    -------
    (repeats,) array of float
        Over the pairs of terms that somebody of each sample placed; nan where a matrix is
        constant.
    """
    parts = range(CHUNK, len(first), CHUNK)
    return np.concatenate(
        [
            correlate_rows(similarities(vectors, one), similarities(vectors, other))
            for one, other in zip(np.split(first, parts), np.split(second, parts), strict=True)
        ]
    )


def split_halves(vectors, populations, halves, rng):
    """
    Correlate random halves of the people, each population halved.

    Parameters
    ----------
    vectors : PairVectors
    populations : sequence of str
    halves : int
    rng : numpy.random.Generator

    Returns
    -------
    correlation : Spread
        Of the halves.
    reliability : Spread
        The same stepped up to all of the people by Spearman-Brown, 2r / (1 + r); its mean is
        that of the mean correlation.

    References
    ----------
    Spearman (1910) and Brown (1910), British Journal of Psychology 3 (from memory).
    """
    values = correlated_samples(
        vectors, *stratified_samples(rng, populations, half_sizes(populations), halves)
    )
    half = spread("split_half_correlation", len(populations) // 2, values)
    stepped = [stepped_up(value) for value in (half.mean, half.low, half.median, half.high)]
    return half, Spread("reliability", len(populations), half.repeats, *stepped)


def stepped_up(half):
    """Return the reliability of the whole; -1 where halves contradict each other too far."""
    if math.isnan(half):
        return math.nan
    return -1.0 if half <= -1.0 else round(max(-1.0, spearman_brown(half)), DECIMALS)


def tier_cuts(similar_row, n_terms, numbers):
    """Return the cuts of the average-linkage tree of one row of pairs; unknown pairs are apart."""
    row = np.where(np.isfinite(similar_row), similar_row, 0.0)
    return charted(squared(row, n_terms, diagonal=1.0), LINKAGE, numbers)[1]


def learning_curve(vectors, populations, steps, repeats, numbers, streams):
    """
    Compare samples of growing size with one another and with all of the people.

    Parameters
    ----------
    vectors : PairVectors
    populations : sequence of str
    steps, repeats : int
        Sizes, and pairs of samples of each.
    numbers : (int, int)
        Numbers of classes and subclasses at which every tree is cut.
    streams : felloe.ground.randomness.Streams

    Returns
    -------
    list of Spread
        For each size `matrix_correlation`, `class_agreement` and `subclass_agreement` (adjusted
        Rand) between two samples without a common member; and the same `_with_all` between one
        of them and everybody, which flatters, the sample being part of the whole.
    """
    whole = similarities(vectors, np.ones((1, len(populations)), dtype=bool))
    cuts = tier_cuts(whole[0], vectors.n_terms, numbers)
    points = []
    for number, sizes in enumerate(curve_sizes(populations, steps)):
        rng = streams.generator("learning curve", number)
        samples = stratified_samples(rng, populations, sizes, repeats)
        rows = [similarities(vectors, sample) for sample in samples]
        between, with_all = compared_cuts(rows, cuts, vectors.n_terms, numbers)
        n = sum(one for one, _ in sizes.values())
        points.append(spread("matrix_correlation", n, correlate_rows(*rows)))
        points.append(spread("class_agreement", n, between[:, 0]))
        points.append(spread("subclass_agreement", n, between[:, 1]))
        repeated = np.broadcast_to(whole, rows[0].shape)
        points.append(spread("matrix_correlation_with_all", n, correlate_rows(rows[0], repeated)))
        points.append(spread("class_agreement_with_all", n, with_all[:, 0]))
        points.append(spread("subclass_agreement_with_all", n, with_all[:, 1]))
    return points


def compared_cuts(rows, cuts, n_terms, numbers):
    """Return the adjusted Rand indices of two samples' cuts, and of the first's with `cuts`."""
    between, with_all = np.zeros((2, len(rows[0]), len(cuts)))
    for i, (one, other) in enumerate(zip(*rows, strict=True)):
        first = tier_cuts(one, n_terms, numbers)
        second = tier_cuts(other, n_terms, numbers)
        between[i] = [adjusted_rand(a, b) for a, b in zip(first, second, strict=True)]
        with_all[i] = [adjusted_rand(a, b) for a, b in zip(first, cuts, strict=True)]
    return between, with_all


def predicted_reliability(reliability, factor):
    """
    Return the reliability of `factor` times as many people.

    Parameters
    ----------
    reliability : float
        Of the people there are, below 1.
    factor : float
        Above 0.

    Returns
    -------
    float

    References
    ----------
    Spearman-Brown prophecy formula; see `split_halves`.
    """
    return round(factor * reliability / (1.0 + (factor - 1.0) * reliability), DECIMALS)


def people_needed(reliability, participants, target):
    """
    Return the number of people whose matrix would reach a reliability.

    Parameters
    ----------
    reliability : float
        Of the `participants` there are.
    participants : int
    target : float
        Between 0 and 1.

    Returns
    -------
    int or None
        None where the reliability is not above 0, so that no number can be named.
    """
    if not 0.0 < reliability < 1.0:
        return participants if reliability >= 1.0 else None
    factor = target * (1.0 - reliability) / (reliability * (1.0 - target))
    return max(1, math.ceil(round(factor * participants, DECIMALS)))
