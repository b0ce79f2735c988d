"""What more participants would gain."""

import math
from dataclasses import dataclass

import numpy as np

from felloe.validation.reliability import Spread, people_needed, predicted_reliability

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
