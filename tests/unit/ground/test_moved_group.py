"""Circles among groups whose children stand in any order: paths against every order tried."""

from itertools import pairwise, permutations

import numpy as np
import pytest
from felloe.ground.ordering.circular_order import scaled, shortest_length
from felloe.ground.ordering.moved_group import GroupedCircle, key_of
from felloe.ground.ordering.tree import Node


def leaf(number):
    return Node(leaf=number)


def group(*numbers):
    return Node(tuple(map(leaf, numbers))) if len(numbers) > 1 else leaf(*numbers)


def costs(n, seed):
    whole = np.triu(np.random.default_rng(seed).integers(1, 40, (n, n)), 1)
    return (whole + whole.T).astype(float)


def orders(node):
    """Every order of the leaves below a node that keeps its parts together."""
    if node.leaf >= 0:
        yield (node.leaf,)
        return
    for parts in permutations(node.children):
        found = [()]
        for part in parts:
            found = [(*one, *more) for one in found for more in orders(part)]
        yield from found


def plain_circle(root, cost):
    """The shortest of all circles."""
    return min(
        sum(cost[a, b] for a, b in zip(order, (*order[1:], order[0]), strict=True))
        for order in orders(root)
    )


@pytest.mark.parametrize("seed", range(6))
def test_paths_through_a_group_are_the_cheapest_of_every_order(seed):
    cost = costs(7, seed)
    node = Node((group(0, 1, 2), leaf(3), Node((group(4, 5), leaf(6)))))
    found = GroupedCircle(Node((node, leaf(0))), cost).group(node)
    plain = np.full((7, 7), np.inf)
    for order in orders(node):
        length = sum(cost[a, b] for a, b in pairwise(order))
        plain[order[0], order[-1]] = min(plain[order[0], order[-1]], length)
    assert np.array_equal(found.paths, plain[np.ix_(found.leaves, found.leaves)])


MOVES = {
    "to another group": [group(0, 1), group(2, 3), Node((leaf(4), group(5, 6)))],
    "within its group": [group(0, 1, 2), Node((group(4, 3), group(5, 6)))],
}
AFTER = {
    "to another group": (3, [group(0, 1, 3), leaf(2), Node((leaf(4), group(5, 6)))]),
    "within its group": (3, [group(0, 1, 2), Node((leaf(4), group(5, 6, 3)))]),
}


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("case", MOVES)
def test_a_circle_after_a_move_is_the_shortest_of_all_circles(case, seed):
    cost, (moved, after) = costs(7, seed), AFTER[case]
    circle = GroupedCircle(Node(tuple(MOVES[case])), cost)
    root = Node(tuple(after))
    found = circle.length_after(root, moved)
    assert found == plain_circle(root, cost)
    whole = scaled(cost)
    assert whole.length(found * whole.denominator) == shortest_length(root, whole)


def test_a_group_that_has_gone_is_not_guessed_at():
    circle = GroupedCircle(Node((leaf(0), group(1, 2), group(3, 4))), costs(5, 0))
    assert circle.length_after(Node((group(0, 1, 2), group(3, 4))), 0) is None
    # as many groups as before, but others
    assert circle.length_after(Node((group(0, 1), leaf(2), group(3, 4))), 0) is None


def test_tables_that_are_too_large_are_not_made(monkeypatch):
    monkeypatch.setattr("felloe.ground.ordering.moved_group.MOST_WAYS", 10)
    circle = GroupedCircle(Node(tuple(MOVES["to another group"])), costs(7, 0))
    assert circle.length_after(Node(tuple(AFTER["to another group"][1])), 3) is None


def test_groups_are_known_again_whatever_the_order_of_their_children():
    assert key_of(group(1, 2)) == key_of(group(2, 1))
    assert key_of(group(1, 2)) != key_of(Node((leaf(1), group(2, 3))))
