"""Laying maps over one another: published values, invariance, ellipses by definition."""

import numpy as np
import pytest
from felloe.circle.map.procrustes import align, ellipses
from felloe.circle.map.scaling import classical_scaling
from test_scaling import kinship, reference


@pytest.mark.parametrize(
    ("pair", "one", "other"),
    [
        ("kin_women_single_vs_men_single", "women_single", "men_single"),
        ("kin_women_first_vs_men_first", "women_first_of_two", "men_first_of_two"),
    ],
)
def test_kinship_maps_have_the_published_procrustes_value(pair, one, other):
    # vegan 2.6-4 procrustes(symmetric = TRUE): the share of squares left after the fit
    first, second = (classical_scaling(kinship(name))[0] for name in (one, other))
    left = ((align(second, first) - first) ** 2).sum()
    share = left / ((first - first.mean(axis=0)) ** 2).sum()
    assert share == pytest.approx(reference(pair, "procrustes_m12_squared"), abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_a_turned_mirrored_and_stretched_map_is_laid_back(seed):
    rng = np.random.default_rng(seed)
    points = rng.normal(size=(15, 2))
    turn, _ = np.linalg.qr(rng.normal(size=(2, 2)))
    moved = 3.7 * points @ turn + rng.normal(size=2)
    assert align(moved[None], points)[0] == pytest.approx(points, abs=1e-9)


def test_laying_over_leaves_the_least_sum_of_squares():
    rng = np.random.default_rng(2)
    points, other = rng.normal(size=(15, 2)), rng.normal(size=(15, 2))
    laid = align(other[None], points)[0]
    least = ((laid - points) ** 2).sum()
    for angle in np.linspace(-0.2, 0.2, 9):
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        for factor in (0.9, 1.0, 1.1):
            tried = (laid - laid.mean(axis=0)) @ turn * factor + points.mean(axis=0)
            assert ((tried - points) ** 2).sum() >= least - 1e-9


def test_about_as_many_points_as_the_level_says_lie_within_the_ellipse():
    rng = np.random.default_rng(4)
    mix = np.array([[2.0, 0.4], [0.0, 0.5]])
    cloud = rng.normal(size=(20000, 1, 2)) @ mix
    found = ellipses(cloud, 0.95)
    tilt = np.radians(found.tilt_deg[0])
    axes = np.array([[np.cos(tilt), np.sin(tilt)], [-np.sin(tilt), np.cos(tilt)]])
    inside = (((cloud[:, 0] - found.centres[0]) @ axes.T / found.half_axes[0]) ** 2).sum(1) <= 1
    assert inside.mean() == pytest.approx(0.95, abs=0.01)


def test_the_axes_of_an_ellipse_are_those_of_the_covariance():
    rng = np.random.default_rng(5)
    cloud = rng.normal(size=(500, 1, 2)) @ np.array([[1.0, 0.9], [0.0, 0.3]])
    values = np.linalg.eigvalsh(np.cov(cloud[:, 0].T))[::-1]
    # 5.991: 95 % quantile of the chi-squared distribution with two degrees of freedom (tables)
    assert ellipses(cloud, 0.95).half_axes[0] ** 2 == pytest.approx(5.991 * values, rel=1e-3)
