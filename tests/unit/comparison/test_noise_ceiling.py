"""The noise ceiling, against slow definitions."""

import numpy as np
import pytest
from calibration.sorting_people import CASES, two_populations
from felloe.comparison.noise_ceiling import corrected_correlation, unattenuated
from felloe.ground.halves import (
    correlate_rows,
    divided_correlations,
    random_groups,
    similarities,
    spearman_brown,
    split_half_reliability,
)
from felloe.ground.pairs import pair_vectors, person_covariances


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


def test_correlation_without_noise_equals_the_mean_over_pairs_of_different_people():
    covariances = person_covariances(sorted_terms(6))
    covariances = covariances + 0.02  # agreement in both populations
    first = np.arange(12) < 5
    counts = np.random.default_rng(2).integers(3, size=(3, 12))

    def mean_agreement(drawn, one, other):
        products = [
            (counts[drawn, g] * counts[drawn, h], covariances[g, h])
            for g in np.flatnonzero(one)
            for h in np.flatnonzero(other)
            if g != h
        ]
        return np.average([c for _, c in products], weights=[w for w, _ in products])

    for drawn, found in enumerate(unattenuated(covariances, first, counts)):
        within = mean_agreement(drawn, first, first) * mean_agreement(drawn, ~first, ~first)
        expected = mean_agreement(drawn, first, ~first) / np.sqrt(within)
        assert found == pytest.approx(expected, abs=1e-8)


@pytest.fixture(scope="module")
def one_population():
    piles, first = two_populations(CASES[0], np.random.default_rng(8))
    vectors = pair_vectors(piles)
    halves = tuple(
        split_half_reliability(vectors.of(group), 400, np.random.default_rng(1))
        for group in (first, ~first)
    )
    return vectors, first, halves


def test_halves_and_pairs_of_people_give_the_same_corrected_correlation(one_population):
    vectors, first, halves = one_population
    covariances = person_covariances(vectors)
    everybody = np.ones((1, len(first)), dtype=int)
    corrected = corrected_correlation(vectors, first, halves, covariances, everybody).corrected
    assert corrected == pytest.approx(unattenuated(covariances, first, everybody)[0], abs=0.01)


def test_corrected_correlation_of_one_population_is_near_one(one_population):
    # true value 1: both populations are drawn from one structure
    vectors, first, halves = one_population
    rng = np.random.default_rng(3)
    counts = np.array(
        [
            np.bincount(
                np.concatenate([rng.choice(np.flatnonzero(g), g.sum()) for g in (first, ~first)]),
                minlength=len(first),
            )
            for _ in range(300)
        ]
    )
    found = corrected_correlation(vectors, first, halves, person_covariances(vectors), counts)
    assert abs(found.corrected - 1.0) < 0.03
    assert found.low < found.corrected < found.high
    assert found.high - found.low < 0.15


def test_exchanging_the_populations_leaves_the_corrected_correlation(one_population):
    vectors, first, halves = one_population
    covariances = person_covariances(vectors)
    counts = np.ones((1, len(first)), dtype=int)
    one = corrected_correlation(vectors, first, halves, covariances, counts)
    other = corrected_correlation(vectors, ~first, halves[::-1], covariances, counts)
    assert one == other
