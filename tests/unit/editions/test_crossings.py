"""Crossings of the ways of terms, counted one pair of ways at a time and over all orders."""

from collections import Counter
from functools import cache
from itertools import permutations

import numpy as np
import pytest
from felloe.editions.columns import crossings
from felloe.editions.columns.crossings import (
    best_order,
    costs_beside,
    count_crossings,
    fewest_crossings,
)


def slowly(shared, older, newer):
    """Draw every term's way and look at each two of them."""
    ways = [
        (older.index(i), newer.index(j))
        for i in range(len(shared))
        for j in range(len(shared[0]))
        for _ in range(shared[i][j])
    ]
    crossed = 0
    for at, (left, right) in enumerate(ways):
        for other_left, other_right in ways[:at]:
            if (left < other_left and right > other_right) or (
                left > other_left and right < other_right
            ):
                crossed += 1
    return crossed


def least(shared):
    rows, columns = len(shared), len(shared[0])
    return min(
        slowly(shared, older, newer)
        for older in permutations(range(rows))
        for newer in permutations(range(columns))
    )


def tables(seed, count, most=4, rate=0.9):
    rng = np.random.default_rng(seed)
    return [rng.poisson(rate, rng.integers(1, most + 1, 2)) for _ in range(count)]


def least_by_rows(shared):
    """Try all orders of the rows; beside each, build the order of the columns from its end."""
    rows, columns = len(shared), len(shared[0])
    ways = [(i, j) for i in range(rows) for j in range(columns) for _ in range(shared[i][j])]
    fewest = []
    for order in permutations(range(rows)):
        costs = Counter()
        for (i, j), (k, l) in permutations(ways, 2):
            costs[j, l] += j != l and order.index(i) > order.index(k)

        @cache
        def rest(left, costs=costs):
            return min((sum(costs[j, l] for l in left) + rest(left - {j}) for j in left), default=0)

        fewest.append(rest(frozenset(range(columns))))
        rest.cache_clear()
    return min(fewest)


@pytest.mark.parametrize("size", [(5, 7), (7, 5), (4, 8), (3, 9)])
def test_no_order_of_a_larger_table_has_fewer(size):
    shared = np.random.default_rng(sum(size) * size[0]).poisson(0.5, size)
    found = fewest_crossings(shared)
    few = shared if size[0] <= size[1] else shared.T
    assert found.exact
    assert found.after == least_by_rows(few.tolist())
    assert found.after == slowly(shared.tolist(), found.older, found.newer)


def test_two_ways_cross_where_they_change_sides():
    assert count_crossings([[0, 1], [1, 0]], (0, 1), (0, 1)) == 1
    assert count_crossings([[0, 1], [1, 0]], (0, 1), (1, 0)) == 0
    assert count_crossings([[2, 3], [4, 5]], (0, 1), (0, 1)) == 3 * 4


def test_terms_of_one_class_never_cross():
    assert count_crossings([[3, 4, 5]], (0,), (2, 0, 1)) == 0
    assert count_crossings([[3], [4], [5]], (2, 0, 1), (0,)) == 0


@pytest.mark.parametrize("seed", range(5))
def test_the_count_is_that_of_every_two_ways(seed):
    rng = np.random.default_rng(seed)
    for shared in tables(seed, 10, most=6):
        older = tuple(rng.permutation(shared.shape[0]).tolist())
        newer = tuple(rng.permutation(shared.shape[1]).tolist())
        assert count_crossings(shared, older, newer) == slowly(shared.tolist(), older, newer)


@pytest.mark.parametrize("seed", range(5))
def test_no_order_of_a_small_table_has_fewer(seed):
    for shared in tables(10 + seed, 8):
        found = fewest_crossings(shared)
        assert found.after == least(shared.tolist())
        assert found.after == slowly(shared.tolist(), found.older, found.newer)
        assert found.exact


@pytest.mark.parametrize("seed", range(5))
def test_one_side_is_put_into_its_best_order_beside_the_other(seed):
    rng = np.random.default_rng(20 + seed)
    shared = rng.poisson(0.8, (5, 6))
    older = tuple(rng.permutation(5).tolist())
    found = best_order(costs_beside(shared, older))
    every = [slowly(shared.tolist(), older, newer) for newer in permutations(range(6))]
    assert slowly(shared.tolist(), older, found) == min(every)


def test_the_least_beside_an_order_is_a_bound():
    for shared in tables(30, 10):
        orders = np.array(list(permutations(range(shared.shape[0]))))
        bounds = crossings.least_beside(shared, orders)
        for order, bound in zip(orders.tolist(), bounds.tolist(), strict=True):
            every = [
                slowly(shared.tolist(), tuple(order), newer)
                for newer in permutations(range(shared.shape[1]))
            ]
            assert bound <= min(every)


def test_the_search_finds_the_best_order_of_most_small_tables():
    # tables as editions give them: most terms stay. The search alone, no order tried through
    rng = np.random.default_rng(40)
    missed = 0
    for _ in range(20):
        shared = rng.poisson(0.4, (4, 4)) + np.diag(rng.integers(2, 6, 4))[rng.permutation(4)]
        order = crossings.taking_turns(shared)
        missed += count_crossings(shared, *order) > least(shared.tolist())
    assert missed <= 2


def test_given_orders_are_counted_before_and_never_made_worse():
    rng = np.random.default_rng(50)
    for size in ((9, 11), (13, 14)):
        shared = rng.poisson(0.2, size) + 4 * np.eye(*size, dtype=int)[rng.permutation(size[0])]
        found = fewest_crossings(shared)
        given = tuple(range(size[0])), tuple(range(size[1]))
        assert found.before == slowly(shared.tolist(), *given)
        assert found.after == slowly(shared.tolist(), found.older, found.newer)
        assert found.after <= found.before
        assert sorted(found.older) == list(given[0])
        assert sorted(found.newer) == list(given[1])
        assert not found.exact


def test_classes_that_stayed_whole_cross_nowhere_however_many():
    places = np.random.default_rng(60).permutation(15)
    shared = 7 * np.eye(15, dtype=int)[places]
    found = fewest_crossings(shared)
    assert found.before > 0
    assert found.after == 0
    assert found.exact  # there is nothing fewer than none


@pytest.mark.parametrize("size", [(1, 1), (1, 5), (5, 1)])
def test_one_class_needs_no_order(size):
    found = fewest_crossings(np.full(size, 3))
    assert (found.before, found.after, found.exact) == (0, 0, True)


def test_the_same_table_gives_the_same_orders():
    shared = np.random.default_rng(70).poisson(0.7, (9, 10))
    assert fewest_crossings(shared) == fewest_crossings(shared.copy())
