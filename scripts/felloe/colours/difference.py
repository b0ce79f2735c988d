"""How different two colours look: the CIEDE2000 formula."""

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats

# Sines and powers differ in the last digits between processors; nothing is decided beyond these.
DIFFERENCE_DECIMALS = 9
TWENTY_FIVE_TO_7 = 25.0**7
# Opposite hues lie 180 degrees apart give or take what rounding left, and the formula jumps there.
HALF_TURN = 180 + 1e-6


def ciede2000(lab1: Array, lab2: Array) -> Floats:
    """
    Return the CIEDE2000 colour difference.

    Parameters
    ----------
    lab1, lab2 : (..., 3) array of float
        CIELAB; the shapes are broadcast against each other.

    Returns
    -------
    (...) array of float
        At least 0; about 1 is just noticeable side by side. Rounded to `DIFFERENCE_DECIMALS`.

    References
    ----------
    Sharma, Wu & Dalal (2005), Color Research & Application 30:21-30, equations 2 to 22,
    with parametric factors kL = kC = kH = 1.
    """
    lightness1, a1, b1 = np.moveaxis(np.asarray(lab1, dtype=float), -1, 0)
    lightness2, a2, b2 = np.moveaxis(np.asarray(lab2, dtype=float), -1, 0)
    mean_chroma = (np.hypot(a1, b1) + np.hypot(a2, b2)) / 2
    stretch = 1.5 - 0.5 * saturating(mean_chroma)
    chroma1, hue1 = polar(a1 * stretch, b1)
    chroma2, hue2 = polar(a2 * stretch, b2)
    grey = chroma1 * chroma2 == 0
    d_hue = np.where(grey, 0.0, hue_step(hue2 - hue1))
    d_chord = 2 * np.sqrt(chroma1 * chroma2) * np.sin(np.radians(d_hue) / 2)
    mean_c = (chroma1 + chroma2) / 2
    mean_h = mean_hue(hue1, hue2, grey)
    s_l, s_c, s_h, rotation = weights((lightness1 + lightness2) / 2, mean_c, mean_h)
    part_l = (lightness2 - lightness1) / s_l
    part_c = (chroma2 - chroma1) / s_c
    part_h = d_chord / s_h
    squared = part_l**2 + part_c**2 + part_h**2 + rotation * part_c * part_h
    difference: Floats = np.round(np.sqrt(np.maximum(squared, 0)), DIFFERENCE_DECIMALS)
    return difference


def saturating(chroma: Floats) -> Floats:
    """Return sqrt(C^7 / (C^7 + 25^7)), which grows from 0 to 1."""
    power = chroma**7
    return np.sqrt(power / (power + TWENTY_FIVE_TO_7))


def polar(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """Return chroma and hue in degrees, [0, 360); the hue of grey is 0."""
    return np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360


def hue_step(change: Floats) -> Floats:
    """Return a change of hue the shorter way round; half a turn keeps its sign (equation 10)."""
    step: Floats = np.where(np.abs(change) > HALF_TURN, change - 360 * np.sign(change), change)
    return step


def mean_hue(hue1: Floats, hue2: Floats, grey: Bools) -> Floats:
    """Return the mean of two hues the shorter way round (equation 14)."""
    total = hue1 + hue2
    apart = np.abs(hue1 - hue2) > HALF_TURN
    around = np.where(total < 360, (total + 360) / 2, (total - 360) / 2)
    return np.where(grey, total, np.where(apart, around, total / 2))


def weights(
    lightness: Floats, chroma: Floats, hue: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the weights of lightness, chroma and hue, and the rotation term (15 to 21)."""
    t = (
        1
        - 0.17 * np.cos(np.radians(hue - 30))
        + 0.24 * np.cos(np.radians(2 * hue))
        + 0.32 * np.cos(np.radians(3 * hue + 6))
        - 0.20 * np.cos(np.radians(4 * hue - 63))
    )
    from_middle = (lightness - 50) ** 2
    s_l = 1 + 0.015 * from_middle / np.sqrt(20 + from_middle)
    turn = 30 * np.exp(-(((hue - 275) / 25) ** 2))
    rotation = -2 * saturating(chroma) * np.sin(np.radians(2 * turn))
    return s_l, 1 + 0.045 * chroma, 1 + 0.015 * chroma * t, rotation


def difference_matrix(lab: Array) -> Floats:
    """Return the (n, n) CIEDE2000 differences between the rows of an (n, 3) array."""
    lab = np.asarray(lab, dtype=float)
    return ciede2000(lab[:, None, :], lab[None, :, :])
