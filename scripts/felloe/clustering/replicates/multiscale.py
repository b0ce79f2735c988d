"""Approximately unbiased supports from redraws of several sizes."""

from collections.abc import Sequence

import numpy as np

from felloe.ground.arrays import Floats
from felloe.ground.rounding import PRODUCT_DECIMALS

# Participants asked for over participants there are; whole people are drawn.
SCALES = (0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4)
FEWEST = 3  # one tree more or less would swing a fit through shares next to 0 or 1


def approximately_unbiased(
    proportions: Floats, replicates: int, scales: Sequence[float] | Floats = SCALES
) -> tuple[Floats, Floats, Floats]:
    """
    Fit the multiscale bootstrap and return its supports.

    The model is z = -quantile(BP at scale r) = v sqrt(r) + c / sqrt(r), fitted by weighted
    least squares; AU = 1 - Phi(v - c). It is an approximation for smooth regions of parameter
    space; groups found in the same data are selected, which it does not correct.

    Parameters
    ----------
    proportions : (R, C) array of float
        Bootstrap proportion of C groups at each of R scales.
    replicates : int
        Replicates at each scale.
    scales : (R,) sequence of float
        Participants that were drawn over participants there are.

    Returns
    -------
    au : (C,) array of float
        0 to 1. A scale counts if at least `FEWEST` trees hold the group and as many do not;
        with fewer than two such scales there is nothing to fit: 1 if the group is mostly found,
        else 0.
    v, c : (C,) array of float
        Signed distance and curvature; nan where nothing was fitted.

    References
    ----------
    Shimodaira (2002), Systematic Biology 51:492-508; (2004), Annals of Statistics 32:2616-2641.
    """
    from scipy.special import ndtr, ndtri

    sizes = np.asarray(scales, dtype=float)
    n_groups = proportions.shape[1]
    v, c = np.full(n_groups, np.nan), np.full(n_groups, np.nan)
    au = np.where(proportions.mean(axis=0) > 0.5, 1.0, 0.0)
    for group in range(n_groups):
        share = proportions[:, group]
        inside = np.minimum(share, 1 - share) * replicates > FEWEST - 0.5
        if inside.sum() < 2:
            continue
        z = -ndtri(share[inside])
        density = np.exp(-(z**2) / 2) / np.sqrt(2 * np.pi)
        # standard error of z by the delta method
        weight = density * np.sqrt(replicates / (share[inside] * (1 - share[inside])))
        design = np.stack([np.sqrt(sizes[inside]), 1 / np.sqrt(sizes[inside])], axis=1)
        fit = np.linalg.lstsq(design * weight[:, None], z * weight, rcond=None)[0]
        v[group], c[group] = (round(float(one), PRODUCT_DECIMALS) for one in fit)
        au[group] = round(float(ndtr(c[group] - v[group])), PRODUCT_DECIMALS)
    return au, v, c
