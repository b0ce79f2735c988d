"""Agreement of directions that are spread all around a circle."""

from dataclasses import dataclass

import numpy as np

DECIMALS = 12


def resultant(angles):
    """Return the mean resultant length of angles in radians along the last axis, 0 to 1."""
    return np.hypot(np.cos(angles).mean(axis=-1), np.sin(angles).mean(axis=-1))


def uniform_correlation(a, b):
    """
    Circular correlation of directions without a mean direction.

    `R(a - b) - R(a + b)`, R being the mean resultant length. The common coefficient that
    centres both samples at their mean direction has no meaning on a full circle, where there is
    none: it can call identical angles opposite.

    Parameters
    ----------
    a, b : (..., n) array of float
        Radians.

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
    return np.round(resultant(a - b) - resultant(a + b), DECIMALS)


def fisher_lee(a, b):
    """
    Circular correlation over all pairs of directions.

    `sum sin(ai - aj) sin(bi - bj) / sqrt(sum sin(ai - aj)^2 sum sin(bi - bj)^2)` over pairs.

    Parameters
    ----------
    a, b : (n,) array of float
        Radians.

    Returns
    -------
    float
        1 for the same circle however turned, -1 for its mirror image.

    References
    ----------
    Fisher & Lee (1983), Biometrika 70:327-332.
    """
    i, j = np.triu_indices(len(a), 1)
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    one, other = np.sin(a[i] - a[j]), np.sin(b[i] - b[j])
    return round(float((one * other).sum() / np.sqrt((one**2).sum() * (other**2).sum())), DECIMALS)


@dataclass(frozen=True)
class CircularAgreement:
    """
    Agreement of two circles, whichever way round they are drawn.

    Attributes
    ----------
    uniform, fisher_lee : float
        Both for the reflection that agrees better, so 0 to 1 where the two forms agree.
    mirrored : bool
        The second circle was mirrored.
    p_value : float
        Share of shuffles at least as alike in either reflection, (b + 1) / (m + 1).
    permutations, n_terms : int
    """

    uniform: float
    fisher_lee: float
    mirrored: bool
    p_value: float
    permutations: int
    n_terms: int


def circular_agreement(a, b, rng, permutations):
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
    observed = float(uniform_correlation(a, b))
    orders = rng.permuted(np.tile(np.arange(len(b)), (permutations, 1)), axis=1)
    shuffled = np.abs(uniform_correlation(np.asarray(a), np.asarray(b)[orders]))
    sign = -1.0 if observed < 0 else 1.0
    return CircularAgreement(
        abs(observed),
        sign * fisher_lee(a, b),
        observed < 0,
        (int((shuffled >= abs(observed)).sum()) + 1) / (permutations + 1),
        permutations,
        len(a),
    )
