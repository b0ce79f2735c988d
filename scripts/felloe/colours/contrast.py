"""Whether something can be read on a colour: relative luminance and contrast as WCAG 2 has it."""

from collections.abc import Sequence
from functools import cache

import numpy as np

from felloe.colours.spaces import (
    hex_of_lch,
    hue_chroma,
    lab_of_hex,
    linear_of_srgb,
    srgb_of_hex,
)
from felloe.ground.arrays import Floats

BLACK, WHITE = "#000000", "#ffffff"
TEXT_CONTRAST = 4.5  # WCAG 2, success criterion 1.4.3
BORDER_CONTRAST = 3.0  # WCAG 2, success criterion 1.4.11 and technique G209


def relative_luminance(colours: Sequence[str]) -> Floats:
    """Return 0.2126 R + 0.7152 G + 0.0722 B of the linearised colours, an array in [0, 1]."""
    red, green, blue = linear_of_srgb(srgb_of_hex(colours)).T
    luminance: Floats = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return luminance


def contrast_ratio(first: str, second: str) -> float:
    """
    Return the contrast ratio of two colours.

    Parameters
    ----------
    first, second : str
        `#rrggbb`; their order does not matter.

    Returns
    -------
    float
        1 to 21. Not rounded up: compare it with 4.5 or 3 as it is.

    References
    ----------
    W3C, Web Content Accessibility Guidelines 2.2, definition of contrast ratio.
    """
    darker, lighter = sorted(relative_luminance([first, second]).tolist())
    return round(float((lighter + 0.05) / (darker + 0.05)), 9)


def text_colour(background: str) -> tuple[str, float]:
    """
    Choose black or white for text on a background.

    Returns
    -------
    colour : str
    ratio : float
        At least 4.58 whatever the background: the worst luminance is 0.1791.
    """
    ratios = {colour: contrast_ratio(colour, background) for colour in (WHITE, BLACK)}
    # white on the darker half reads calmer in print; black only where white would fail
    chosen = WHITE if ratios[WHITE] >= TEXT_CONTRAST else BLACK
    return chosen, ratios[chosen]


@cache
def outline_colour(fill: str, paper: str = WHITE) -> str:
    """
    Choose a border that can be told from its segment or, if the segment is dark, from the paper.

    Parameters
    ----------
    fill, paper : str
        `#rrggbb`.

    Returns
    -------
    str
        `fill` itself where it stands at 3:1 or more against the paper; else the lightest shade of
        its own hue that stands at 3:1 against both.
    """
    if contrast_ratio(fill, paper) >= BORDER_CONTRAST:
        return fill
    lab = lab_of_hex([fill])[0]
    hue, chroma = hue_chroma(lab)
    for shade in hex_of_lch(np.arange(np.floor(lab[0]), -1, -2), float(chroma), float(hue)):
        if min(contrast_ratio(shade, fill), contrast_ratio(shade, paper)) >= BORDER_CONTRAST:
            return shade
    return BLACK
