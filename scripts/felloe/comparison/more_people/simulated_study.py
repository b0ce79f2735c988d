"""Studies of other people, drawn from what one study says about the agreement between people."""

import math
from dataclasses import dataclass

import numpy as np

from felloe.comparison.correlating.corrected import (
    FEWEST,
    Across,
    Agreement,
    CorrectedCorrelation,
    agreement_across,
    agreement_within,
    brought_by_people,
    corrected_agreement,
    error_parts,
)
from felloe.ground.arrays import Bools, Floats
from felloe.ground.rounding import PRODUCT_DECIMALS


@dataclass(frozen=True)
class Side:
    """
    What is known of the people of one population.

    Attributes
    ----------
    mean : float
        Mean covariance between two different people; above 0.
    people : (n_people, 3) array of float
        For each person: what the person adds to every covariance within the population, what the
        person adds to the corrected correlation, and the person's variance. The first two are
        less the noise of having few partners. In sorted order, whoever the people are.
    spread : float
        Variance that a pair of people brings beyond the two.
    """

    mean: float
    people: Floats
    spread: float


@dataclass(frozen=True)
class Estimates:
    """
    What studies are drawn from.

    Attributes
    ----------
    first, second : Side
    correlation : float
        Corrected; at most 1 where it is taken for the truth.
    spread : float
        Variance that a pair of people across the populations brings beyond the two.
    """

    first: Side
    second: Side
    correlation: float
    spread: float


@dataclass(frozen=True)
class Study:
    """
    What the dossier's rule asks of a study.

    Attributes
    ----------
    correlation : CorrectedCorrelation
    reliabilities : (float, float)
    means : (float, float)
        Mean covariance between two people within either population.
    """

    correlation: CorrectedCorrelation
    reliabilities: tuple[float, float]
    means: tuple[float, float]


def shrunk(values: Floats, variance: float) -> Floats:
    """Return deviations from the mean, drawn together to a variance of `variance`."""
    away = values - values.mean()
    found = float(away.var(ddof=1))
    return np.asarray(away * math.sqrt(max(variance, 0.0) / found) if found > 0.0 else away)


def reliability_of(mean: float, variance: float, n_people: int) -> float:
    """
    Return how well the matrix of some people would be repeated by as many others.

    Two halves correlate by the mean covariance of two people over the variance of a half's mean;
    stepped up this is the formula of Spearman and Brown.

    Parameters
    ----------
    mean : float
        Covariance of two different people, in the mean.
    variance : float
        Of one person, in the mean.
    n_people : int
    """
    return n_people * mean / (variance + (n_people - 1) * mean)


def side_of(agreement: Agreement, brought: Floats, part: float, own: Floats) -> Side:
    """Return what is known of a population's people; `own` are their variances."""
    n = len(own)
    adds = (agreement.of_people - agreement.mean) * (n - 1) / (n - 2)
    variance = float(adds.var(ddof=1)) - agreement.spread / (n - 2)
    people = np.column_stack([shrunk(adds, variance), shrunk(brought, part), own])
    people = np.asarray(np.round(people, PRODUCT_DECIMALS) + 0.0, dtype=float)
    return Side(
        round(agreement.mean, PRODUCT_DECIMALS),
        people[np.lexsort(people.T)],
        round(agreement.spread, PRODUCT_DECIMALS),
    )


def with_reliability(side: Side, reliability: float) -> Side:
    """Return a side whose variances give the reliability that was found by halves."""
    n, people = len(side.people), side.people.copy()
    wanted = n * side.mean / reliability - (n - 1) * side.mean
    people[:, 2] *= max(wanted, 0.0) / people[:, 2].mean()
    return Side(side.mean, people, side.spread)


def estimates_of(
    covariances: Floats, first: Bools, reliabilities: tuple[float, float]
) -> Estimates | None:
    """
    Return what further studies may be drawn from.

    Parameters
    ----------
    covariances : (n_people, n_people) array of float
        As returned by `pairs.person_covariances`.
    first : (n_people,) array of bool
    reliabilities : (float, float)
        Stepped-up split-half reliability of each population; it may be of other terms.

    Returns
    -------
    Estimates or None
        None where a population has fewer than four people, or shows no agreement within itself.
    """
    groups = first, ~first
    if min(int(group.sum()) for group in groups) < FEWEST or not all(
        reliability > 0.0 for reliability in reliabilities
    ):
        return None
    a, b = (agreement_within(covariances[np.ix_(group, group)]) for group in groups)
    if min(a.mean, b.mean) <= 0.0:
        return None
    across = agreement_across(covariances[np.ix_(first, ~first)])
    parts, brought = error_parts(a, b, across), brought_by_people(a, b, across)
    own = np.diagonal(covariances)
    one, other = (
        side_of(agreement, adds, part, own[group])
        for agreement, adds, part, group in (
            (a, brought[0], parts.person_a, first),
            (b, brought[1], parts.person_b, ~first),
        )
    )
    value = round(across.mean / math.sqrt(a.mean * b.mean), PRODUCT_DECIMALS)
    return Estimates(
        with_reliability(one, reliabilities[0]),
        with_reliability(other, reliabilities[1]),
        value,
        round(across.spread, PRODUCT_DECIMALS),
    )


def drawn_within(rng: np.random.Generator, side: Side, adds: Floats) -> Agreement:
    """
    Draw the agreement within a population of people who add so much.

    The covariance of two people is the mean, what the two add, and normal noise of their own.
    Means over a person's partners, and what is left beyond them, are drawn as such a table of
    covariances would give them: the noise of two means shares one pair.
    """
    n = len(adds)
    noise = math.sqrt(n - 2) * rng.standard_normal(n) + rng.standard_normal()
    noise *= math.sqrt(side.spread) / (n - 1)
    of_people = side.mean + (adds * (n - 2) + adds.sum()) / (n - 1) + noise
    free = n * (n - 3) / 2.0
    return Agreement(float(of_people.mean()), of_people, side.spread * rng.chisquare(free) / free)


def drawn_across(
    rng: np.random.Generator, middle: float, spread: float, adds: tuple[Floats, Floats]
) -> Across:
    """Draw the agreement across two populations, as `drawn_within` does within one."""
    n_a, n_b = len(adds[0]), len(adds[1])
    mean = middle + adds[0].mean() + adds[1].mean()
    mean += math.sqrt(spread / (n_a * n_b)) * rng.standard_normal()
    rows = adds[0] + math.sqrt(spread / n_b) * rng.standard_normal(n_a)
    columns = adds[1] + math.sqrt(spread / n_a) * rng.standard_normal(n_b)
    free = (n_a - 1.0) * (n_b - 1.0)
    return Across(
        float(mean),
        mean + rows - rows.mean(),
        mean + columns - columns.mean(),
        spread * rng.chisquare(free) / free,
    )


def drawn_study(rng: np.random.Generator, known: Estimates, sizes: tuple[int, int]) -> Study:
    """
    Draw one study of other people.

    Parameters
    ----------
    rng : numpy.random.Generator
    known : Estimates
    sizes : (int, int)
        People of the first and of the second population; at least four.

    Returns
    -------
    Study
    """
    sides = known.first, known.second
    scale = math.sqrt(known.first.mean * known.second.mean)
    drawn = [
        side.people[rng.integers(len(side.people), size=size)]
        for side, size in zip(sides, sizes, strict=True)
    ]
    one, other = (
        scale * (people[:, 1] + known.correlation * people[:, 0] / side.mean)
        for side, people in zip(sides, drawn, strict=True)
    )
    a, b = (
        drawn_within(rng, side, people[:, 0]) for side, people in zip(sides, drawn, strict=True)
    )
    across = drawn_across(rng, known.correlation * scale, known.spread, (one, other))
    reliabilities = [
        reliability_of(found.mean, float(people[:, 2].mean()), size)
        for found, people, size in zip((a, b), drawn, sizes, strict=True)
    ]
    return Study(
        corrected_agreement(a, b, across), (reliabilities[0], reliabilities[1]), (a.mean, b.mean)
    )
