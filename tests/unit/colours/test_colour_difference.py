"""CIEDE2000 against the published pairs and its own symmetries."""

import csv
from pathlib import Path

import numpy as np
import pytest
from felloe.colours.difference import ciede2000, difference_matrix

# Sharma, Wu & Dalal (2005), Color Research & Application 30:21-30, Table 1.
PUBLISHED = Path(__file__).parents[2] / "references" / "data" / "ciede2000_sharma_34_pairs.csv"


def published_pairs():
    with open(PUBLISHED, encoding="utf-8", newline="") as stream:
        return [{name: float(text) for name, text in row.items()} for row in csv.DictReader(stream)]


def labs(rows, which):
    return np.array([[row[f"{axis}{which}"] for axis in "Lab"] for row in rows])


def test_ciede2000_of_the_34_published_pairs():
    rows = published_pairs()
    assert len(rows) == 34
    expected = [row["delta_e_00"] for row in rows]
    # printed with four decimals
    assert ciede2000(labs(rows, 1), labs(rows, 2)) == pytest.approx(expected, abs=5e-5)


def test_ciede2000_does_not_depend_on_which_colour_comes_first():
    rows = published_pairs()
    first, second = labs(rows, 1), labs(rows, 2)
    ordinary = np.arange(len(rows)) != 13  # pair 14 lies on the 180 degree boundary of hue
    forward, backward = ciede2000(first, second), ciede2000(second, first)
    assert (forward == backward)[ordinary].all()


def turned(lab, degrees):
    a, b = lab[:, 1], lab[:, 2]
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.stack([lab[:, 0], a * cos - b * sin, a * sin + b * cos], axis=-1)


def test_opposite_hues_are_no_more_than_half_a_turn_apart():
    # equations 10 and 14 count exactly 180 degrees with what is less; the formula jumps beyond it
    rng = np.random.default_rng(8)
    first = rng.uniform([20, -60, 1], [80, 60, 60], size=(2000, 3))  # hues from 0 to 180
    opposite = first * [1, -1, -1] + [5, 0, 0]
    less, more = (ciede2000(first, turned(opposite, by)) for by in (-1e-5, 1e-5))
    assert abs(less - more).max() > 1
    assert ciede2000(first, opposite) == pytest.approx(less, abs=1e-3)
    assert (ciede2000(opposite, first) == ciede2000(first, opposite)).all()


def test_ciede2000_of_a_colour_and_itself_is_zero():
    rng = np.random.default_rng(3)
    lab = rng.uniform([0, -90, -90], [100, 90, 90], size=(200, 3))
    assert (ciede2000(lab, lab) == 0).all()


def test_ciede2000_of_two_greys_is_the_weighted_step_in_lightness():
    # equation 15: S_L = 1 + 0.015 (L - 50)^2 / sqrt(20 + (L - 50)^2), here at mean L = 60
    weight = 1 + 0.015 * 100 / np.sqrt(120)
    assert ciede2000([55, 0, 0], [65, 0, 0]) == pytest.approx(10 / weight, abs=1e-9)


def test_difference_matrix_equals_a_loop_over_pairs():
    rng = np.random.default_rng(4)
    lab = rng.uniform([10, -60, -60], [90, 60, 60], size=(7, 3))
    loop = [[float(ciede2000(one, other)) for other in lab] for one in lab]
    assert difference_matrix(lab).tolist() == loop
