"""Colour spaces against published anchors and the way back."""

import numpy as np
import pytest
from felloe.colours.spaces import (
    hex_of_lch,
    hex_of_srgb,
    hue_chroma,
    lab_of_hex,
    linear_of_lab,
    linear_of_srgb,
    srgb_of_hex,
    srgb_of_linear,
)


def test_white_and_black_have_no_chroma():
    assert lab_of_hex(["#ffffff", "#000000"]).tolist() == [[100, 0, 0], [0, 0, 0]]


def test_middle_grey_has_the_lightness_of_the_cie_formula():
    # L = 116 Y^(1/3) - 16 with Y = ((119/255 + 0.055) / 1.055)^2.4, by hand: 50.03
    luminance = ((119 / 255 + 0.055) / 1.055) ** 2.4
    expected = 116 * luminance ** (1 / 3) - 16
    assert lab_of_hex(["#777777"])[0] == pytest.approx([expected, 0, 0], abs=1e-9)


@pytest.mark.parametrize(
    ("colour", "lab"),
    [
        # CIELAB of the sRGB primaries under D65, from memory, as colour libraries print them
        ("#ff0000", (53.24, 80.09, 67.20)),
        ("#00ff00", (87.73, -86.18, 83.18)),
        ("#0000ff", (32.30, 79.19, -107.86)),
    ],
)
def test_lab_of_the_primaries(colour, lab):
    assert lab_of_hex([colour])[0] == pytest.approx(lab, abs=0.02)


def test_every_colour_comes_back_from_lab():
    rng = np.random.default_rng(5)
    colours = hex_of_srgb(rng.integers(0, 256, size=(500, 3)) / 255)
    assert hex_of_srgb(srgb_of_linear(linear_of_lab(lab_of_hex(colours)))) == colours


def test_the_transfer_curve_undoes_itself():
    levels = np.arange(256)[:, None] / 255 * np.ones(3)
    assert srgb_of_linear(linear_of_srgb(levels)) == pytest.approx(levels, abs=1e-7)


def test_a_chroma_no_screen_can_show_is_reduced_and_the_hue_kept():
    hue, chroma = hue_chroma(lab_of_hex(hex_of_lch([60], 140, 200))[0])
    assert hue == pytest.approx(200, abs=2)
    assert 20 < chroma < 60


@pytest.mark.parametrize("colour", ["red", "#12345", "#1234567", "#gg0000", "#+10203", "# 10203"])
def test_what_is_no_colour_is_refused(colour):
    with pytest.raises(ValueError, match="not a colour"):
        srgb_of_hex([colour])
