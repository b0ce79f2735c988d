"""Granularity of populations, against definitions."""

import numpy as np
import pytest
from felloe.comparison.exchanging.granularity import compare_granularity


def test_effect_size_is_the_share_of_pairs_won_less_the_share_lost():
    n_piles, first = np.array([3, 5, 8, 4, 5]), np.array([True, True, True, False, False])
    pairs = [(a > b) - (a < b) for a in (3, 5, 8) for b in (4, 5)]
    found = compare_granularity(n_piles, first, np.zeros(5, dtype=int))
    assert found.cliffs_delta == pytest.approx(np.mean(pairs), abs=1e-12)


def test_overlap_is_the_sum_of_the_smaller_shares_of_bins():
    bins = np.array([0, 0, 1, 1, 1, 2])
    first = np.array([True, True, True, False, False, False])
    # shares by hand: first 2/3, 1/3, 0; second 0, 2/3, 1/3
    found = compare_granularity(np.arange(6), first, bins)
    assert found.overlap == pytest.approx(1 / 3, abs=1e-12)
    assert found.people_in_mixed_bins == 3


def test_equal_granularity_shows_no_difference():
    first = np.array([True, False, True, False])
    found = compare_granularity(np.full(4, 6), first, np.array([0, 0, 1, 1]))
    assert (found.p_value, found.cliffs_delta, found.overlap) == (1.0, 0.0, 1.0)


def test_rank_test_is_the_normal_approximation_with_continuity():
    # by hand: U = 2, z = (|2 - 18| - 0.5) / sqrt(6 * 6 * 13 / 12) = 2.482, two-sided p = 0.0131
    n_piles = np.array([1, 2, 3, 4, 5, 6, 4.5, 7, 8, 9, 10, 11])
    found = compare_granularity(n_piles, np.arange(12) < 6, np.zeros(12, dtype=int))
    assert found.u == 2.0
    assert found.p_value == pytest.approx(0.0131, abs=5e-5)
