"""Studies drawn from what one study shows, against whole tables of pairs of people."""

import math

import numpy as np
import pytest
from calibration.sorting_people import CASES, two_populations
from felloe.comparison.correlating.corrected import (
    agreement_across,
    agreement_within,
    corrected_correlation,
)
from felloe.comparison.more_people.simulated_study import (
    Estimates,
    Side,
    drawn_across,
    drawn_study,
    drawn_within,
    estimates_of,
    reliability_of,
)
from felloe.ground.people.halves import spearman_brown, split_half_reliability
from felloe.ground.people.pairs import pair_vectors, person_covariances

DRAWS = 4000
N, M = 6, 5


def side(adds, mean=2.0, spread=0.5, own=6.0):
    people = np.column_stack([adds, np.zeros(len(adds)), np.full(len(adds), own)])
    return Side(mean, people, spread)


def table_within(rng, mean, spread, adds):
    """Return a table of covariances, pair by pair."""
    table = np.zeros((len(adds), len(adds)))
    for g in range(len(adds)):
        for h in range(g):
            noise = rng.normal(scale=math.sqrt(spread))
            table[g, h] = table[h, g] = mean + adds[g] + adds[h] + noise
    return table


def moments(agreements):
    """Return mean and covariance matrix of: the mean, the first two people's, the spread."""
    values = np.array([[one.mean, *one.of_people[:2], one.spread] for one in agreements])
    return values.mean(axis=0), np.cov(values.T)


def test_agreement_within_is_drawn_as_a_table_of_pairs_would_give_it():
    adds = np.array([0.3, -0.2, 0.0, 0.1, -0.4, 0.2])
    rng = np.random.default_rng(1)
    tables = [agreement_within(table_within(rng, 2.0, 0.5, adds)) for _ in range(DRAWS)]
    drawn = [drawn_within(rng, side(adds), adds) for _ in range(DRAWS)]
    for one, other in zip(moments(tables), moments(drawn), strict=True):
        assert other == pytest.approx(one, abs=0.02)


def test_the_mean_within_errs_as_the_number_of_pairs_says():
    rng = np.random.default_rng(2)
    means = [drawn_within(rng, side(np.zeros(N)), np.zeros(N)).mean for _ in range(DRAWS)]
    assert np.var(means) == pytest.approx(0.5 / (N * (N - 1) / 2), rel=0.1)


def test_agreement_across_is_drawn_as_a_table_of_pairs_would_give_it():
    rows, columns = np.linspace(-0.3, 0.4, N), np.linspace(0.2, -0.2, M)
    rng = np.random.default_rng(3)
    tables, drawn = [], []
    for _ in range(DRAWS):
        noise = rng.normal(scale=math.sqrt(0.5), size=(N, M))
        tables.append(agreement_across(1.5 + rows[:, None] + columns[None, :] + noise))
        drawn.append(drawn_across(rng, 1.5, 0.5, (rows, columns)))

    def told(found):
        values = np.array([[x.mean, *x.of_first[:2], *x.of_second[:2], x.spread] for x in found])
        return values.mean(axis=0), np.cov(values.T)

    for one, other in zip(told(tables), told(drawn), strict=True):
        assert other == pytest.approx(one, abs=0.025)


def test_means_over_either_side_are_the_mean_of_all_pairs():
    found = drawn_across(np.random.default_rng(4), 1.5, 0.5, (np.ones(N), np.ones(M)))
    assert found.of_first.mean() == pytest.approx(found.mean)
    assert found.of_second.mean() == pytest.approx(found.mean)


@pytest.mark.parametrize("n_people", [4, 9, 30])
def test_twice_the_people_have_the_reliability_that_spearman_and_brown_give_two_halves(n_people):
    half = reliability_of(1.0, 7.0, n_people)
    assert reliability_of(1.0, 7.0, 2 * n_people) == pytest.approx(spearman_brown(half))


def test_reliability_from_agreement_is_that_of_random_halves():
    piles, first = two_populations(CASES[1], np.random.default_rng(5), 20)
    vectors = pair_vectors(piles[first])
    covariances = person_covariances(vectors)
    halves = split_half_reliability(vectors, 300, np.random.default_rng(6)).reliability
    own = float(np.diagonal(covariances).mean())
    found = reliability_of(agreement_within(covariances).mean, own, 20)
    assert found == pytest.approx(halves, abs=0.01)


def test_what_a_model_of_people_and_pairs_was_made_from_is_estimated():
    # K = m + p_g + p_h + noise; the correlation is m_ab / sqrt(m_a m_b)
    rng, n = np.random.default_rng(7), 300
    first = np.arange(2 * n) < n
    level = np.where(first[:, None] & first[None, :], 2.0, 1.8)
    level = np.where(~first[:, None] & ~first[None, :], 2.5, level)
    noise = rng.normal(size=(2 * n, 2 * n)) * 0.3
    adds = rng.normal(size=2 * n) * 0.1
    covariances = level + adds[:, None] + adds[None, :] + (noise + noise.T) / math.sqrt(2)
    known = estimates_of(covariances, first, (0.9, 0.9))
    assert known.correlation == pytest.approx(1.8 / math.sqrt(2.0 * 2.5), abs=0.02)
    assert known.spread == pytest.approx(0.09, rel=0.03)
    for one in (known.first, known.second):
        assert one.spread == pytest.approx(0.09, rel=0.05)
        assert one.people[:, 0].std(ddof=1) == pytest.approx(0.1, rel=0.15)


def test_the_noise_of_having_few_partners_is_not_taken_for_people():
    rng, n = np.random.default_rng(8), 12
    spreads = []
    for _ in range(60):
        noise = rng.normal(size=(2 * n, 2 * n)) * 0.5
        covariances = 2.0 + (noise + noise.T) / math.sqrt(2)
        known = estimates_of(covariances, np.arange(2 * n) < n, (0.9, 0.9))
        spreads.append(known.first.people[:, 0].var(ddof=1))
    # raw means of a person's pairs vary by 0.25 / (n - 2); people do not differ at all
    assert np.mean(spreads) < 0.5 * 0.25 / (n - 2)


def test_a_study_of_todays_size_looks_as_reliable_as_today_in_the_mean():
    piles, first = two_populations(CASES[0], np.random.default_rng(9), 15)
    covariances = person_covariances(pair_vectors(piles))
    known = estimates_of(covariances, first, (0.8, 0.6))
    rng = np.random.default_rng(10)
    drawn = [drawn_study(rng, known, (15, 15)).reliabilities for _ in range(400)]
    assert np.mean(drawn, axis=0) == pytest.approx([0.8, 0.6], abs=0.03)


def test_a_drawn_study_errs_as_much_as_the_interval_says():
    piles, first = two_populations(CASES[3], np.random.default_rng(11), 25)
    covariances = person_covariances(pair_vectors(piles))
    known, looked = estimates_of(covariances, first, (0.9, 0.9)), corrected_correlation(
        covariances, first
    )  # fmt: skip
    rng = np.random.default_rng(12)
    values = [drawn_study(rng, known, (25, 25)).correlation.corrected for _ in range(600)]
    assert np.mean(values) == pytest.approx(looked.corrected, abs=0.01)
    assert np.std(values) == pytest.approx(looked.standard_error, rel=0.15)


def test_the_order_of_people_changes_nothing():
    piles, first = two_populations(CASES[1], np.random.default_rng(13), 10)
    covariances = person_covariances(pair_vectors(piles))
    order = np.random.default_rng(14).permutation(20)
    one = estimates_of(covariances, first, (0.8, 0.7))
    other = estimates_of(covariances[np.ix_(order, order)], first[order], (0.8, 0.7))
    assert one.first.people.tolist() == other.first.people.tolist()
    assert one.second.people.tolist() == other.second.people.tolist()
    assert (one.correlation, one.spread) == (other.correlation, other.spread)


@pytest.mark.parametrize("reliabilities", [(0.8, math.nan), (math.nan, 0.8), (0.0, 0.8)])
def test_nothing_is_drawn_from_what_is_not_known(reliabilities):
    covariances = np.ones((10, 10)) + np.eye(10)
    assert estimates_of(covariances, np.arange(10) < 5, reliabilities) is None


@pytest.mark.parametrize("few", [0, 3])
def test_nothing_is_drawn_from_fewer_than_four_people(few):
    assert estimates_of(np.ones((10, 10)), np.arange(10) < few, (0.8, 0.8)) is None


def test_nothing_is_drawn_from_people_who_do_not_agree():
    assert estimates_of(-np.ones((10, 10)), np.arange(10) < 5, (0.8, 0.8)) is None


def test_without_noise_every_study_is_the_truth():
    known = Estimates(side(np.zeros(4), spread=0.0), side(np.zeros(4), spread=0.0), 0.95, 0.0)
    found = drawn_study(np.random.default_rng(0), known, (8, 5))
    assert found.correlation.low == found.correlation.corrected == pytest.approx(0.95)
    assert found.reliabilities == pytest.approx((8 * 2 / (6 + 7 * 2), 5 * 2 / (6 + 4 * 2)))
