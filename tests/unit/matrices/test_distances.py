"""From counts to the distances of a chart: one population, everybody, every population alike."""

import numpy as np
import pytest
from felloe.ground.people.counts import counts_of
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.terms import DifferentTerms, Terms
from felloe.matrices.counts import counts_by_population
from felloe.matrices.distances import chart_dissimilarity, chart_distances

POPULATIONS = ("a",) * 4 + ("b",) * 8


def some_sorts(seed=5, missing=0.0, populations=POPULATIONS, n_terms=9):
    rng = np.random.default_rng(seed)
    piles = rng.integers(0, 4, size=(len(populations), n_terms))
    piles[rng.random(piles.shape) < missing] = UNPLACED
    people = tuple(f"p{number}" for number in range(len(populations)))
    return Sorts(people, populations, Terms("abcdefghi"[:n_terms]), piles)


def shares_slowly(piles):
    n = piles.shape[1]
    shares = np.eye(n)
    for i in range(n):
        for j in set(range(n)) - {i}:
            placed = [row for row in piles.tolist() if UNPLACED not in (row[i], row[j])]
            shares[i, j] = sum(row[i] == row[j] for row in placed) / len(placed)
    return shares


def test_everybody_is_counted_and_each_population_for_itself():
    sorts = some_sorts(missing=0.1)
    counts = counts_by_population(sorts)
    assert list(counts) == ["a", "b", "pooled"]
    for name, rows in (("a", slice(0, 4)), ("b", slice(4, 12)), ("pooled", slice(0, 12))):
        placed = sorts.piles[rows] != UNPLACED
        assert np.diag(counts[name].both).tolist() == placed.sum(axis=0).tolist()


def test_the_populations_add_up_to_everybody():
    counts = counts_by_population(some_sorts(missing=0.1))
    for kind in ("together", "both"):
        parts = getattr(counts["a"], kind) + getattr(counts["b"], kind)
        assert (getattr(counts["pooled"], kind) == parts).all()


def test_plain_distances_are_the_share_of_everybody_who_kept_two_terms_apart():
    sorts = some_sorts(missing=0.1)
    found = chart_distances(counts_by_population(sorts), "pooled", "plain")
    assert found.terms == sorts.terms
    assert (np.round(1 - shares_slowly(sorts.piles), 12) == found.D).all()


def test_equal_weights_average_the_populations():
    sorts = some_sorts()
    parts = [shares_slowly(sorts.piles[:4]), shares_slowly(sorts.piles[4:])]
    expected = np.round(1 - (parts[0] + parts[1]) / 2, 12)
    assert (expected == chart_distances(counts_by_population(sorts), "pooled", "equal").D).all()


@pytest.mark.parametrize("weights", ["plain", "equal"])
def test_the_chart_of_one_population_counts_only_its_people(weights):
    sorts = some_sorts()
    found = chart_distances(counts_by_population(sorts), "b", weights)
    assert (np.round(1 - shares_slowly(sorts.piles[4:]), 12) == found.D).all()


def test_equal_weights_do_not_depend_on_the_order_in_which_populations_are_read():
    counts = counts_by_population(some_sorts(11, populations=tuple("abcabcabcabc")))
    backwards = dict(reversed(counts.items()))
    one, other = (chart_distances(each, "pooled", "equal").D for each in (counts, backwards))
    assert (one == other).all()


def test_unknown_weights_are_refused():
    with pytest.raises(ValueError, match="'plain' or 'equal', not 'heavy'"):
        chart_distances(counts_by_population(some_sorts()), "pooled", "heavy")


def test_populations_counted_on_other_terms_are_not_averaged():
    counts = counts_by_population(some_sorts())
    fewer = counts["b"].on("abcd")
    with pytest.raises(DifferentTerms, match="only counts of a has 'e'"):
        chart_distances({**counts, "b": fewer}, "pooled", "equal")


def test_a_pair_that_nobody_placed_is_named():
    piles = np.array([[0, UNPLACED, 1], [UNPLACED, 0, 1]])
    sorts = Sorts(("p", "q"), ("a", "a"), Terms(["dill", "smoke", "salt"]), piles)
    with pytest.raises(ValueError, match="nobody placed both 'dill' and 'smoke'"):
        chart_distances({"a": counts_of(sorts)}, "a", "plain")


@pytest.mark.parametrize("weights", ["plain", "equal"])
@pytest.mark.parametrize("source", ["pooled", "a"])
def test_piles_without_ids_have_the_distances_of_the_same_sorts(source, weights):
    sorts = some_sorts(missing=0.1, seed=8)
    found = chart_dissimilarity(sorts.piles, sorts.populations, source, weights)
    expected = chart_distances(counts_by_population(sorts), source, weights).D
    assert (found == expected).all()
