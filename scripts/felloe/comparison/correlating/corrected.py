"""The correlation of two populations, corrected for the noise of having few people."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from felloe.ground.arrays import Bools, Floats
from felloe.ground.rounding import PRODUCT_DECIMALS

LEVEL = 0.95  # of the interval
Z_95 = 1.959963984540054  # its quantile of the normal distribution
FEWEST = 4  # people of either population; with fewer the spread of pairs of people is unknown


@dataclass(frozen=True)
class ErrorParts:
    """
    What the variance of a corrected correlation is made of, whatever the number of people.

    Attributes
    ----------
    person_a, person_b : float
        What one person of each population brings.
    pair_ab, pair_aa, pair_bb : float
        What a pair of people brings beyond the two: of both populations, of either.
    """

    person_a: float
    person_b: float
    pair_ab: float
    pair_aa: float
    pair_bb: float

    def standard_error(self, n_a: int, n_b: int) -> float:
        """Return the standard error with so many people of the same kind."""
        people = self.person_a / n_a + self.person_b / n_b
        pairs = self.pair_ab / (n_a * n_b)
        pairs += self.pair_aa / (2 * n_a * (n_a - 1)) + self.pair_bb / (2 * n_b * (n_b - 1))
        return math.sqrt(max(people, 0.0) + pairs)


@dataclass(frozen=True)
class CorrectedCorrelation:
    """
    Correlation of two populations less the noise of having few people.

    Attributes
    ----------
    corrected : float
        Mean covariance between a person of one and a person of the other population over the
        geometric mean of those within; it can exceed 1 by chance. nan where one population shows
        no agreement within itself.
    low, high : float
        95 % interval, cut at 1, which the truth cannot exceed; nan with the value.
    standard_error : float
    parts : ErrorParts or None
        None with an unknown value.
    """

    corrected: float
    low: float
    high: float
    standard_error: float
    parts: ErrorParts | None = None


UNKNOWN = CorrectedCorrelation(math.nan, math.nan, math.nan, math.nan)


@dataclass(frozen=True)
class Statement:
    """
    What may be said of a corrected correlation.

    Attributes
    ----------
    says : {"value", "at_least", "no_bound", "nothing"}
        The value with its interval; that the truth is at least the lower end, without a value and
        without an upper bound; no bound either, since the lower end excludes nothing above 0; or
        nothing, since it cannot be corrected.
    because : {"unreliable", "above_one", "uncorrectable"} or None
        A population is less reliable than the least that is asked; the value exceeds 1, which the
        truth cannot; there are too few people or terms, or a population shows no agreement within
        itself. None with a value.
    """

    says: Literal["value", "at_least", "no_bound", "nothing"]
    because: Literal["unreliable", "above_one", "uncorrectable"] | None


def statement_of(
    correlation: CorrectedCorrelation, reliabilities: tuple[float, float], least: float
) -> Statement:
    """
    Return what may be said of a corrected correlation.

    Dividing by agreement that is itself mostly noise gives any value, so of unreliable populations
    only the lower end is told.

    Parameters
    ----------
    correlation : CorrectedCorrelation
    reliabilities : (float, float)
        Stepped-up split-half reliability of either population; nan where unknown.
    least : float
        Asked of both.

    Returns
    -------
    Statement
    """
    if math.isnan(correlation.corrected):
        return Statement("nothing", "uncorrectable")
    reliable = all(one >= least for one in reliabilities)
    if reliable and correlation.corrected <= 1.0:
        return Statement("value", None)
    says: Literal["at_least", "no_bound"] = "at_least" if correlation.low > 0.0 else "no_bound"
    return Statement(says, "above_one" if reliable else "unreliable")


@dataclass(frozen=True)
class Agreement:
    """
    Agreement within one population.

    Attributes
    ----------
    mean : float
        Mean covariance between two different people.
    of_people : (n_people,) array of float
        Mean covariance of each person with the others.
    spread : float
        Variance of the covariance of two people beyond what the two bring to every pair.
    """

    mean: float
    of_people: Floats
    spread: float


def agreement_within(covariances: Floats) -> Agreement:
    """
    Describe the agreement within one population.

    Parameters
    ----------
    covariances : (n_people, n_people) array of float
        As returned by `pairs.person_covariances`; at least `FEWEST` people.
    """
    n = len(covariances)
    known = np.isfinite(covariances) & ~np.eye(n, dtype=bool)
    apart = np.where(known, covariances, 0.0)
    of_people = known_means(apart, known, 1)
    mean = float(of_people.mean())
    brought = (of_people - mean) * (n - 1) / (n - 2)
    left = (apart - mean - brought[:, None] - brought[None, :]) * known
    pairs, squares = int(known.sum()) // 2, float((left**2).sum()) / 2.0
    return Agreement(mean, of_people, spread_of(squares, pairs, n * (n - 1) // 2, n))


def known_means(values: Floats, known: Bools, axis: int) -> Floats:
    """Return means of what is known, of others' where nothing is; what is not known is 0."""
    counts = known.sum(axis=axis)
    every = float(values.sum()) / max(int(counts.sum()), 1)
    return np.asarray(np.where(counts > 0, values.sum(axis=axis) / np.maximum(counts, 1), every))


def spread_of(squares: float, known: int, pairs: int, brought: int) -> float:
    """
    Return the variance that a pair of people brings, from what `brought` numbers leave of squares.

    Where some two people had nothing in common, means are of fewer pairs than there are. Then the
    variance of a pair is told larger by as much, since whatever follows divides by all pairs.
    """
    return squares / max(known - brought, 1) * (pairs / max(known, 1))


@dataclass(frozen=True)
class Across:
    """
    Agreement across two populations.

    Attributes
    ----------
    mean : float
        Mean covariance between a person of one and a person of the other.
    of_first, of_second : (n_people,) array of float
        Mean covariance of each person of one population with those of the other.
    spread : float
        Variance of the covariance of two people beyond what the two bring to every pair.
    """

    mean: float
    of_first: Floats
    of_second: Floats
    spread: float


def agreement_across(covariances: Floats) -> Across:
    """Describe the agreement across two populations: people of one by people of the other."""
    known = np.isfinite(covariances)
    values = np.where(known, covariances, 0.0)
    mean = float(values.sum() / max(int(known.sum()), 1))
    rows, columns = known_means(values, known, 1), known_means(values, known, 0)
    left = (values - rows[:, None] - columns[None, :] + mean) * known
    used = len(rows) + len(columns) - 1
    spread = spread_of(float((left**2).sum()), int(known.sum()), known.size, used)
    return Across(mean, rows, columns, spread)


def corrected_correlation(covariances: Floats, first: Bools) -> CorrectedCorrelation:
    """
    Correct the correlation of two populations for the noise of both, with an interval.

    Only pairs of different people are used, which their own noise does not touch. The estimate is
    a ratio of means over pairs of people (U-statistics); its variance is that of its two parts
    (Hoeffding 1948): what single people bring, estimated less the noise of having few partners,
    and what pairs bring. The second part is all there is where the structures are equal; a
    bootstrap of people counts it about three times, a jackknife twice.

    Parameters
    ----------
    covariances : (n_people, n_people) array of float
        As returned by `pairs.person_covariances`.
    first : (n_people,) array of bool
        Who belongs to the first population.

    Returns
    -------
    CorrectedCorrelation

    References
    ----------
    Spearman (1904), American Journal of Psychology 15:72-101; Hoeffding (1948), Annals of
    Mathematical Statistics 19:293-325; Efron & Stein (1981), Annals of Statistics 9:586-596 (all
    from memory).
    """
    if min(int(first.sum()), int((~first).sum())) < FEWEST:
        return UNKNOWN
    a, b = (agreement_within(covariances[np.ix_(group, group)]) for group in (first, ~first))
    return corrected_agreement(a, b, agreement_across(covariances[np.ix_(first, ~first)]))


def corrected_agreement(a: Agreement, b: Agreement, across: Across) -> CorrectedCorrelation:
    """
    Return the corrected correlation of two populations whose agreement has been described.

    Parameters
    ----------
    a, b : Agreement
        Within the first and within the second population.
    across : Across
    """
    if a.mean <= 0.0 or b.mean <= 0.0:
        return UNKNOWN
    scale = math.sqrt(a.mean * b.mean)
    value = across.mean / scale
    parts = error_parts(a, b, across)
    error = parts.standard_error(len(a.of_people), len(b.of_people))
    low, high = min(value - Z_95 * error, 1.0), min(value + Z_95 * error, 1.0)
    return CorrectedCorrelation(
        corrected=round(value, PRODUCT_DECIMALS),
        low=round(low, PRODUCT_DECIMALS),
        high=round(high, PRODUCT_DECIMALS),
        standard_error=round(error, PRODUCT_DECIMALS),
        parts=parts,
    )


def brought_by_people(a: Agreement, b: Agreement, across: Across) -> tuple[Floats, Floats]:
    """Return what each person of either population brings to the corrected correlation."""
    scale = math.sqrt(a.mean * b.mean)
    value = across.mean / scale
    return (
        across.of_first / scale - value * a.of_people / a.mean,
        across.of_second / scale - value * b.of_people / b.mean,
    )


def error_parts(a: Agreement, b: Agreement, across: Across) -> ErrorParts:
    """Return what the variance of the corrected correlation is made of; means above 0."""
    n_a, n_b = len(a.of_people), len(b.of_people)
    scale = math.sqrt(a.mean * b.mean)
    value = across.mean / scale
    # relative variances of what a pair brings
    pair_ab = across.spread / scale**2
    pair_aa, pair_bb = (value**2 * one.spread / one.mean**2 for one in (a, b))
    people_a, people_b = brought_by_people(a, b, across)
    return ErrorParts(
        person_a=float(people_a.var(ddof=1)) - pair_ab / n_b - pair_aa / (n_a - 1),
        person_b=float(people_b.var(ddof=1)) - pair_ab / n_a - pair_bb / (n_b - 1),
        pair_ab=pair_ab,
        pair_aa=pair_aa,
        pair_bb=pair_bb,
    )
