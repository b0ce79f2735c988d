"""Agreement of directions that are spread all around a circle."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.permutation import permutation_p
from felloe.ground.rounding import DISTANCE_DECIMALS


def resultant(angles: Array) -> Floats:
    """Return the mean resultant length of angles in radians along the last axis, 0 to 1."""
    length: Floats = np.hypot(np.cos(angles).mean(axis=-1), np.sin(angles).mean(axis=-1))
    return length


def uniform_correlation(a: Array, b: Array) -> Floats:
    """
    Circular correlation of directions without a mean direction.

    `R(a - b) - R(a + b)`, R being the mean resultant length. The common coefficient that
    centres both samples at their mean direction has no meaning on a full circle, where there is
    none: it can call identical angles opposite.

    Parameters
    ----------
    a, b : (..., n) array of float
        Radians, spread evenly around the circle; where they are not, the same circle gives less
        than 1, and `fisher_lee` is to be preferred.

    Returns
    -------
    (...) array of float
        1 for the same circle however turned, -1 for its mirror image, 0 for no relation.

    References
    ----------
    Jammalamadaka & SenGupta (2001), Topics in Circular Statistics, p. 177 (read in a secondary
    text).
    """
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    found: Floats = np.round(resultant(a - b) - resultant(a + b), DISTANCE_DECIMALS)
    return found


def fisher_lee(a: Array, b: Array) -> Floats:
    """
    Circular correlation over all pairs of directions, however they are spread.

    `sum sin(ai - aj) sin(bi - bj) / sqrt(sum sin(ai - aj)^2 sum sin(bi - bj)^2)` over pairs,
    worked out from sums over directions.

    Parameters
    ----------
    a, b : (..., n) array of float
        Radians.

    Returns
    -------
    (...) array of float
        1 for the same circle however turned, -1 for its mirror image; 0 where all directions
        of a circle fall on one line.

    References
    ----------
    Fisher & Lee (1983), Biometrika 70:327-332; the sums as in Fisher (1993), Statistical
    Analysis of Circular Data, section 6.3 (from memory).
    """
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    cos_a, sin_a, cos_b, sin_b = np.cos(a), np.sin(a), np.cos(b), np.sin(b)
    crossed = (cos_a * cos_b).sum(-1) * (sin_a * sin_b).sum(-1)
    crossed = crossed - (cos_a * sin_b).sum(-1) * (sin_a * cos_b).sum(-1)
    spread = _spread(a) * _spread(b)
    value = np.divide(4 * crossed, np.sqrt(spread), out=np.zeros_like(spread), where=spread > 1e-18)
    found: Floats = np.round(value, DISTANCE_DECIMALS)
    return found


def _spread(angles: Array) -> Floats:
    """Return four times the sum over pairs of squared sines of differences."""
    n = angles.shape[-1]
    size = n**2 - np.cos(2 * angles).sum(-1) ** 2 - np.sin(2 * angles).sum(-1) ** 2
    spread: Floats = np.maximum(size, 0.0)
    return spread


def evenly(angles: Array) -> Floats:
    """Spread directions evenly around the circle in the order they have, ties in given order."""
    turned = np.round(np.mod(angles, 2.0 * np.pi), DISTANCE_DECIMALS)
    ranks = np.argsort(np.argsort(turned, kind="stable"), kind="stable")
    return np.asarray(2.0 * np.pi * ranks / len(ranks))


@dataclass(frozen=True)
class CircularAgreement:
    """
    Agreement of two circles, whichever way round they are drawn.

    Attributes
    ----------
    fisher_lee, uniform : float
        Both for the reflection in which Fisher and Lee's form is positive; the uniform form is
        that of directions spread evenly in their order, which it asks for.
    mirrored : bool
        The second circle was mirrored.
    p_value : float
        Share of shuffles at least as alike in either reflection by Fisher and Lee's form,
        (b + 1) / (m + 1).
    permutations, n_terms : int
    """

    fisher_lee: float
    uniform: float
    mirrored: bool
    p_value: float
    permutations: int
    n_terms: int


def circular_agreement(
    a: Array, b: Array, rng: np.random.Generator, permutations: int
) -> CircularAgreement:
    """
    Compare two circles of the same terms in both reflections.

    Parameters
    ----------
    a, b : (n,) array of float
        Radians.
    rng : numpy.random.Generator
    permutations : int
        Shuffles of the second circle's terms.

    Returns
    -------
    CircularAgreement
    """
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    observed = float(fisher_lee(a, b))
    orders = rng.permuted(np.tile(np.arange(len(b)), (permutations, 1)), axis=1)
    shuffled = np.abs(fisher_lee(a, b[orders]))
    mirrored = observed < 0
    return CircularAgreement(
        abs(observed),
        float(uniform_correlation(evenly(a), evenly(-b if mirrored else b))),
        mirrored,
        permutation_p(abs(observed), shuffled),
        permutations,
        len(a),
    )
