"""How high can the correlation of two populations be, given how few people there are?"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Bools, Floats, Ints
from felloe.ground.halves import Reliability, divided_correlations, split_half_reliability
from felloe.ground.pairs import PairVectors
from felloe.ground.rounding import PRODUCT_DECIMALS

LEVEL, ENDS = 0.95, (0.025, 0.975)  # of the interval, and the quantiles where it ends
KNOWN_REDRAWS = 0.5  # an interval is given if at least this share of redraws has a value


@dataclass(frozen=True)
class CorrectedCorrelation:
    """
    Correlation of two populations less the noise of having few people.

    Attributes
    ----------
    correlation : float
        Between the two matrices as they are.
    corrected : float
        Divided by the root of the product of both reliabilities; can exceed 1 by chance.
    low, high : float
        Percentile interval over redraws of participants.
    redraws : int
        Redraws that gave a value.
    """

    correlation: float
    corrected: float
    low: float
    high: float
    redraws: int


@dataclass(frozen=True)
class NoiseCeiling:
    """
    How far two populations agree, and how far they could.

    Attributes
    ----------
    reliabilities : (Reliability, Reliability)
        Of the first and of the second population.
    split_correlations : (n_splits,) array of float
        Between the two groups of random divisions of the people of both.
    corrected : CorrectedCorrelation
    """

    reliabilities: tuple[Reliability, Reliability]
    split_correlations: Floats
    corrected: CorrectedCorrelation


def unattenuated(covariances: Floats, first: Bools, counts: Ints) -> Floats:
    """
    Correlate two populations using only pairs of different people, which noise does not touch.

    The mean covariance between a person of one population and a person of the other, over the
    geometric mean of the mean covariances between two different people of the same population.
    It is the corrected correlation for all halves at once, and a person drawn twice is not
    taken for two who agree.

    Parameters
    ----------
    covariances : (n_people, n_people) array of float
        As returned by `pairs.person_covariances`.
    first : (n_people,) array of bool
        Who belongs to the first population.
    counts : (n_draws, n_people) array of int
        How often each person was drawn.

    Returns
    -------
    (n_draws,) array of float
        nan where one population shows no agreement within itself.
    """
    apart = covariances - np.diag(np.diagonal(covariances))
    within = []
    for group in (first, ~first):
        weights = counts * group.astype(float)
        different = weights.sum(axis=1) ** 2 - (weights**2).sum(axis=1)
        agreement = ((weights @ apart) * weights).sum(axis=1)
        within.append(
            np.divide(agreement, different, out=np.zeros(len(counts)), where=different > 0)
        )
    a, b = counts * first.astype(float), counts * (~first).astype(float)
    across = ((a @ covariances) * b).sum(axis=1) / (a.sum(axis=1) * b.sum(axis=1))
    possible = (within[0] > 0) & (within[1] > 0)
    scale = np.sqrt(np.where(possible, within[0] * within[1], 1.0))
    correlations: Floats = np.where(possible, across / scale, np.nan)
    return np.round(correlations, PRODUCT_DECIMALS)


def reliabilities_of(
    vectors: PairVectors,
    first: Bools,
    halves: int,
    draw: Callable[[str], np.random.Generator],
) -> tuple[Reliability, Reliability]:
    """Return the split-half reliability of both populations; `draw` gives random numbers."""
    one, other = (
        split_half_reliability(vectors.of(group), halves, draw(f"halves {side}"))
        for side, group in enumerate((first, ~first))
    )
    return one, other


def corrected_correlation(
    vectors: PairVectors,
    first: Bools,
    reliabilities: tuple[Reliability, Reliability],
    covariances: Floats,
    counts: Ints,
) -> CorrectedCorrelation:
    """
    Correct the correlation of two populations for the noise of both.

    Parameters
    ----------
    vectors : PairVectors
    first : (n_people,) array of bool
    reliabilities : (Reliability, Reliability)
        Of the first and of the second population.
    covariances : (n_people, n_people) array of float
    counts : (n_draws, n_people) array of int
        Redraws of participants within populations, behind the interval.

    Returns
    -------
    CorrectedCorrelation

    References
    ----------
    Spearman (1904), American Journal of Psychology 15:72-101 (from memory).
    """
    correlation = float(divided_correlations(vectors, first[None, :])[0])
    product = reliabilities[0].reliability * reliabilities[1].reliability
    possible = all(one.reliability > 0 for one in reliabilities)
    corrected = correlation / np.sqrt(product) if possible else float("nan")
    redrawn = unattenuated(covariances, first, counts)
    redrawn = redrawn[np.isfinite(redrawn)]
    if not possible or len(redrawn) < KNOWN_REDRAWS * len(counts):
        low = high = float("nan")
    else:
        low, high = np.quantile(redrawn, ENDS)
    return CorrectedCorrelation(
        correlation, round(corrected, PRODUCT_DECIMALS), float(low), float(high), len(redrawn)
    )
