"""What more participants would gain."""

import math
from dataclasses import dataclass

import numpy as np

from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.validation.stability.reliability import Spread

SHARES = (0.25, 0.5, 1.0)  # more people, as shares of those there are
STEPS = 40  # points of the expected curve
RANGE = (0.5, 2.0)  # its ends, as shares of the people there are


@dataclass(frozen=True)
class Gain:
    """The reliability that so many more people would be expected to give."""

    added: int
    reliability: float


@dataclass(frozen=True)
class Plan:
    """
    How many more participants would gain what.

    Attributes
    ----------
    population : str
    participants : int
    reliability : float or None
        None where they are too few, or too much alike, to tell; nothing is planned then.
    more : tuple of Gain
    target : float
    needed_for_target : int or None
        People in all; None where no number can be named.
    """

    population: str
    participants: int
    reliability: float | None
    more: tuple[Gain, ...]
    target: float
    needed_for_target: int | None


def plan(population: str, reliability: Spread, target: float) -> Plan:
    """
    Answer how many more participants would gain what.

    Parameters
    ----------
    population : str
        Its id, or `POOLED`.
    reliability : Spread
    target : float

    Returns
    -------
    Plan
    """
    n, now = reliability.participants, reliability.mean
    if not math.isfinite(now):
        return Plan(population, n, None, (), target, None)
    more = tuple(
        Gain(added, predicted_reliability(now, (n + added) / n))
        for added in (max(1, round(n * share)) for share in SHARES)
    )
    return Plan(population, n, now, more, target, people_needed(now, n, target))


def expected_curve(participants: int, reliability: float | None) -> list[tuple[float, float]]:
    """
    Return what fewer and more people would be expected to give.

    Parameters
    ----------
    participants : int
        Those there are.
    reliability : float or None
        Of their matrix.

    Returns
    -------
    list of (float, float)
        Participants and reliability; empty without a reliability.
    """
    if reliability is None:
        return []
    factors = np.linspace(*RANGE, STEPS).tolist()
    return [
        (participants * factor, predicted_reliability(reliability, factor)) for factor in factors
    ]


def predicted_reliability(reliability: float, factor: float) -> float:
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
    return round(factor * reliability / (1.0 + (factor - 1.0) * reliability), PRODUCT_DECIMALS)


def people_needed(reliability: float, participants: int, target: float) -> int | None:
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
    return max(1, math.ceil(round(factor * participants, PRODUCT_DECIMALS)))
