"""Colours by construction: palettes of greatest separation, shades, tints, smallest adjustments."""

from collections.abc import Sequence
from functools import cache

import numpy as np

from felloe.colours.difference import ciede2000
from felloe.colours.spaces import (
    hex_of_lch,
    hex_of_srgb,
    hue_chroma,
    linear_of_lab,
    shown_by_a_screen,
    srgb_of_linear,
)
from felloe.colours.vision import seen_labs
from felloe.ground.arrays import Floats

# Printing inks reach these, and neither a lemon yellow nor a near-black stands out among them.
PALETTE_LIGHTNESS = (38.0, 46.0, 54.0, 62.0, 70.0)
PALETTE_CHROMA = (26.0, 37.0, 48.0)
# An adjusted pick may go anywhere but to near-black and near-white.
ADJUSTED_LIGHTNESS = tuple(np.arange(24.0, 90.0, 3.0))
ADJUSTED_CHROMA = tuple(np.arange(6.0, 78.0, 6.0))
# A simulated difference counts double: half of the normal one is as much as simulation leaves.
SIMULATED_WEIGHT = 2.0
SHADE_STEP = 8.0  # lightness between neighbouring subclasses
SHADE_REACH = 22.0  # the lightest and the darkest subclass lie at most this far from the class
SHADE_LIMITS = (26.0, 88.0)
TINT_LIGHTNESS = 95.0
TINT = 0.62  # share of the way from a subclass to paper


def separated_palette(count: int, settled: Sequence[str] = ()) -> list[str]:
    """
    Compute colours that differ as much as possible, to people with any colour vision.

    Farthest-first choice from a grid of printable colours, then exchanges while the smallest
    difference grows. Differences are CIEDE2000, the least of normal vision and (doubled) the three
    simulated deficiencies.

    Parameters
    ----------
    count : int
    settled : sequence of str
        Colours already in use, to be avoided.

    Returns
    -------
    list of str
        `#rrggbb` in order of hue.

    References
    ----------
    The principle, not the colours: Glasbey, van der Heijden, Toh & Gray (2007), Color Research &
    Application 32:304-309.
    """
    if count == 0:
        return []
    grid = lch_grid(PALETTE_LIGHTNESS, PALETTE_CHROMA, 12.0)
    views = seen_labs(grid)
    among = seen_difference(views, views)
    outside = np.full(len(grid), np.inf)
    if len(settled):
        outside = seen_difference(views, seen_labs(list(settled))).min(axis=1)
    start = int(np.argmax(outside)) if len(settled) else int(np.argmax(among.sum(axis=1)))
    chosen = [start]
    while len(chosen) < count:
        chosen.append(int(np.argmax(np.minimum(among[:, chosen].min(axis=1), outside))))
    exchange(chosen, among, outside)
    colours = [grid[at] for at in chosen]
    hues = hue_chroma(seen_labs(colours)[0])[0]
    return [colours[at] for at in np.lexsort((np.array(colours), hues))]


def exchange(chosen: list[int], among: Floats, outside: Floats) -> None:
    """Swap single colours while that raises the smallest difference; `chosen` is changed."""
    improved = len(chosen) > 1
    while improved:
        improved = False
        for slot in range(len(chosen)):
            others = chosen[:slot] + chosen[slot + 1 :]
            reach = np.minimum(among[:, others].min(axis=1), outside)
            best = int(np.argmax(reach))
            if reach[best] > reach[chosen[slot]]:
                chosen[slot], improved = best, True


def seen_difference(views: Floats, other_views: Floats) -> Floats:
    """
    Return the smallest difference over normal and (weighted) simulated colour vision.

    Parameters
    ----------
    views, other_views : (4, n, 3) and (4, m, 3) array of float
        As returned by `seen_labs`.

    Returns
    -------
    (n, m) array of float
    """
    differences = ciede2000(views[:, :, None, :], other_views[:, None, :, :])
    differences[1:] *= SIMULATED_WEIGHT
    least: Floats = differences.min(axis=0)
    return least


@cache
def lch_grid(
    lightness: tuple[float, ...], chroma: tuple[float, ...], hue_step: float
) -> tuple[str, ...]:
    """Return the distinct displayable `#rrggbb` on a grid of lightness, chroma and hue."""
    mesh = np.meshgrid(lightness, chroma, np.arange(0, 360, hue_step), indexing="ij")
    level, reach, hue = (axis.ravel() for axis in mesh)
    radians = np.radians(hue)
    lab = np.stack([level, reach * np.cos(radians), reach * np.sin(radians)], axis=-1)
    linear = linear_of_lab(lab)
    shown = shown_by_a_screen(linear)
    return tuple(dict.fromkeys(hex_of_srgb(srgb_of_linear(linear[shown]))))


@cache
def grid_views(lightness: tuple[float, ...], chroma: tuple[float, ...], hue_step: float) -> Floats:
    """Return how the colours of a grid are seen, as `seen_labs` does."""
    return seen_labs(lch_grid(lightness, chroma, hue_step))


def nearest_separated(
    colour: str,
    others: Sequence[str],
    apart: float,
    apart_simulated: float,
    neighbours: Sequence[str],
) -> tuple[str, bool]:
    """
    Return the smallest change of a colour that tells it from others.

    Parameters
    ----------
    colour : str
    others : sequence of str
    apart : float
        CIEDE2000 wanted from each of `others` in normal vision.
    apart_simulated : float
        The same in each simulated deficiency, from `neighbours` only.
    neighbours : sequence of str

    Returns
    -------
    used : str
        `colour` itself if it is far enough from all.
    attained : bool
        False if no colour of the grid is far enough; then the one that comes nearest to it.
    """
    known, beside = seen_labs(others), seen_labs(neighbours)
    own = separation(seen_labs([colour]), known, apart, beside, apart_simulated)[0]
    if own >= 1:
        return colour, True
    grid = lch_grid(ADJUSTED_LIGHTNESS, ADJUSTED_CHROMA, 6.0)
    views = grid_views(ADJUSTED_LIGHTNESS, ADJUSTED_CHROMA, 6.0)
    ratio = separation(views, known, apart, beside, apart_simulated)
    if ratio.max() < 1:
        return (grid[int(np.argmax(ratio))] if ratio.max() > own else colour), False
    enough = np.flatnonzero(ratio >= 1)
    change = ciede2000(seen_labs([colour])[0], views[0][enough])
    return grid[int(enough[np.argmin(change)])], True


def separation(
    views: Floats, others: Floats, apart: float, neighbours: Floats, apart_simulated: float
) -> Floats:
    """Return how far colours are from others, as a share of what is wanted; 1 is enough."""
    ratio = np.full(views.shape[1], np.inf)
    if others.shape[1] and apart > 0:
        normal = ciede2000(views[0][:, None, :], others[0][None, :, :])
        ratio = np.minimum(ratio, normal.min(axis=1) / apart)
    if neighbours.shape[1] and apart_simulated > 0:
        seen = ciede2000(views[1:, :, None, :], neighbours[1:, None, :, :])
        ratio = np.minimum(ratio, seen.min(axis=(0, 2)) / apart_simulated)
    return ratio


def shades(colour: str, count: int) -> list[str]:
    """
    Return shades of a colour, of its hue, from dark to light.

    Parameters
    ----------
    colour : str
    count : int

    Returns
    -------
    list of str
    """
    lightness, chroma, hue = lch(colour)
    half = min(SHADE_REACH, SHADE_STEP * (count - 1) / 2)
    low, high = SHADE_LIMITS
    centre = min(max(lightness + 4, low + half), high - half)
    return hex_of_lch(np.linspace(centre - half, centre + half, count), 0.92 * chroma, hue)


def tint(colour: str) -> str:
    """Return a pale tint of a colour, of its hue."""
    lightness, chroma, hue = lch(colour)
    paler = np.array([lightness + TINT * (TINT_LIGHTNESS - lightness)])
    return hex_of_lch(paler, 0.5 * chroma, hue)[0]


def lch(colour: str) -> tuple[float, float, float]:
    """Return the lightness, chroma and hue of one colour."""
    lab = seen_labs([colour])[0][0]
    hue, chroma = hue_chroma(lab)
    return float(lab[0]), float(chroma), float(hue)
