"""Correlations and ranks against general software."""

import numpy as np
import pytest
from felloe.ground.correlation import average_ranks, correlation
from scipy.stats import pearsonr, rankdata


def test_the_correlation_is_the_one_scipy_gives():
    x, y = np.random.default_rng(1).random((2, 30))
    assert correlation(x, y) == pytest.approx(pearsonr(x, y).statistic, abs=1e-12)


def test_ranks_with_ties_are_those_scipy_gives():
    values = np.random.default_rng(0).integers(5, size=40)
    np.testing.assert_array_equal(average_ranks(values), rankdata(values))


def test_correlation_of_a_constant_is_not_a_number():
    assert np.isnan(correlation(np.ones(4), np.arange(4.0)))
