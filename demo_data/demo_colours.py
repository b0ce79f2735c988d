"""Invented colour picks: scattered around a hue per class, with a shade per subclass and term."""

import colorsys

import numpy as np

RESPONDENTS = 12
SHOWN = 0.8  # share of the terms that one respondent was shown
ODD_PICK = 0.05  # share of picks that have nothing to do with the class
COLOURLESS = 0.06  # share of terms for which nobody was asked


def pick_colours(rng, lexicon, hues):
    """
    Draw the colours that respondents pick for the terms.

    Parameters
    ----------
    rng : numpy.random.Generator
    lexicon : demo_sorters.Lexicon
    hues : dict of str to tuple of float
        Hue in degrees, saturation and lightness (0 to 1) per class and for ``none``.

    Returns
    -------
    list of tuple of str
        (term, respondent, ``#rrggbb``), by term and respondent.
    """
    rows = []
    shade = {place: rng.normal(0, [5, 0.05, 0.07]) for place in (*lexicon.ring, "none")}
    for term in sorted(lexicon.terms):
        own = rng.normal(0, [5, 0.05, 0.06])
        asked = rng.random() >= COLOURLESS
        for respondent in range(1, RESPONDENTS + 1):
            picked = _pick(rng, lexicon, hues, term, shade, own)
            if asked and rng.random() < SHOWN:
                rows.append((term, f"c{respondent:02d}", picked))
    return rows


def _pick(rng, lexicon, hues, term, shade, own):
    """Draw one pick; a term between two classes is seen in either one's colour."""
    place = lexicon.places[term]
    if term in lexicon.second and rng.random() < 0.4:
        place = lexicon.second[term]
    hue, saturation, lightness = np.array(hues[place.split("/")[0]]) + shade[place] + own
    hue += rng.normal(0, 9)
    saturation += rng.normal(0, 0.08)
    lightness += rng.normal(0, 0.07)
    if rng.random() < ODD_PICK:
        hue = rng.uniform(0, 360)
    red, green, blue = colorsys.hls_to_rgb(
        hue % 360 / 360, float(np.clip(lightness, 0.1, 0.92)), float(np.clip(saturation, 0.02, 1))
    )
    return "#" + "".join(f"{round(255 * part):02x}" for part in (red, green, blue))
