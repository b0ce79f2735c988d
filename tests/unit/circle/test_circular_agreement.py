"""Agreement of directions on a full circle: identical, mirrored, unrelated; the form that fails."""

import numpy as np
import pytest
from felloe.circle.agreement import (
    circular_agreement,
    evenly,
    fisher_lee,
    uniform_correlation,
)

EVEN = 2 * np.pi * np.arange(100) / 100


@pytest.mark.parametrize("turn", [0.0, 1.0, 4.5])
def test_the_same_circle_however_turned_agrees_fully(turn):
    assert uniform_correlation(EVEN, EVEN + turn) == pytest.approx(1.0, abs=1e-9)
    assert fisher_lee(EVEN, EVEN + turn) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("turn", [0.0, 2.0])
def test_a_mirrored_circle_gives_minus_one(turn):
    assert uniform_correlation(EVEN, turn - EVEN) == pytest.approx(-1.0, abs=1e-9)
    assert fisher_lee(EVEN, turn - EVEN) == pytest.approx(-1.0, abs=1e-9)


def centred_form(a, b):
    """The common coefficient of Jammalamadaka & Sarma (1988): sines about the mean directions."""
    centres = [np.arctan2(np.sin(x).sum(), np.cos(x).sum()) for x in (a, b)]
    one, other = np.sin(a - centres[0]), np.sin(b - centres[1])
    return (one * other).sum() / np.sqrt((one**2).sum() * (other**2).sum())


def test_angles_within_a_third_of_a_radian_agree_where_the_common_form_misleads():
    rng = np.random.default_rng(0)
    centred, ours = [], []
    for _ in range(200):
        b = EVEN + rng.uniform(-0.3, 0.3, 100)
        centred.append(centred_form(EVEN, b))
        ours.append(uniform_correlation(EVEN, b))
    assert min(centred) < 0
    assert min(ours) > 0.9


def test_the_same_uneven_circle_agrees_fully_by_fisher_lee():
    a = np.random.default_rng(2).normal(0.3, 0.8, 40)
    assert fisher_lee(a, a + 2.0) == pytest.approx(1.0, abs=1e-9)
    assert fisher_lee(a, 2.0 - a) == pytest.approx(-1.0, abs=1e-9)


def test_directions_on_one_line_tell_nothing():
    assert fisher_lee(np.array([0.0, np.pi, 0.0]), EVEN[:3]) == 0.0


def test_fisher_lee_equals_the_definition():
    # Fisher & Lee (1983): sums over pairs of products of sines of differences
    rng = np.random.default_rng(1)
    a, b = rng.uniform(0, 7, 9), rng.uniform(0, 7, 9)
    pairs = [(i, j) for i in range(9) for j in range(i + 1, 9)]
    top = sum(np.sin(a[i] - a[j]) * np.sin(b[i] - b[j]) for i, j in pairs)
    below = sum(np.sin(a[i] - a[j]) ** 2 for i, j in pairs) * sum(
        np.sin(b[i] - b[j]) ** 2 for i, j in pairs
    )
    assert fisher_lee(a, b) == pytest.approx(top / below**0.5, abs=1e-12)


def test_the_better_reflection_is_taken_and_said():
    found = circular_agreement(EVEN, 1.0 - EVEN, np.random.default_rng(0), 199)
    assert found.mirrored
    assert found.uniform == pytest.approx(1.0, abs=1e-9)
    assert found.fisher_lee == pytest.approx(1.0, abs=1e-9)
    assert found.p_value == pytest.approx(1 / 200)


def test_p_values_of_unrelated_circles_are_spread_evenly():
    rng = np.random.default_rng(3)
    p = [
        circular_agreement(EVEN[:30], rng.permutation(EVEN)[:30], rng, 99).p_value
        for _ in range(300)
    ]
    assert 0.01 <= np.mean(np.array(p) <= 0.05) <= 0.09


def test_the_uniform_form_of_an_uneven_circle_with_itself_is_one():
    a = np.random.default_rng(4).normal(0.3, 0.8, 40)
    found = circular_agreement(a, a + 1.0, np.random.default_rng(0), 99)
    assert found.uniform == pytest.approx(1.0, abs=1e-9)


def test_spreading_evenly_keeps_the_order_around_the_circle():
    spread = evenly(np.array([6.0, 0.1, 3.0, 6.2]))
    assert spread == pytest.approx(2 * np.pi * np.array([2, 0, 1, 3]) / 4)
