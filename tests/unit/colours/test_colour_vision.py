"""Simulated colour vision against the published matrices' properties."""

import numpy as np
import pytest
from felloe.colours.difference import ciede2000
from felloe.colours.spaces import lab_of_hex
from felloe.colours.vision import DEFICIENCIES, seen_labs, simulate


def test_the_deutan_matrix_starts_as_published():
    # Machado, Oliveira & Fernandes (2009), matrices of severity 1.0, first row
    seen = simulate(np.array([0.0, 1.0, 0.0]), "deutan")
    assert seen == pytest.approx([0.860646, 0.672501, 0.042940], abs=1e-12)


@pytest.mark.parametrize("deficiency", DEFICIENCIES)
def test_greys_look_the_same_to_everybody(deficiency):
    # a deficiency leaves the achromatic axis alone: rows sum to 1 within the printed decimals
    greys = np.linspace(0, 1, 11)[:, None] * np.ones(3)
    assert simulate(greys, deficiency) == pytest.approx(greys, abs=2e-6)


def test_red_and_green_of_one_lightness_come_together_for_deutan_vision():
    normal, _, deutan, _ = seen_labs(["#b0592f", "#6a7d1f"])
    assert ciede2000(*deutan) < ciede2000(*normal) / 3


def test_the_first_view_is_normal_vision():
    colours = ["#123456", "#fedcba"]
    assert seen_labs(colours)[0].tolist() == lab_of_hex(colours).tolist()
