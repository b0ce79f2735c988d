"""Laying one map over another: shift, turn, mirror and stretch to the least sum of squares."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class ProcrustesFit:
    """
    How well two maps of the same terms agree.

    Attributes
    ----------
    m2 : float
        Share of squares left after the best fit of the standardised maps, 0 to 1, rounded to
        12 decimals; the same in both directions.
    correlation : float
        `sqrt(1 - m2)`.
    p_value : float or None
        Share of permutations of the terms at least as alike, (b + 1) / (m + 1).
    """

    m2: float
    correlation: float
    p_value: float | None


def _standardised(points):
    """Centre maps and bring them to a sum of squares of 1; a single spot stays 0."""
    centred = points - points.mean(axis=-2, keepdims=True)
    size = np.sqrt((centred**2).sum(axis=(-2, -1), keepdims=True))
    return np.divide(centred, size, out=np.zeros_like(centred), where=size > 0), size


def align(points, reference):
    """
    Lay maps over a reference.

    Parameters
    ----------
    points : (..., n, dimensions) array of float
    reference : (n, dimensions) array of float

    Returns
    -------
    (..., n, dimensions) array of float
        `points` shifted, turned, mirrored and stretched to the least sum of squared distances.

    References
    ----------
    Schoenemann & Carroll (1970), Psychometrika 35:245-255. Gower (1975), Psychometrika 40:33-51.
    """
    given, _ = _standardised(np.asarray(points, dtype=float))
    target, size = _standardised(np.asarray(reference, dtype=float))
    left, values, right = np.linalg.svd(np.einsum("...ni,nj->...ij", given, target))
    turned = np.einsum("...ni,...ij->...nj", given, left @ right)
    stretch = values.sum(axis=-1)[..., None, None] * size
    return turned * stretch + np.asarray(reference).mean(axis=0)


def procrustes(one, other, rng=None, permutations=0):
    """
    Compare two maps of the same terms.

    Parameters
    ----------
    one, other : (n, dimensions) array of float
    rng : numpy.random.Generator, optional
    permutations : int
        Of the terms of the second map; 0 for no test.

    Returns
    -------
    ProcrustesFit

    References
    ----------
    Peres-Neto & Jackson (2001), Oecologia 129:169-178, for the permutation test (from memory).
    """
    first, _ = _standardised(np.asarray(one, dtype=float))
    second, _ = _standardised(np.asarray(other, dtype=float))
    fit = _fit(first, second[None])[0]
    p_value = None
    if permutations:
        orders = rng.permuted(np.tile(np.arange(len(second)), (permutations, 1)), axis=1)
        reached = int((_fit(first, second[orders]) >= fit - 1e-12).sum())
        p_value = (reached + 1) / (permutations + 1)
    return ProcrustesFit(round(float(1.0 - fit**2), 12), round(float(fit), 12), p_value)


def _fit(first, seconds):
    """Sum of singular values of the cross-product: 1 for maps that coincide."""
    crossed = np.einsum("ni,mnj->mij", first, seconds)
    return np.linalg.svd(crossed, compute_uv=False).sum(axis=-1)


@dataclass(frozen=True)
class Ellipses:
    """
    Where redrawn maps put every term.

    Attributes
    ----------
    centres : (n, 2) array of float
    half_axes : (n, 2) array of float
        The longer first.
    tilt_deg : (n,) array of float
        Of the longer axis against the first map axis, counter-clockwise, -90 to 90.
    """

    centres: np.ndarray
    half_axes: np.ndarray
    tilt_deg: np.ndarray


def ellipses(clouds, level):
    """
    Normal ellipses of clouds of points.

    Parameters
    ----------
    clouds : (replicates, n, 2) array of float
    level : float
        Share of a normal cloud that lies within.

    Returns
    -------
    Ellipses
        Rounded to 9 decimals.
    """
    centres = clouds.mean(axis=0)
    apart = clouds - centres
    spread = np.einsum("rni,rnj->nij", apart, apart) / (len(clouds) - 1)
    xx, yy, xy = spread[:, 0, 0], spread[:, 1, 1], spread[:, 0, 1]
    middle, half = (xx + yy) / 2.0, np.hypot((xx - yy) / 2.0, xy)
    # the quantile of the chi-squared distribution with two degrees of freedom, in closed form
    reach = np.sqrt(-2.0 * np.log(1.0 - level))
    axes = reach * np.sqrt(np.maximum(np.stack([middle + half, middle - half], axis=1), 0.0))
    tilt = np.degrees(0.5 * np.arctan2(2.0 * xy, xx - yy))
    return Ellipses(np.round(centres, 9), np.round(axes, 9), np.round(tilt, 9))
