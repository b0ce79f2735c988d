"""Halves of some people: what no result may depend on, and what cannot be told from them."""

import math

import numpy as np
from felloe.ground.people.halves import divided_correlations, random_groups, spearman_brown
from felloe.ground.people.pairs import pair_vectors


def test_no_result_depends_on_the_memory_that_is_used_at_a_time(monkeypatch):
    rng = np.random.default_rng(1)
    vectors, groups = pair_vectors(rng.integers(0, 3, (9, 7))), random_groups(rng, 9, 4, 23)
    whole = divided_correlations(vectors, groups)
    monkeypatch.setattr("felloe.ground.people.halves.CHUNK", 4)
    np.testing.assert_array_equal(divided_correlations(vectors, groups), whole)


def test_halves_that_contradict_each_other_in_full_have_no_reliability():
    assert math.isnan(spearman_brown(-1.0))
