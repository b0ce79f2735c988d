"""The corrected correlation and its interval, against definitions and known truths."""

import math

import numpy as np
import pytest
from calibration.sorting_people import CASES, two_populations
from felloe.comparison.corrected import (
    UNKNOWN,
    CorrectedCorrelation,
    agreement_within,
    corrected_correlation,
    spread_across,
    statement_of,
)
from felloe.ground.pairs import pair_vectors, person_covariances


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
    assert spread_across(cross) == pytest.approx(1.0, rel=0.03)


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
