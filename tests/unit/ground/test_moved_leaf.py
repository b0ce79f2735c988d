"""The circle after a leaf has moved: whatever stands anywhere, the circle found anew."""

import numpy as np
import pytest
from felloe.ground.groups.linkage import build_tree
from felloe.ground.groups.tree import Tree
from felloe.ground.ordering.circular_order import circular_order, scaled, shortest_length
from felloe.ground.ordering.moved_leaf import BranchCosts, MovedLeaf
from felloe.ground.ordering.tree import from_linkage
from felloe.ground.terms import Terms
from felloe.tiers.tree_surgery import GrowingTree

METHODS = ["single", "average", "complete", "weighted"]


def fractions(rng, n):
    most = int(rng.integers(1, 12))
    D = np.triu(rng.integers(0, most + 1, (n, n)) / most, 1)
    return np.round(D + D.T, 12)


def irregular(rng, n):
    D = np.triu(rng.random((n, n)), 1)
    return np.round(D + D.T, 12)


def everywhere(tree, D):
    """Yield the length found and the plain one, for every leaf beside every node."""
    whole, below, n = scaled(D), tree.members(), len(D)
    costs = BranchCosts(tree.Z, whole.whole)
    for leaf in range(n):
        moved = MovedLeaf(costs, leaf)
        for node in range(2 * n - 1):
            inside = [node] if node < n else np.flatnonzero(below[node - n]).tolist()
            if leaf not in inside:
                assert costs.node_of(inside) == node
                anew = GrowingTree(tree)
                anew.prune(tree.terms[leaf])
                beside = anew.node_of([tree.terms[one] for one in inside])
                anew.graft(tree.terms[leaf], beside, 0.5)
                plain = shortest_length(from_linkage(anew.tree().Z), whole)
                yield whole.length(moved.length_beside(node)), plain


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("make", [fractions, irregular])
@pytest.mark.parametrize("seed", range(5))
def test_a_leaf_beside_every_node_gives_the_circle_found_anew(make, seed, method):
    rng = np.random.default_rng(seed)
    D = make(rng, 2 + 2 * seed + int(rng.integers(2)))
    tree = Tree(Terms(f"t{place:02d}" for place in range(len(D))), build_tree(D, method))
    found = list(everywhere(tree, D))
    assert found
    assert all(one == plain for one, plain in found)


@pytest.mark.parametrize("seed", range(4))
def test_the_shortest_circle_of_a_tree_is_the_one_known(seed):
    D = irregular(np.random.default_rng(seed), 30)
    Z, whole = build_tree(D, "average"), scaled(D)
    assert whole.length(BranchCosts(Z, whole.whole).shortest) == shortest_length(
        from_linkage(Z), whole
    )


@pytest.mark.parametrize("seed", range(4))
def test_path_and_way_around_make_the_shortest_circle_at_every_branch(seed):
    D = fractions(np.random.default_rng(seed), 24)
    costs = BranchCosts(build_tree(D, "average"), scaled(D).whole)
    for node in range(24, 47):
        left, right = (costs.branches[child].places for child in costs.children[node])
        whole = costs.branches[node].paths + costs.around[np.ix_(left, right)]
        assert whole.min() == costs.shortest


def test_the_length_of_a_drawn_order_lies_within_the_grid_of_the_length_in_whole_numbers():
    for make in (fractions, irregular):
        D = make(np.random.default_rng(1), 40)
        kept = from_linkage(build_tree(D, "average"))
        drawn = circular_order(kept, D, count=False).length
        assert shortest_length(kept, scaled(D)) == pytest.approx(drawn, abs=40 * 0.5e-9)
