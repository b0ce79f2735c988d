"""The noise ceiling, against slow definitions."""

import numpy as np
import pytest
from felloe.ground.people.halves import (
    correlate_rows,
    divided_correlations,
    random_groups,
    similarities,
    spearman_brown,
    split_half_reliability,
)
from felloe.ground.people.pairs import pair_vectors


def sorted_terms(seed, n_people=12, n_terms=14, unplaced=0.0):
    rng = np.random.default_rng(seed)
    piles = rng.integers(4, size=(n_people, n_terms))
    piles[rng.random(piles.shape) < unplaced] = -1
    return pair_vectors(piles)


def mean_share(vectors, people):
    """Share of the people who placed both terms and put them together, pair by pair."""
    shares = []
    for pair in range(vectors.together.shape[1]):
        who = [g for g in people if vectors.placed[g, pair]]
        shares.append(np.mean([vectors.together[g, pair] for g in who]) if who else np.nan)
    return np.array(shares)


@pytest.mark.parametrize("unplaced", [0.0, 0.3])
def test_similarities_of_chosen_people_equal_the_definition(unplaced):
    vectors = sorted_terms(1, unplaced=unplaced)
    chosen = np.random.default_rng(2).random((4, 12)) < 0.5
    found = similarities(vectors, chosen)
    for row, people in zip(found, chosen, strict=True):
        expected = mean_share(vectors, np.flatnonzero(people))
        assert row == pytest.approx(expected, abs=1e-12, nan_ok=True)


def test_correlations_of_rows_are_numpys():
    x, y = np.random.default_rng(3).normal(size=(2, 5, 30))
    expected = [np.corrcoef(a, b)[0, 1] for a, b in zip(x, y, strict=True)]
    assert correlate_rows(x, y) == pytest.approx(expected, abs=1e-9)


def test_correlations_leave_out_what_is_unknown():
    x, y = np.random.default_rng(4).normal(size=(2, 1, 30))
    x[0, :5] = np.nan
    y[0, 3:8] = np.nan
    expected = np.corrcoef(x[0, 8:], y[0, 8:])[0, 1]
    assert correlate_rows(x, y)[0] == pytest.approx(expected, abs=1e-9)


def test_a_constant_row_has_no_correlation():
    assert np.isnan(correlate_rows(np.ones((1, 6)), np.arange(6.0)[None, :])[0])


def test_divided_correlations_equal_the_definition():
    vectors = sorted_terms(5)
    groups = random_groups(np.random.default_rng(1), 12, 5, 250)
    found = divided_correlations(vectors, groups)
    for number in (0, 99, 100, 249):
        one = mean_share(vectors, np.flatnonzero(groups[number]))
        other = mean_share(vectors, np.flatnonzero(~groups[number]))
        assert found[number] == pytest.approx(np.corrcoef(one, other)[0, 1], abs=1e-9)


def test_random_groups_have_their_size():
    groups = random_groups(np.random.default_rng(1), 11, 4, 30)
    assert (groups.sum(axis=1) == 4).all()
    assert len(np.unique(groups, axis=0)) > 20


def test_halves_that_correlate_by_one_half_make_a_reliability_of_two_thirds():
    # Spearman-Brown by hand: 2 * 0.5 / 1.5
    assert spearman_brown(0.5) == pytest.approx(2 / 3, abs=1e-15)


def test_too_few_people_have_no_reliability():
    found = split_half_reliability(sorted_terms(1, n_people=3), 200, np.random.default_rng(1))
    assert np.isnan(found.reliability)


def test_identical_people_are_perfectly_reliable():
    vectors = pair_vectors(np.tile([0, 0, 1, 1, 2], (6, 1)))
    assert split_half_reliability(vectors, 200, np.random.default_rng(1)).reliability == 1.0
