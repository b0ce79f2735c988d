"""Delta scores against the definition and values computed from published matrices."""

from itertools import combinations

import numpy as np
import pytest
from felloe.clustering import tree_likeness
from felloe.clustering.tree_likeness import (
    DRAWS,
    delta_error,
    delta_of_terms,
    delta_scores,
    others_drawn,
    sampled_scores,
)
from felloe.clustering.words import DELTA_SAMPLE
from felloe.ground.groups.linkage import build_tree, cophenetic
from felloe.ground.randomness import Streams
from reference_distances import distances


def random_distances(n_terms, seed):
    corner = np.triu(np.random.default_rng(seed).random((n_terms, n_terms)), 1)
    return corner + corner.T


def slow_delta(D):
    """Holland et al. (2002), equation 1, one set of four terms at a time."""
    total, per_term, sets = 0.0, np.zeros(len(D)), np.zeros(len(D))
    for i, j, k, m in combinations(range(len(D)), 4):
        sums = sorted([D[i, j] + D[k, m], D[i, k] + D[j, m], D[i, m] + D[j, k]])
        delta = (sums[2] - sums[1]) / (sums[2] - sums[0]) if sums[2] - sums[0] > 1e-9 else 0.0
        total += delta
        per_term[[i, j, k, m]] += delta
        sets[[i, j, k, m]] += 1
    return total / (sets.sum() / 4), per_term / sets


@pytest.mark.parametrize("seed", range(3))
def test_delta_equals_the_slow_loop(seed):
    D = np.round(random_distances(9, seed), 1)
    mean, per_term = delta_scores(D)
    slow_mean, slow_per_term = slow_delta(D)
    assert mean == pytest.approx(slow_mean, abs=1e-12)
    assert per_term == pytest.approx(slow_per_term, abs=1e-12)


def test_the_mean_over_terms_is_the_mean_over_sets():
    mean, per_term = delta_scores(random_distances(12, 4))
    assert per_term.mean() == pytest.approx(mean, abs=1e-12)


def test_distances_of_a_tree_score_nothing():
    joined = cophenetic(build_tree(random_distances(12, 5), "average"))
    assert delta_scores(joined)[0] == pytest.approx(0.0, abs=1e-9)


def test_delta_of_the_colours_and_of_the_kinship_matrix(reference):
    # computed independently of this project from Ekman (1954) and the textbook kinship matrix
    # by the definition of Holland et al. (2002): 0.280; 0.377, worst term cousin 0.447
    D, _ = distances(reference, "ekman")
    assert delta_scores(D)[0] == pytest.approx(0.280, abs=5e-4)
    D, terms = distances(reference, "kin_textbook_matrix")
    mean, per_term = delta_scores(D)
    assert mean == pytest.approx(0.377, abs=5e-4)
    assert terms[int(np.argmax(per_term))] == "cousin"
    assert per_term.max() == pytest.approx(0.447, abs=5e-4)


def test_three_terms_are_too_few():
    with pytest.raises(ValueError, match="four terms"):
        delta_scores(random_distances(3, 6))


def test_sampled_scores_are_unbiased_within_the_error_that_they_print():
    D = random_distances(14, 6)
    true = delta_scores(D)[1]
    runs = [sampled_scores(D, Streams(seed, "delta"), 400) for seed in range(30)]
    off = np.array([(found - true) / error for found, error in runs])
    # 420 standardised errors: their mean has a standard deviation of about 0.05
    assert abs(off.mean()) < 0.2
    assert 0.9 < off.std() < 1.1


def test_every_set_of_three_others_is_drawn_alike():
    drawn = np.sort(others_drawn(np.random.default_rng(7), 2, 6, 20_000), axis=0).T
    sets, counts = np.unique(drawn, axis=0, return_counts=True)
    assert sets.tolist() == [list(three) for three in combinations([0, 1, 3, 4, 5], 3)]
    assert np.abs(counts - 2000).max() < 5 * 2000**0.5


def test_sets_are_drawn_above_the_stated_number_of_terms_only(monkeypatch):
    D, streams = random_distances(12, 8), Streams(1, "delta")
    exact = delta_scores(D)[1]
    assert np.array_equal(delta_of_terms(D, streams), exact)
    assert delta_error(12) is None
    monkeypatch.setattr(tree_likeness, "MOST_TERMS", 11)
    drawn = delta_of_terms(D, streams)
    assert not np.array_equal(drawn, exact)
    assert np.abs(drawn - exact).max() < 5 * delta_error(12)
    assert f"{DRAWS:,}" in DELTA_SAMPLE  # the sentence tells how many


def test_no_term_s_error_is_larger_than_the_one_that_is_told():
    for D in (random_distances(9, 9), np.round(random_distances(9, 9))):
        assert sampled_scores(D, Streams(2, "delta"), DRAWS)[1].max() <= delta_error(10**4)
