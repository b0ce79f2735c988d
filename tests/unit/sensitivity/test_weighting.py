"""Other weightings of the sorts against their definitions."""

import numpy as np
import pytest
from felloe.ground.people.sorts import Sorts
from felloe.ground.terms import Terms
from felloe.matrices.distances import sorts_distances
from felloe.sensitivity import weighting as sensitivity_weighting
from felloe.sensitivity.weighting import WEIGHTINGS, weighted_distances
from sorting_examples import patchy, planted_piles, populations_of

PILES, _ = planted_piles(24, 4, 5, 0.3, seed=41)
POPULATIONS = populations_of(24)


def sorts_of(piles, populations):
    people = tuple(f"p{one:02d}" for one in range(len(piles)))
    terms = Terms(f"t{one:02d}" for one in range(piles.shape[1]))
    return Sorts(people, tuple(populations), terms, piles)


def weighted_dissimilarity(piles, populations, weighting):
    return weighted_distances(sorts_of(piles, populations), weighting).D


def slow_similarity(piles, weight_of):
    """Mean over participants of what each gives a pair, one pair at a time."""
    n_terms = piles.shape[1]
    total, counted = np.zeros((n_terms, n_terms)), np.zeros((n_terms, n_terms))
    for sort in piles:
        for i in range(n_terms):
            for j in range(n_terms):
                if i != j and sort[i] >= 0 and sort[j] >= 0:
                    total[i, j] += weight_of(sort, i, j)
                    counted[i, j] += 1
    return total / np.maximum(counted, 1)


def information(sort, i, j):
    if sort[i] != sort[j]:
        return 0.0
    size, placed = (sort == sort[i]).sum(), (sort >= 0).sum()
    return -np.log2(size * (size - 1) / (placed * (placed - 1)))


def standardised(sort, i, j):
    placed = np.flatnonzero(sort >= 0)
    pairs = [float(sort[a] == sort[b]) for a in placed for b in placed if a < b]
    return ((sort[i] == sort[j]) - np.mean(pairs)) / np.std(pairs)


@pytest.mark.parametrize("share", [0.0, 0.05])
@pytest.mark.parametrize(
    ("weighting", "weight_of"), [("information", information), ("standardised", standardised)]
)
def test_weightings_equal_their_definitions(weighting, weight_of, share):
    piles = patchy(PILES[:8], share, seed=42)
    similar = slow_similarity(piles, weight_of)
    apart = ~np.eye(20, dtype=bool)
    low, high = similar[apart].min(), similar[apart].max()
    expected = np.where(apart, (high - similar) / (high - low), 0.0)
    found = weighted_dissimilarity(piles, POPULATIONS[:8], weighting)
    assert found == pytest.approx(expected, abs=1e-9)


def test_plain_and_equal_groups_are_the_charts_own():
    for weighting, weights in (("plain", "plain"), ("equal_groups", "equal")):
        found = weighted_dissimilarity(PILES, POPULATIONS, weighting)
        expected = sorts_distances(sorts_of(PILES, POPULATIONS), "pooled", weights)
        assert np.array_equal(found, expected.D)


@pytest.mark.parametrize("weighting", WEIGHTINGS)
def test_the_numbering_of_piles_changes_nothing(weighting):
    renumbered = 7 * PILES + 3
    assert np.array_equal(
        weighted_dissimilarity(PILES, POPULATIONS, weighting),
        weighted_dissimilarity(renumbered, POPULATIONS, weighting),
    )


@pytest.mark.parametrize(
    ("weighting", "factor"), [("plain", 24 / 25), ("standardised", 1), ("information", 1)]
)
def test_a_participant_of_one_pile_changes_all_distances_alike(weighting, factor):
    # all in one pile says nothing about any pair
    more = np.vstack([PILES, np.zeros((1, 20), dtype=int)])
    before = weighted_dissimilarity(PILES, POPULATIONS, weighting)
    after = weighted_dissimilarity(more, [*POPULATIONS, "makers"], weighting)
    assert after == pytest.approx(factor * before, abs=1e-9)


def test_small_piles_tell_more():
    piles = np.array([[0, 0, 1, 1, 1, 1, 1, 1]])
    found = weighted_dissimilarity(piles, ["a"], "information")
    assert found[0, 1] < found[2, 3] < found[0, 2]


def test_an_unknown_weighting_is_refused():
    with pytest.raises(ValueError, match="unknown"):
        weighted_dissimilarity(PILES, POPULATIONS, "other")


@pytest.mark.parametrize("weighting", ["information", "standardised"])
def test_people_are_weighed_alike_however_many_are_read_at_once(weighting, monkeypatch):
    piles = patchy(PILES[:9], 0.3, seed=43)
    whole = weighted_dissimilarity(piles, POPULATIONS[:9], weighting)
    monkeypatch.setattr(sensitivity_weighting, "PAIRS_AT_ONCE", 2 * 190)  # two people of 20 terms
    assert np.array_equal(weighted_dissimilarity(piles, POPULATIONS[:9], weighting), whole)
