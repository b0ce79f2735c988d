"""Pairs and squares."""

import numpy as np
import pytest
from felloe.ground.permutation import permutation_p, reached_p
from felloe.ground.squares import condensed, doubly_centred, squared
from scipy.spatial.distance import squareform


@pytest.mark.parametrize("n", [2, 3, 7])
def test_pairs_and_squares_are_those_of_scipy(n):
    pairs = np.random.default_rng(n).random(n * (n - 1) // 2)
    assert np.array_equal(squared(pairs, n), squareform(pairs))
    assert np.array_equal(condensed(squareform(pairs)), pairs)


def test_many_squares_at_once_are_each_of_them():
    pairs = np.random.default_rng(0).random((4, 10))
    squares = squared(pairs, 5, diagonal=1.0)
    assert all(np.array_equal(squares[i], squared(pairs[i], 5, 1.0)) for i in range(4))
    assert np.array_equal(condensed(squares), pairs)


def test_double_centring_gives_the_inner_products_of_centred_points():
    # Gower (1966): distances of points give back their inner products about the centroid
    points = np.random.default_rng(1).normal(size=(6, 3))
    centred = points - points.mean(axis=0)
    apart = ((points[:, None] - points[None]) ** 2).sum(axis=2)
    assert doubly_centred(apart) == pytest.approx(centred @ centred.T, abs=1e-12)


def test_a_permutation_p_counts_equal_values_and_is_never_zero():
    assert permutation_p(2.0, np.array([1.0, 2.0, 3.0])) == 3 / 4
    assert permutation_p(9.0, np.zeros(99)) == reached_p(0, 99) == 1 / 100
