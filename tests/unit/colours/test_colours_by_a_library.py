"""Spaces, difference, simulation and contrast beside coloraide, which shares no code with ours."""

import itertools

import numpy as np
import pytest
from coloraide import Color
from felloe.colours.contrast import contrast_ratio
from felloe.colours.difference import ciede2000
from felloe.colours.spaces import (
    RGB_TO_XYZ,
    WHITE,
    hex_of_srgb,
    hue_chroma,
    lab_of_hex,
    lab_of_linear,
    linear_of_lab,
    linear_of_srgb,
    srgb_of_hex,
    srgb_of_linear,
)
from felloe.colours.vision import DEFICIENCIES, simulate

CORNERS = [f"#{r}{g}{b}" for r, g, b in itertools.product(("00", "ff"), repeat=3)]
GREYS = [f"#{level:02x}{level:02x}{level:02x}" for level in range(256)]
# next to black the curves of sRGB and of CIELAB are straight lines
DARK = [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in itertools.product((0, 1, 9, 10, 11, 12), repeat=3)]
RANDOM = hex_of_srgb(np.random.default_rng(12).integers(0, 256, size=(600, 3)) / 255)
COLOURS = [*CORNERS, *GREYS, *DARK, *RANDOM]


def coordinates(colours, space):
    return np.array([colour.convert(space).coords(nans=False) for colour in colours])


def told(colours, space):
    return coordinates([Color(colour) for colour in colours], space)


def of_space(space, values):
    return [Color(space, value) for value in np.asarray(values).tolist()]


def its_white():
    return told(["#ffffff"], "xyz-d65")[0]


def test_linear_light_is_the_same():
    assert linear_of_srgb(srgb_of_hex(COLOURS)) == pytest.approx(
        told(COLOURS, "srgb-linear"), abs=1e-12
    )


def test_light_goes_back_to_the_same_srgb():
    linear = np.random.default_rng(13).uniform(0, 1, (300, 3)) ** 3
    expected = coordinates(of_space("srgb-linear", linear), "srgb")
    assert srgb_of_linear(linear) == pytest.approx(expected, abs=1e-12)


def test_lab_of_a_share_of_white_is_the_same():
    # CIELAB knows X, Y, Z as shares of white only, so that the two white points do not matter here
    linear = linear_of_srgb(srgb_of_hex(COLOURS))
    shares = linear @ RGB_TO_XYZ.T / WHITE
    expected = coordinates(of_space("xyz-d65", shares * its_white()), "lab-d65")
    assert lab_of_linear(linear) == pytest.approx(expected, abs=2e-9)


def test_a_share_of_white_of_lab_is_the_same():
    lab = np.random.default_rng(14).uniform([0, -80, -80], [100, 80, 80], size=(500, 3))
    expected = coordinates(of_space("lab-d65", lab), "xyz-d65") / its_white()
    ours = linear_of_lab(lab) @ RGB_TO_XYZ.T / WHITE
    assert ours == pytest.approx(expected, abs=1e-9)


def test_lab_of_a_colour_differs_by_no_more_than_two_ways_of_printing_d65():
    # X, Z of white: ours 0.95047, 1.08883 (printed with the matrix), there 0.95046, 1.08906 (from
    # x = 0.3127, y = 0.3290): two parts in ten thousand of Z, and 200 f(Z) at most 200 / 3 of that
    assert lab_of_hex(COLOURS) == pytest.approx(told(COLOURS, "lab-d65"), abs=0.015)


def test_hue_and_chroma_are_the_same():
    lab = np.random.default_rng(15).uniform([5, -80, -80], [95, 80, 80], size=(300, 3))
    hue, chroma = hue_chroma(lab)
    expected = coordinates(of_space("lab-d65", lab), "lch-d65")
    assert np.stack([chroma, hue], axis=-1) == pytest.approx(expected[:, 1:], abs=1e-6)


def differences(first, second):
    pairs = zip(of_space("lab-d65", first), of_space("lab-d65", second), strict=True)
    return [one.delta_e(other, method="2000") for one, other in pairs]


@pytest.mark.parametrize("colours", [CORNERS, GREYS[::5], DARK[::3], RANDOM[:40]])
def test_every_pair_differs_by_the_same(colours):
    pairs = list(itertools.product(colours, colours))
    first, second = (lab_of_hex([pair[at] for pair in pairs]) for at in (0, 1))
    # opposite hues: the formula jumps there, and in the library the last digit decides
    (one, _), (other, _) = hue_chroma(first), hue_chroma(second)
    opposite = abs(abs(one - other) - 180) < 1e-5
    first, second = first[~opposite], second[~opposite]
    assert len(first) > 0.95 * len(pairs)
    # ours are rounded to nine decimals
    assert ciede2000(first, second) == pytest.approx(differences(first, second), abs=1e-9)


def test_colours_no_screen_can_show_differ_by_the_same():
    rng = np.random.default_rng(16)
    first, second = rng.uniform([0, -128, -128], [100, 128, 128], size=(2, 2000, 3))
    assert ciede2000(first, second) == pytest.approx(differences(first, second), abs=1e-9)


def test_greys_differ_from_colours_by_the_same():
    # where a hue is missing the formula takes that of the other
    grey = [[level, 0, 0] for level in range(0, 101, 5)]
    lab = np.random.default_rng(17).uniform([0, -90, -90], [100, 90, 90], size=(len(grey), 3))
    for first, second in ((grey, lab), (lab, grey)):
        assert ciede2000(first, second) == pytest.approx(differences(first, second), abs=1e-9)


@pytest.mark.parametrize("deficiency", DEFICIENCIES)
def test_a_deficiency_sees_the_same(deficiency):
    seen = [
        Color(colour).filter(deficiency, method="machado", out_space="srgb-linear")
        for colour in COLOURS
    ]
    expected = np.clip(coordinates(seen, "srgb-linear"), 0, 1)
    ours = simulate(linear_of_srgb(srgb_of_hex(COLOURS)), deficiency)
    assert ours == pytest.approx(expected, abs=1e-12)


def test_contrast_differs_by_no_more_than_the_digits_of_luminance():
    # WCAG 2 has 0.2126, 0.7152, 0.0722; the library 0.21264, 0.71517, 0.07219: at most 0.00004 of
    # luminance, beside at least 0.05
    pairs = list(zip(COLOURS, COLOURS[7:], strict=False))
    ours = [contrast_ratio(*pair) for pair in pairs]
    expected = [Color(one).contrast(other) for one, other in pairs]
    assert ours == pytest.approx(expected, rel=1e-3)
