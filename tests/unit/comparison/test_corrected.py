"""The corrected correlation and its interval, against definitions and known truths."""

import math

import numpy as np
import pytest
from calibration.sorting_people import CASES, two_populations
from felloe.comparison.correlating.corrected import (
    UNKNOWN,
    CorrectedCorrelation,
    agreement_across,
    agreement_within,
    corrected_correlation,
    statement_of,
)
from felloe.ground.people.pairs import pair_vectors, person_covariances
from partial_example import as_shown, lumpers_and_splitters


def covariances(case, seed, n):
    piles, first = two_populations(case, np.random.default_rng(seed), n)
    return person_covariances(pair_vectors(piles)), first


@pytest.mark.parametrize("case", [CASES[0], CASES[1], CASES[3]])
def test_the_value_is_a_ratio_of_means_over_pairs_of_different_people(case):
    K, first = covariances(case, 1, 8)
    cross = np.mean([K[i, j] for i in range(8) for j in range(8, 16)])
    within = [
        np.mean([K[i, j] for i in group for j in group if i != j])
        for group in (range(8), range(8, 16))
    ]
    expected = cross / math.sqrt(within[0] * within[1])
    assert corrected_correlation(K, first).corrected == pytest.approx(expected, abs=1e-9)


def test_a_model_of_people_and_noise_gives_back_its_variances():
    # K = m + e_g + e_h + noise: the spread beyond people is the variance of the noise
    rng = np.random.default_rng(0)
    people, noise = rng.normal(size=400), rng.normal(size=(400, 400)) * 0.3
    noise = (noise + noise.T) / math.sqrt(2)
    found = agreement_within(2.0 + people[:, None] + people[None, :] + noise)
    assert found.spread == pytest.approx(0.09, rel=0.02)
    cross = rng.normal(size=(300, 1)) + rng.normal(size=(1, 200)) + rng.normal(size=(300, 200))
    assert agreement_across(cross).spread == pytest.approx(1.0, rel=0.03)


def test_exchanging_the_populations_changes_nothing():
    K, first = covariances(CASES[3], 2, 10)
    one, other = (corrected_correlation(K, group) for group in (first, ~first))
    assert (one.corrected, one.low, one.high) == (other.corrected, other.low, other.high)


def test_no_end_of_the_interval_exceeds_one():
    ends = [corrected_correlation(*covariances(CASES[0], seed, 8)).high for seed in range(10)]
    assert max(ends) == 1.0


@pytest.mark.parametrize("group", [slice(0, 3), slice(7, 10)])
def test_with_fewer_than_four_people_nothing_is_known(group):
    K, _ = covariances(CASES[0], 0, 5)
    first = np.zeros(10, dtype=bool)
    first[group] = True
    assert math.isnan(corrected_correlation(K, first).corrected)


def test_without_agreement_within_a_population_nothing_is_known():
    first = np.arange(10) < 5
    assert math.isnan(corrected_correlation(-np.ones((10, 10)), first).low)


@pytest.mark.parametrize(
    ("value", "low", "reliabilities", "says", "because"),
    [
        (0.95, 0.91, (0.8, 0.7), "value", None),
        (1.0, 0.91, (0.8, 0.7), "value", None),
        (1.01, 0.91, (0.8, 0.7), "at_least", "above_one"),
        (1.3, -0.2, (0.8, 0.9), "no_bound", "above_one"),
        (1.3, 0.2, (0.8, 0.69), "at_least", "unreliable"),
        (0.8, 0.6, (0.69, 0.9), "at_least", "unreliable"),
        (0.8, 0.0, (0.5, 0.9), "no_bound", "unreliable"),
        (0.8, 0.6, (math.nan, 0.9), "at_least", "unreliable"),
    ],
)
def test_a_value_is_told_only_where_it_can_be_the_truth(value, low, reliabilities, says, because):
    found = statement_of(CorrectedCorrelation(value, low, 1.0, 0.1), reliabilities, 0.7)
    assert (found.says, found.because) == (says, because)


def test_what_cannot_be_corrected_is_said_to_be_so():
    found = statement_of(UNKNOWN, (0.9, 0.9), 0.7)
    assert (found.says, found.because) == ("nothing", "uncorrectable")


@pytest.mark.slow
@pytest.mark.parametrize(("case", "truth"), [(CASES[0], 1.0), (CASES[3], None)])
def test_intervals_cover_the_truth_as_often_as_they_say(case, truth):
    # the truth of moved terms is that of 250 + 250 people; samples are drawn from these
    K, first = covariances(case, 3, 250)
    truth = truth or corrected_correlation(K, first).corrected
    rng, covered = np.random.default_rng(4), 0
    for _ in range(150):
        who = np.concatenate([rng.choice(250, 20, False), 250 + rng.choice(250, 20, False)])
        found = corrected_correlation(K[np.ix_(who, who)], np.arange(40) < 20)
        covered += found.low <= truth <= found.high
    # 95 % of 150; fewer than 132 have a chance below 0.001 (binomial), and more is caution
    assert covered >= 132


def test_people_who_have_nothing_in_common_are_left_out_of_every_mean():
    """A quarter of all covariances unknown: a slow ratio of means over those that are known."""
    K, first = covariances(CASES[3], 4, 12)
    unknown = np.triu(np.random.default_rng(5).random(K.shape) < 0.25, 1)
    K[unknown | unknown.T] = np.nan
    a, b = range(12), range(12, 24)

    def mean(ones, others):
        rows = [np.mean([K[i, j] for j in others if j != i and np.isfinite(K[i, j])]) for i in ones]
        return np.mean(rows)

    cross = np.mean([K[i, j] for i in a for j in b if np.isfinite(K[i, j])])
    expected = cross / math.sqrt(mean(a, a) * mean(b, b))
    assert corrected_correlation(K, first).corrected == pytest.approx(expected, abs=1e-9)


def test_the_interval_knows_how_few_pairs_of_people_were_known():
    """K = m + e_g + e_h + noise with half of it unknown: the spread of estimates over studies."""
    rng, n, found = np.random.default_rng(6), 20, []
    for _ in range(400):
        noise = rng.normal(size=(2 * n, 2 * n)) * 0.5
        adds = rng.normal(size=2 * n) * 0.05
        K = 1.0 + adds[:, None] + adds[None, :] + (noise + noise.T) / math.sqrt(2)
        unknown = np.triu(rng.random(K.shape) < 0.5, 1)
        K[unknown | unknown.T] = np.nan
        found.append(corrected_correlation(K, np.arange(2 * n) < n))
    errors = np.mean([one.standard_error for one in found])
    assert errors == pytest.approx(np.std([one.corrected for one in found]), rel=0.1)


def test_strangers_do_not_make_two_populations_look_alike():
    """Half of the terms stand elsewhere for the second population; 12 of 90 terms shown each."""
    rng = np.random.default_rng(7)
    piles, *_ = lumpers_and_splitters(rng, 160, 90, 6, 2, 0.3)
    order = np.arange(90)
    moved = rng.choice(90, 45, replace=False)
    order[moved] = rng.permutation(moved)
    piles[80:] = piles[80:, order]
    first = np.arange(160) < 80
    whole = corrected_correlation(person_covariances(pair_vectors(piles)), first)
    shown = np.array([rng.permutation(90) < 12 for _ in piles])
    vectors = pair_vectors(as_shown(piles, shown), 1.0)
    parts = corrected_correlation(person_covariances(vectors), first)
    assert np.isnan(person_covariances(vectors)).mean() > 0.3
    assert abs(parts.corrected - whole.corrected) < 2 * parts.standard_error
