"""Terms taken off a tree and put elsewhere: definitions on cophenetic heights, bad input."""

import numpy as np
import pytest
from felloe.ground.linkage import build_tree, cophenetic, cut, members
from felloe.tiers.tree_surgery import GrowingTree, pruned


def random_tree(seed, n=14):
    rng = np.random.default_rng(seed)
    D = np.triu(rng.integers(1, 40, (n, n)) / 40, 1)
    return build_tree(D + D.T, "average")


@pytest.mark.parametrize("seed", range(6))
def test_an_untouched_tree_comes_back_as_it_was(seed):
    Z = random_tree(seed)
    assert cophenetic(GrowingTree(Z).linkage()[1]) == pytest.approx(cophenetic(Z))


@pytest.mark.parametrize("seed", range(6))
def test_pruning_changes_no_height_among_the_terms_that_stay(seed):
    Z = random_tree(seed)
    kept = np.random.default_rng(seed).random(14) < 0.6
    kept[:2] = True
    assert cophenetic(pruned(Z, kept)) == pytest.approx(cophenetic(Z)[np.ix_(kept, kept)])


def test_pruning_down_to_one_term_leaves_no_merge():
    kept = np.zeros(14, dtype=bool)
    kept[5] = True
    assert pruned(random_tree(0), kept).shape == (0, 4)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("height", [0.0, 0.4, 9.0])
def test_heights_never_fall_after_a_graft(seed, height):
    tree = GrowingTree(random_tree(seed))
    tree.prune(3)
    tree.graft(3, tree.node_of([7]), height)
    _, Z = tree.linkage()
    assert (np.diff(Z[:, 2]) >= 0).all()
    below = np.concatenate([np.zeros(14), Z[:, 2]])
    assert (below[Z[:, :2].astype(int)] <= Z[:, 2:3]).all()


@pytest.mark.parametrize("seed", range(6))
def test_a_graft_changes_no_height_among_the_other_terms(seed):
    Z = random_tree(seed)
    tree = GrowingTree(Z)
    tree.prune(3)
    tree.graft(3, tree.node_of([7]), 0.5)
    others = np.delete(np.arange(14), 3)
    after = cophenetic(tree.linkage()[1])
    assert after[np.ix_(others, others)] == pytest.approx(cophenetic(Z)[np.ix_(others, others)])


def test_a_graft_beside_a_group_makes_a_branch_of_both():
    Z = random_tree(1)
    group = np.flatnonzero(cut(Z, 4) == cut(Z, 4)[0]).tolist()
    outside = next(i for i in range(14) if i not in group)
    tree = GrowingTree(Z)
    tree.prune(outside)
    tree.graft(outside, tree.node_of(group), 0.2)
    sets = [set(np.flatnonzero(row).tolist()) for row in members(tree.linkage()[1])]
    assert set(group) in sets
    assert {*group, outside} in sets


def test_a_graft_at_the_root_joins_above_everything():
    tree = GrowingTree(random_tree(2))
    tree.prune(0)
    tree.graft(0, tree.root, 3.0)
    joined = cophenetic(tree.linkage()[1])
    assert (joined[0, 1:] == 3.0).all()


def test_terms_that_are_no_branch_are_refused():
    Z = np.array([[0, 1, 1, 2], [2, 3, 2, 2], [4, 5, 3, 4]], dtype=float)
    with pytest.raises(ValueError, match="not one branch"):
        GrowingTree(Z).node_of([0, 2])


def test_the_last_term_stays_on_the_tree():
    tree = GrowingTree(np.array([[0, 1, 1, 2]], dtype=float))
    tree.prune(0)
    with pytest.raises(ValueError, match="last term"):
        tree.prune(1)
