"""Agreement of two trees, against general software and slow definitions."""

import itertools

import numpy as np
import pytest
from felloe.clustering.tree_similarity import (
    clades,
    compare_trees,
    joining_heights,
)
from published import Reference
from reference_distances import kinship_distances
from scipy.cluster.hierarchy import cophenet, linkage
from scipy.spatial.distance import squareform
from scipy.stats import spearmanr

reference = Reference().value


def kinship_heights(source):
    return joining_heights(linkage(squareform(kinship_distances(source)), "average"))


@pytest.fixture(scope="module")
def women_and_men():
    return compare_trees(kinship_heights("women_single"), kinship_heights("men_single"))


def test_cophenetic_correlation_between_kinship_trees_is_that_of_r_dendextend(women_and_men):
    expected = reference(
        "kin_women_single_vs_men_single", "cophenetic_correlation_between_trees_pearson"
    )
    assert women_and_men.cophenetic_correlation == pytest.approx(expected, abs=1e-9)


def test_bakers_gamma_with_equal_merges_as_one_stage_is_the_rank_correlation_r_gives(women_and_men):
    # R's dendextend breaks equal heights by its own order (its value is tie-dependent); the note
    # there names this quantity as the one that does not depend on it.
    expected = reference(
        "kin_women_single_vs_men_single", "cophenetic_correlation_between_trees_spearman"
    )
    assert women_and_men.bakers_gamma == pytest.approx(expected, abs=1e-9)


def test_robinson_foulds_of_kinship_trees_is_that_of_r_phangorn(women_and_men):
    assert women_and_men.robinson_foulds == reference(
        "kin_women_single_vs_men_single", "robinson_foulds_rooted"
    )


def test_cophenetic_correlation_of_the_first_sorts_is_that_of_r_dendextend():
    found = compare_trees(
        kinship_heights("women_first_of_two"), kinship_heights("men_first_of_two")
    )
    expected = reference(
        "kin_women_first_vs_men_first", "cophenetic_correlation_between_trees_pearson"
    )
    assert found.cophenetic_correlation == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("method", ["single", "complete", "average", "weighted", "ward"])
def test_joining_heights_are_those_scipy_gives(method):
    merges = linkage(np.random.default_rng(3).random((20, 4)), method)
    np.testing.assert_allclose(joining_heights(merges), squareform(cophenet(merges)), atol=5.1e-10)


@pytest.mark.parametrize("seed", range(4))
def test_bakers_gamma_is_the_rank_correlation_of_the_stages_of_two_binary_trees(seed):
    rng = np.random.default_rng(seed)
    merges = [linkage(rng.random((12, 3)), "average") for _ in range(2)]
    stages = []
    for tree in merges:  # the stage at which two terms combine, by the definition
        numbered = np.column_stack([tree[:, :2], np.arange(11.0), tree[:, 3]])
        stages.append(squareform(cophenet(numbered)))
    upper = np.triu_indices(12, 1)
    expected = spearmanr(stages[0][upper], stages[1][upper]).statistic
    found = compare_trees(*(joining_heights(tree) for tree in merges))
    assert found.bakers_gamma == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("seed", range(4))
def test_clades_of_a_tree_cut_down_are_the_clades_without_the_missing_terms(seed):
    rng = np.random.default_rng(seed)
    merges = linkage(rng.random((14, 3)), "average")
    kept = sorted(rng.choice(14, size=9, replace=False).tolist())
    members = [{i} for i in range(14)]
    expected = set()
    for left, right in merges[:, :2].astype(int):
        members.append(members[left] | members[right])
        left_over = frozenset(kept.index(term) for term in members[-1] if term in kept)
        if 1 < len(left_over) < len(kept):
            expected.add(left_over)
    assert clades(joining_heights(merges)[np.ix_(kept, kept)]) == expected


def test_a_tree_agrees_fully_with_itself():
    heights = joining_heights(linkage(np.random.default_rng(1).random((9, 2)), "average"))
    found = compare_trees(heights, heights)
    assert (found.cophenetic_correlation, found.bakers_gamma) == pytest.approx((1.0, 1.0))
    assert (found.robinson_foulds, found.robinson_foulds_share) == (0, 0.0)


def test_trees_without_a_common_clade_are_fully_apart():
    ladder = joining_heights(np.array([[0, 1, 1, 2], [2, 4, 2, 3], [3, 5, 3, 4.0]]))
    other = joining_heights(np.array([[2, 3, 1, 2], [1, 4, 2, 3], [0, 5, 3, 4.0]]))
    assert compare_trees(ladder, other).robinson_foulds_share == 1.0


def test_clades_are_nested_or_disjoint():
    found = clades(kinship_heights("women_single"))
    assert all(a <= b or b <= a or not a & b for a, b in itertools.combinations(found, 2))


def test_trees_of_two_terms_are_refused():
    with pytest.raises(ValueError, match="can't be compared"):
        compare_trees(np.zeros((2, 2)), np.zeros((2, 2)))
