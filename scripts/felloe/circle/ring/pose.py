"""Which way up a circle is drawn: its order says nothing about rotation and reflection."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.circle.ring.gaps import FULL
from felloe.ground.arrays import Array
from felloe.ground.rounding import PRODUCT_DECIMALS


@dataclass(frozen=True)
class Pose:
    """
    A circle turned and perhaps mirrored.

    Attributes
    ----------
    order : list of int
        Places of the given order, clockwise from the top.
    mirrored : bool
    displacement : float or None
        Mean angle in degrees between common terms and their place in the older edition.
    common : int
        Terms compared.
    """

    order: list[int]
    mirrored: bool
    displacement: float | None = None
    common: int = 0


def mean_displacement(places: Array, others: Array) -> Array:
    """Return the mean of the angles between places on two circles, along the last axis, degrees."""
    mean: Array = np.abs((places - others + FULL / 2) % FULL - FULL / 2).mean(axis=-1)
    return mean


def canonical_pose(terms: Sequence[str], classes: Sequence[str]) -> Pose:
    """
    Turn a circle so that the first class in id order begins at the top.

    Of the two directions the one is taken in which the class after it has the smaller id than
    the class before it; with two classes, or one, the one whose first term has the smaller id.

    Parameters
    ----------
    terms, classes : sequence of str
        Around the circle, each class one run.

    Returns
    -------
    Pose
    """
    n = len(terms)
    drawn = []
    for mirrored in (False, True):
        order = list(range(n))[:: -1 if mirrored else 1]
        first = min(classes)
        starts = [i for i in range(n) if classes[order[i]] == first]
        begin = next(
            (i for i in starts if classes[order[i - 1]] != first),
            min(starts, key=lambda i: terms[order[i]]),
        )
        order = order[begin:] + order[:begin]
        others = [classes[i] for i in order if classes[i] != first]
        key = (others[0] if others and others[0] != others[-1] else "", terms[order[0]])
        drawn.append((key, [terms[i] for i in order], mirrored, order))
    _, _, mirrored, order = min(drawn)
    return Pose(order, mirrored)


def pose_against(middles: Array, boundaries: Array, previous: Array) -> Pose | None:
    """
    Turn and mirror a circle to the least mean displacement against an older one.

    The top falls between two sectors, so every boundary between neighbours is tried, in both
    directions.

    Parameters
    ----------
    middles : (n,) array of float
        Degrees of the sectors in the given order.
    boundaries : (n,) array of float
        Degrees of the middle of the gap before each sector.
    previous : (n,) array of float
        Degrees in the older edition, nan for terms it does not have.

    Returns
    -------
    Pose or None
        None if no term is common.
    """
    middles, boundaries = np.asarray(middles, dtype=float), np.asarray(boundaries, dtype=float)
    known = ~np.isnan(previous)
    if not known.any():
        return None
    n, found = len(middles), []
    for mirrored in (False, True):
        turned = middles[None, known] - boundaries[:, None]
        if mirrored:
            turned = -turned
        means = np.round(mean_displacement(turned, previous[known]), PRODUCT_DECIMALS)
        begin = int(np.argmin(means))
        found.append((float(means[begin]), mirrored, begin))
    displacement, mirrored, begin = min(found)
    places = [(begin + i) % n for i in range(n)]
    # mirrored, the sector before the boundary comes first
    order = places[::-1] if mirrored else places
    return Pose(order, mirrored, displacement, int(known.sum()))
