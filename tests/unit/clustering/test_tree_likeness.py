"""Delta scores against the definition and values computed from published matrices."""

from itertools import combinations

import numpy as np
import pytest
from felloe.clustering.tree_likeness import delta_scores
from felloe.ground.groups.linkage import build_tree, cophenetic
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
