"""Reliability and recovery of invented studies, by definition and as they must go."""

import numpy as np
import pytest
from felloe.foresight.assumptions import Habits, even_truth
from felloe.foresight.expected import half_correlation, recovery, reliability, shares_of
from felloe.foresight.sorters import drawn_sorts, least_seen

RNG = np.random.default_rng
TRUTH = even_truth(24, 4, 2)


def people(n_people, each, astray=0.3):
    return drawn_sorts(RNG(2), TRUTH, Habits(0.5, astray), least_seen(RNG(1), n_people, 24, each))


def slow_shares(piles, prior):
    """Together plus the prior at the mean, over both plus the prior; pair by pair."""
    n = piles.shape[1]
    together, both = np.zeros((n, n)), np.zeros((n, n))
    for pile in piles:
        for i in range(n):
            for j in range(n):
                if pile[i] >= 0 and pile[j] >= 0:
                    both[i, j] += 1
                    together[i, j] += pile[i] == pile[j]
    upper = np.triu_indices(n, 1)
    mean = together[upper].sum() / both[upper].sum()
    return (together[upper] + prior * mean) / (both[upper] + prior)


def test_shares_are_drawn_to_the_mean_by_the_prior():
    piles = people(12, 9)
    found = shares_of(piles, 1.0)[np.triu_indices(24, 1)]
    np.testing.assert_allclose(found, slow_shares(piles, 1.0), atol=1e-12)


def test_reliability_is_the_correlation_of_halves_stepped_up():
    piles = people(13, 9)
    order = RNG(5).permutation(13)
    halves = [slow_shares(piles[part], 1.0) for part in (order[:6], order[6:])]
    r = np.corrcoef(*halves)[0, 1]
    assert half_correlation(RNG(5), piles, 1.0) == pytest.approx(r, abs=1e-9)
    assert reliability(RNG(5), piles, 1.0) == pytest.approx(2 * r / (1 + r), abs=1e-9)


def test_too_few_people_have_no_halves():
    assert np.isnan(half_correlation(RNG(1), people(3, 24), None))


def test_without_error_everything_comes_back():
    back = recovery(people(40, 24, astray=0.0), TRUTH, None, "average")
    assert (back.classes, back.subclasses) == (1.0, 1.0)


def test_without_structure_nothing_does():
    back = recovery(people(40, 24, astray=1.0), TRUTH, None, "average")
    assert abs(back.classes) < 0.3
    assert abs(back.subclasses) < 0.3
