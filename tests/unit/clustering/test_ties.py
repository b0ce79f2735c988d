"""The tie audit against published numbers of trees, and data with and without ties."""

import numpy as np
import pytest
from felloe.clustering.replicates.replicate_trees import best_jaccard, clade_hashes
from felloe.clustering.ties import audit_ties, held_share, leaving_share, named, reorder
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import build_tree, cophenetic, cut, members
from felloe.ground.terms import Terms
from reference_distances import distances


def orders_of(n_terms, number, seed=1):
    rng = np.random.default_rng(seed)
    return [rng.permutation(n_terms) for _ in range(number)]


def audit_of(D, method, orders, classes, subclasses):
    terms = Terms(f"t{one:03d}" for one in range(len(D)))
    return audit_ties(Distances(terms, D), method, orders, classes, subclasses)


@pytest.mark.parametrize(("method", "trees"), [("average", 1), ("single", 1), ("complete", 4)])
def test_numbers_of_trees_of_the_kinship_matrix(reference, method, trees):
    # the textbook matrix over 200 to 300 input orders, found independently of this project
    D, _ = distances(reference, "kin_textbook_matrix")
    audit = audit_of(D, method, orders_of(15, 300), 3, 6)
    assert audit.distinct_trees == trees
    assert audit.distinct_values == 36
    assert audit.pairs == 105


def test_data_without_ties_give_one_tree():
    corner = np.triu(np.random.default_rng(2).random((20, 20)), 1)
    audit = audit_of(corner + corner.T, "average", orders_of(20, 30), 4, 8)
    assert audit.distinct_trees == audit.distinct_mergings == 1
    assert not audit.term_share.any()
    assert audit.rand_least == 1.0
    assert (audit.node_share == 1.0).all()


def test_a_term_between_two_equal_groups_depends_on_the_order():
    # a term as far from one pair as from the other, all else clear
    D = np.full((5, 5), 0.9)
    D[0, 1] = D[1, 0] = D[2, 3] = D[3, 2] = 0.1
    D[4, :4] = D[:4, 4] = 0.5
    np.fill_diagonal(D, 0.0)
    audit = audit_of(D, "average", orders_of(5, 200), 2, 3)
    assert audit.distinct_trees > 1
    assert 0.3 < audit.term_share[4] < 0.7
    assert not audit.term_share[:4].any()


def test_reordered_trees_are_numbered_like_the_terms():
    corner = np.triu(np.random.default_rng(3).random((9, 9)), 1)
    D = corner + corner.T
    merges, joined = reorder(D, "average", orders_of(9, 4))
    expected = np.round(cophenetic(build_tree(D, "average")), 9)
    assert joined == [named(expected)] * 4
    assert named(expected + 1e-9) != named(expected)
    assert merges.shape == (4, 8, 2)


def test_clades_are_held_by_the_trees_in_which_they_are_found_again():
    rng = np.random.default_rng(8)
    corner = np.triu(rng.integers(1, 4, (12, 12)), 1).astype(float)
    D = corner + corner.T
    merges, _ = reorder(D, "average", orders_of(12, 25))
    canonical = build_tree(D, "average")
    own = clade_hashes(canonical[None, :, :2].astype(int))[0]
    slow = (best_jaccard(merges, members(canonical)[:-1]) == 1.0).mean(axis=0)
    found = held_share(clade_hashes(merges), own)
    assert found.tolist() == [*slow.tolist(), 1.0]
    assert 0 < slow.max() < 1  # ties make some clades come and go


def test_leaving_counts_the_orders_that_move_a_term():
    reference = np.array([0, 0, 0, 1, 1, 1])
    labels = np.array([[0, 0, 0, 1, 1, 1], [1, 1, 1, 0, 0, 0], [0, 0, 1, 1, 1, 1]])
    # numbering does not count; the third partition moves the third term
    assert leaving_share(labels, reference).tolist() == [0, 0, 1 / 3, 0, 0, 0]


def test_the_audit_does_not_change_the_tree():
    corner = np.triu(np.random.default_rng(4).integers(1, 4, (12, 12)), 1).astype(float)
    D = corner + corner.T
    before = build_tree(D, "complete")
    audit_of(D, "complete", orders_of(12, 20), 3, 5)
    assert np.array_equal(before, build_tree(D, "complete"))
    assert len(np.unique(cut(before, 3))) == 3
