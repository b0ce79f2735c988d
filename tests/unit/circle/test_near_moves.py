"""Tours improved by moves to near terms alone, beside those of all moves."""

from itertools import product

import numpy as np
import pytest
from felloe.circle.ring import free_tour
from felloe.circle.ring.free_tour import improved, length, nearest_neighbours, shortest_found
from felloe.circle.ring.near_moves import LONGEST_SEGMENT, improved_nearby, near_terms
from felloe.ground.ordering.circular_order import whole_distances


def costs(seed, n):
    points = np.random.default_rng(seed).random((n, 2))
    return whole_distances(
        np.round(np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1)), 12)
    )


def moved(tour):
    """Every tour that one reversal or moved segment makes of another, with the ends it joins."""
    n = len(tour)
    for i in range(n):
        for j in range(i + 2, n + 1):
            pairs = (tour[i - 1], tour[j - 1]), (tour[i], tour[j % n])
            ends = [*pairs, *(pair[::-1] for pair in pairs)]
            yield tour[:i] + tour[i:j][::-1] + tour[j:], ends
    for size, start in product(range(1, LONGEST_SEGMENT + 1), range(n)):
        turned = tour[start:] + tour[:start]
        segment, rest = turned[:size], turned[size:]
        for cut, one in product(range(1, len(rest)), (segment, segment[::-1])):
            yield rest[:cut] + one + rest[cut:], [(one[0], rest[cut - 1]), (one[-1], rest[cut])]


def edges(tour):
    return {frozenset(pair) for pair in zip(tour, tour[1:] + tour[:1])}


@pytest.mark.parametrize("seed", range(4))
def test_near_terms_are_the_nearest_others_by_a_sort_of_each_row(seed):
    cost = costs(seed, 9)
    cost[0, 3] = cost[3, 0] = cost[0, 5]
    for term, row in enumerate(near_terms(cost, 4)):
        others = sorted((cost[term, one], one) for one in range(9) if one != term)
        assert row.tolist() == [one for _, one in others[:4]]


@pytest.mark.parametrize("seed", range(6))
def test_where_all_terms_are_near_tours_are_those_of_all_moves(seed):
    cost = costs(seed, 30)
    start = nearest_neighbours(cost, seed)
    found = improved_nearby(cost, start, near_terms(cost, 29))
    assert edges(found.tolist()) == edges(improved(cost, start).tolist())


@pytest.mark.parametrize("seed", range(6))
def test_no_move_that_joins_near_terms_shortens_an_improved_tour(seed):
    cost = costs(seed, 13)
    near = near_terms(cost, 3)
    start = np.random.default_rng(seed).permutation(13)
    tour = improved_nearby(cost, start, near).tolist()
    assert sorted(tour) == list(range(13))
    assert length(cost, np.array(tour)) < length(cost, start)
    for other, ends in moved(tour):
        if any(one in near[end] for end, one in ends):
            assert length(cost, np.array(other)) >= length(cost, np.array(tour))


def test_beyond_the_size_where_all_moves_are_tried_tours_are_nearly_as_short(monkeypatch):
    cost = costs(3, 120)
    first, rng = nearest_neighbours(cost, 0), np.random.default_rng
    every = length(cost, shortest_found(cost, first, rng(1), 4))
    monkeypatch.setattr(free_tour, "ALL_MOVES_UP_TO", 100)
    assert length(cost, shortest_found(cost, first, rng(1), 4)) <= 1.02 * every
