"""Laying one map over another: shift, turn, mirror and stretch to the least sum of squares."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.rounding import PRODUCT_DECIMALS


def _standardised(points: Floats) -> tuple[Floats, Floats]:
    """Centre maps and bring them to a sum of squares of 1; a single spot stays 0."""
    centred = points - points.mean(axis=-2, keepdims=True)
    size = np.sqrt((centred**2).sum(axis=(-2, -1), keepdims=True))
    return np.divide(centred, size, out=np.zeros_like(centred), where=size > 0), size


def align(points: Array, reference: Array) -> Floats:
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
    laid: Floats = turned * stretch + np.asarray(reference).mean(axis=0)
    return laid


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

    centres: Floats
    half_axes: Floats
    tilt_deg: Floats


def ellipses(clouds: Floats, level: float) -> Ellipses:
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
        Rounded to `PRODUCT_DECIMALS`.
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
    return Ellipses(
        np.round(centres, PRODUCT_DECIMALS),
        np.round(axes, PRODUCT_DECIMALS),
        np.round(tilt, PRODUCT_DECIMALS),
    )
