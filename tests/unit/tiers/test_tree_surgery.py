"""Terms taken off a tree and put elsewhere: definitions on cophenetic heights, bad input."""

import numpy as np
import pytest
from felloe.ground.groups.linkage import build_tree
from felloe.ground.groups.tree import Tree
from felloe.ground.terms import DifferentTerms, Terms
from felloe.tiers.tree_surgery import GrowingTree, pruned

TERMS = Terms("abcdefghijklmn")


def random_tree(seed):
    rng = np.random.default_rng(seed)
    D = np.triu(rng.integers(1, 40, (14, 14)) / 40, 1)
    return Tree(TERMS, build_tree(D + D.T, "average"))


def heights(tree, terms=TERMS):
    """The heights at which some terms join."""
    return tree.cophenetic().on(terms).D


@pytest.mark.parametrize("seed", range(6))
def test_an_untouched_tree_comes_back_as_it_was(seed):
    tree = random_tree(seed)
    assert heights(GrowingTree(tree).tree()) == pytest.approx(heights(tree))


@pytest.mark.parametrize("seed", range(6))
def test_pruning_changes_no_height_among_the_terms_that_stay(seed):
    tree = random_tree(seed)
    kept = np.random.default_rng(seed).random(14) < 0.6
    kept[:2] = True
    staying = [term for term, stays in zip(TERMS, kept, strict=True) if stays]
    found = pruned(tree, staying)
    assert list(found.terms) == staying
    assert heights(found, staying) == pytest.approx(heights(tree, staying))


def test_pruning_down_to_one_term_leaves_no_merge():
    assert pruned(random_tree(0), ["f"]).Z.shape == (0, 4)


def test_a_term_that_is_not_on_the_tree_cannot_be_kept():
    with pytest.raises(DifferentTerms, match="'zz'"):
        pruned(random_tree(0), ["a", "zz"])


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("height", [0.0, 0.4, 9.0])
def test_heights_never_fall_after_a_graft(seed, height):
    growing = GrowingTree(random_tree(seed))
    growing.prune("d")
    growing.graft("d", growing.node_of(["h"]), height)
    Z = growing.tree().Z
    assert (np.diff(Z[:, 2]) >= 0).all()
    below = np.concatenate([np.zeros(14), Z[:, 2]])
    assert (below[Z[:, :2].astype(int)] <= Z[:, 2:3]).all()


@pytest.mark.parametrize("seed", range(6))
def test_a_graft_changes_no_height_among_the_other_terms(seed):
    tree = random_tree(seed)
    growing = GrowingTree(tree)
    growing.prune("d")
    growing.graft("d", growing.node_of(["h"]), 0.5)
    others = [term for term in TERMS if term != "d"]
    assert heights(growing.tree(), others) == pytest.approx(heights(tree, others))


def test_a_graft_beside_a_group_makes_a_branch_of_both():
    tree = random_tree(1)
    group = tree.cut(4).members(0)
    outside = next(term for term in TERMS if term not in group)
    growing = GrowingTree(tree)
    growing.prune(outside)
    growing.graft(outside, growing.node_of(group), 0.2)
    found = growing.tree()
    sets = [{found.terms[place] for place in np.flatnonzero(row)} for row in found.members()]
    assert set(group) in sets
    assert {*group, outside} in sets


def test_a_graft_at_the_root_joins_above_everything():
    growing = GrowingTree(random_tree(2))
    growing.prune("a")
    growing.graft("a", growing.root, 3.0)
    assert (heights(growing.tree())[0, 1:] == 3.0).all()


def test_terms_that_are_no_branch_are_refused():
    Z = np.array([[0, 1, 1, 2], [2, 3, 2, 2], [4, 5, 3, 4]], dtype=float)
    with pytest.raises(ValueError, match=r"'a', 'c'.* not one branch"):
        GrowingTree(Tree(Terms("abcd"), Z)).node_of(["c", "a"])


def test_the_last_term_stays_on_the_tree():
    growing = GrowingTree(Tree(Terms("ab"), np.array([[0, 1, 1, 2]], dtype=float)))
    growing.prune("a")
    with pytest.raises(ValueError, match="last term"):
        growing.prune("b")
