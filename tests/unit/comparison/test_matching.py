"""People matched by how coarsely they sort, against definitions and a general optimiser."""

from itertools import combinations

import numpy as np
import pytest
from calibration.sorting_people import CASES, two_populations
from felloe.comparison.exchanging.matching import (
    LARGEST_SET,
    LEFT_OUT,
    PENALTY,
    PER_SET,
    REACH,
    full_matching,
    granularity_measures,
    match_people,
    matched_contrasts,
    propensity_scores,
    standardised,
)
from scipy.optimize import minimize

LUMPERS = CASES[1]


def people(seed, n=20):
    return two_populations(LUMPERS, np.random.default_rng(seed), n)


def test_measures_of_piles_of_10_5_5_3_1_are_those_computed_by_hand():
    # 24 terms in piles of 10, 5, 5, 3 and 1: 0.24638 of the pairs (METHODS, check values)
    piles = np.repeat(np.arange(5), (10, 5, 5, 3, 1))
    together, log_piles, entropy, largest, single = granularity_measures(piles[None])[0]
    assert together == pytest.approx(0.24638, abs=5e-6)
    assert (log_piles, largest, single) == pytest.approx((np.log(5), 10 / 24, 1 / 5), abs=1e-9)
    shares = np.array([10, 5, 5, 3, 1]) / 24
    assert entropy == pytest.approx(-(shares * np.log(shares)).sum(), abs=1e-9)


def test_a_term_that_was_not_placed_counts_in_no_measure():
    assert np.array_equal(
        granularity_measures(np.array([[0, 0, 1, -1]])), granularity_measures(np.array([[0, 0, 1]]))
    )


@pytest.mark.parametrize("seed", range(3))
def test_scores_are_those_of_the_penalised_likelihood_at_its_top(seed):
    piles, first = people(seed)
    measures = granularity_measures(piles)
    z = standardised(measures)
    z = np.column_stack([np.ones(len(z)), z, standardised(z[:, :1] ** 2)])

    def loss(weights):
        odds = z @ weights
        return (
            np.logaddexp(0, odds).sum() - odds[first].sum() + PENALTY / 2 * (weights[1:] ** 2).sum()
        )

    best = minimize(loss, np.zeros(z.shape[1]), method="BFGS", options={"gtol": 1e-9})
    assert propensity_scores(measures, first) == pytest.approx(z @ best.x, abs=1e-5)


def best_division(scores, first):
    """Return the least cost over all ways to divide people, in order of score, into runs."""
    order = np.lexsort((first, scores))
    places, members = scores[order] / scores.std(), first[order]
    n, best = len(scores), np.inf
    for cuts in (chosen for k in range(n) for chosen in combinations(range(1, n), k)):
        runs = np.split(np.arange(n), cuts)
        cost = 0.0
        for run in runs:
            span, inside = places[run[-1]] - places[run[0]], members[run]
            fits = len(run) > 1 and inside.any() and not inside.all() and span <= REACH + 1e-12
            cost += span + PER_SET if fits else np.inf if len(run) > 1 else LEFT_OUT * REACH
        best = min(best, cost)
    return best


@pytest.mark.parametrize("seed", range(6))
def test_no_division_into_runs_costs_less(seed):
    rng = np.random.default_rng(seed)
    scores, first = rng.normal(size=10) * 0.5, rng.random(10) < 0.5
    sets = full_matching(scores, first)
    spans = [np.ptp(scores[sets == one]) / scores.std() for one in range(sets.max() + 1)]
    cost = sum(spans) + PER_SET * len(spans) + LEFT_OUT * REACH * (sets < 0).sum()
    assert cost == pytest.approx(best_division(scores, first), abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_every_set_holds_both_populations_and_spans_little(seed):
    piles, first = people(seed, 35)
    matching = match_people(piles, first)
    reach = REACH * matching.scores.std() + 1e-9
    for one in range(matching.sets.max() + 1):
        members = matching.sets == one
        assert 2 <= members.sum() <= LARGEST_SET
        assert 0 < first[members].sum() < members.sum()
        assert np.ptp(matching.scores[members]) <= reach
    assert matching.n_matched > 40


def as_sets(sets):
    return {frozenset(np.flatnonzero(sets == one).tolist()) for one in set(sets.tolist()) - {-1}}


@pytest.mark.parametrize("seed", range(4))
def test_calling_the_other_population_the_first_gives_the_same_sets(seed):
    piles, first = people(seed, 35)
    assert as_sets(match_people(piles, first).sets) == as_sets(match_people(piles, ~first).sets)


def test_people_in_another_order_are_matched_alike():
    piles, first = people(1, 25)
    order = np.random.default_rng(9).permutation(len(piles))
    turned = match_people(piles[order], first[order]).sets
    back = np.empty_like(turned)
    back[order] = turned
    assert as_sets(back) == as_sets(match_people(piles, first).sets)


def test_populations_that_share_no_granularity_are_not_matched():
    fine = np.tile(np.arange(12), (8, 1))
    coarse = np.tile(np.repeat([0, 1], 6), (8, 1))
    first = np.arange(16) < 8
    assert match_people(np.concatenate([fine, coarse]), first).n_matched == 0


def test_the_contrast_sums_the_weighted_differences_of_the_sets():
    rng = np.random.default_rng(2)
    first, sets = rng.random(12) < 0.5, np.array([0, 0, 0, 1, 1, 1, 1, -1, 2, 2, 2, 2])
    first[[0, 3, 8]], first[[1, 4, 9]] = True, False
    values = rng.normal(size=12)
    contrast, permuted = matched_contrasts(first, sets, rng, 20)
    slow = 0.0
    for one in range(3):
        a, b = values[(sets == one) & first], values[(sets == one) & ~first]
        slow += len(a) * len(b) / (len(a) + len(b)) * (a.mean() - b.mean())
    assert contrast @ values == pytest.approx(slow, abs=1e-12)
    for row in permuted:
        for one in (-1, 0, 1, 2):
            assert sorted(row[sets == one]) == sorted(contrast[sets == one])
