"""From hexadecimal sRGB to linear light, CIELAB and back, many colours at a time."""

from collections.abc import Sequence

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats

# IEC 61966-2-1 (sRGB), linear RGB to CIE XYZ under D65. The rows sum to the white point, so that
# white has a = b = 0 exactly.
RGB_TO_XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
XYZ_TO_RGB = np.linalg.inv(RGB_TO_XYZ)
WHITE = RGB_TO_XYZ.sum(axis=1)
CIE_EPSILON = 216 / 24389
CIE_KAPPA = 24389 / 27
# Powers differ in the last digits between processors; nothing is decided from more than these.
LAB_DECIMALS = 9
HEX_DIGITS = frozenset("0123456789abcdefABCDEF")


def srgb_of_hex(colours: Sequence[str]) -> Floats:
    """
    Read colours written as `#rrggbb`.

    Parameters
    ----------
    colours : sequence of str

    Returns
    -------
    (n, 3) array of float
        sRGB in [0, 1].

    Raises
    ------
    ValueError
        If one is not `#` and six hexadecimal digits.
    """
    values = np.empty((len(colours), 3))
    for row, colour in enumerate(colours):
        if len(colour) != 7 or colour[0] != "#" or not set(colour[1:]) <= HEX_DIGITS:
            raise ValueError(f"{colour!r} is not a colour of the form #rrggbb")
        values[row] = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    return values / 255.0


def hex_of_srgb(srgb: Array) -> list[str]:
    """Write sRGB in [0, 1] as a list of `#rrggbb`, the nearest of the 8-bit colours."""
    levels = np.rint(np.clip(np.atleast_2d(srgb), 0, 1) * 255).astype(int)
    return ["#" + "".join(f"{level:02x}" for level in row) for row in levels]


def linear_of_srgb(srgb: Array) -> Floats:
    """Undo the transfer curve of sRGB; the threshold is 0.04045 (IEC 61966-2-1)."""
    srgb = np.asarray(srgb, dtype=float)
    return np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)


def srgb_of_linear(linear: Array) -> Floats:
    """Apply the transfer curve of sRGB, values outside [0, 1] cut off."""
    linear = np.clip(linear, 0, 1)
    return np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)


def lab_of_linear(linear: Array) -> Floats:
    """
    Turn linear RGB into CIELAB.

    Parameters
    ----------
    linear : (..., 3) array of float
        In [0, 1].

    Returns
    -------
    (..., 3) array of float
        L in [0, 100], a, b; D65, 2 degree observer; rounded to `LAB_DECIMALS`.

    References
    ----------
    CIE 15:2004, section 8.2.1 (with the exact fractions 216/24389 and 24389/27).
    """
    linear = np.asarray(linear, dtype=float)
    # a sum over three written out: the same bits whatever library multiplies matrices
    parts = [sum(linear[..., k] * RGB_TO_XYZ[j, k] for k in range(3)) / WHITE[j] for j in range(3)]
    fx, fy, fz = (
        np.where(part > CIE_EPSILON, np.cbrt(part), (CIE_KAPPA * part + 16) / 116) for part in parts
    )
    lab = np.stack([116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)], axis=-1)
    return np.round(lab, LAB_DECIMALS) + 0.0


def linear_of_lab(lab: Array) -> Floats:
    """Turn CIELAB into linear RGB, which lies outside [0, 1] for colours no screen can show."""
    lab = np.asarray(lab, dtype=float)
    fy = (lab[..., 0] + 16) / 116
    parts = []
    for root, white in zip(
        (fy + lab[..., 1] / 500, fy, fy - lab[..., 2] / 200), WHITE, strict=True
    ):
        cube = root**3
        parts.append(white * np.where(cube > CIE_EPSILON, cube, (116 * root - 16) / CIE_KAPPA))
    return np.stack([sum(parts[k] * XYZ_TO_RGB[j, k] for k in range(3)) for j in range(3)], axis=-1)


def lab_of_hex(colours: Sequence[str]) -> Floats:
    """Return the (n, 3) CIELAB values of colours written as `#rrggbb`."""
    return lab_of_linear(linear_of_srgb(srgb_of_hex(colours)))


def hue_chroma(lab: Array) -> tuple[Floats, Floats]:
    """Return the hue angle in degrees, [0, 360), and the chroma of CIELAB colours."""
    lab = np.asarray(lab, dtype=float)
    hue = np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360
    return np.round(hue, 6), np.hypot(lab[..., 1], lab[..., 2])


def hex_of_lch(lightness: Array, chroma: float, hue: float) -> list[str]:
    """
    Return colours of one hue, their chroma reduced until a screen can show them.

    Parameters
    ----------
    lightness : (n,) array of float
        CIELAB L, 0 to 100.
    chroma : float
        The chroma wanted.
    hue : float
        Degrees.

    Returns
    -------
    list of str
        One `#rrggbb` per lightness.
    """
    level, reach = np.meshgrid(lightness, chroma * np.linspace(1, 0, 65), indexing="ij")
    a, b = np.cos(np.radians(hue)), np.sin(np.radians(hue))
    linear = linear_of_lab(np.stack([level, reach * a, reach * b], axis=-1))
    first = np.argmax(shown_by_a_screen(linear), axis=1)
    return hex_of_srgb(srgb_of_linear(linear[np.arange(len(first)), first]))


def shown_by_a_screen(linear: Array) -> Bools:
    """Return which linear RGB colours lie within the sRGB gamut, half a grey level allowed."""
    return np.asarray(((linear >= -5e-4) & (linear <= 1 + 5e-4)).all(axis=-1))
