"""Disagreement of many people, counted without a row of pairs for each."""

import numpy as np
import pytest
from felloe.foresight.assumptions import Habits, even_truth
from felloe.foresight.disagreement import mirkin_of_many
from felloe.foresight.sorters import drawn_sorts, least_seen
from felloe.ground.people.pairs import mirkin_distances, pair_vectors


def people(each, n_people=25, n_terms=30):
    shown = least_seen(np.random.default_rng(1), n_people, n_terms, each)
    return drawn_sorts(np.random.default_rng(2), even_truth(n_terms, 5, 2), Habits(0.5, 0.3), shown)


@pytest.mark.parametrize("each", [30, 20, 12, 4])
def test_it_is_the_dossiers_own_distance(each):
    piles = people(each)
    prior = None if each == 30 else 1.0
    expected = mirkin_distances(pair_vectors(piles, prior))
    np.testing.assert_allclose(mirkin_of_many(piles), expected, atol=1e-6)


def test_by_definition_pair_by_pair():
    piles = people(20, n_people=6)
    found = mirkin_of_many(piles)
    for g, one in enumerate(piles):
        for h, other in enumerate(piles):
            both = [t for t in range(30) if one[t] >= 0 and other[t] >= 0]
            pairs = [(a, b) for n, a in enumerate(both) for b in both[n + 1 :]]
            apart = sum((one[a] == one[b]) != (other[a] == other[b]) for a, b in pairs)
            assert found[g, h] == pytest.approx(apart / len(pairs) * 435)
