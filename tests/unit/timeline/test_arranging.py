"""The order of classes and terms in the picture: crossings by brute force, few of them."""

from itertools import combinations, pairwise, permutations, product

import numpy as np
import pytest
from felloe.timeline.layout import arrange, crossings_of


def crossings_by_hand(columns, links):
    """Every two lines between the same columns, compared one by one."""
    ranks = [{name: i for i, name in enumerate(flat(column))} for column in columns]
    return sum(
        (ranks[at][a] - ranks[at][c]) * (ranks[at + 1][b] - ranks[at + 1][d]) < 0
        for at, pairs in enumerate(links)
        for (a, b), (c, d) in combinations(pairs, 2)
    )


def flat(column):
    return [name for _, names in column for name in names]


def drawn(seed, sizes, density=0.4):
    """Columns of bands of invented members, and lines between them."""
    rng = np.random.default_rng(seed)
    columns = [
        {f"band{b}": [f"m{at}-{b}-{i}" for i in range(size)] for b, size in enumerate(of_column)}
        for at, of_column in enumerate(sizes)
    ]
    members = [[name for names in column.values() for name in names] for column in columns]
    links = [
        [(a, b) for a, b in product(one, other) if rng.random() < density]
        for one, other in pairwise(members)
    ]
    return columns, links


@pytest.mark.parametrize("seed", range(5))
def test_crossings_are_counted_as_by_hand(seed):
    columns, links = drawn(seed, [(3, 2), (2, 4), (1, 3)])
    bands = [list(column.items()) for column in columns]
    assert crossings_of(bands, links) == crossings_by_hand(bands, links)


@pytest.mark.parametrize("seed", range(5))
def test_every_member_keeps_its_band_and_crossings_never_grow(seed):
    columns, links = drawn(seed, [(4, 3, 2), (3, 3, 3), (2, 5, 2)], density=0.15)
    found = arrange(columns, links)
    for column, arranged in zip(columns, found.columns, strict=True):
        assert {name: sorted(names) for name, names in arranged} == column
    assert found.crossings == crossings_by_hand(found.columns, links)
    assert found.crossings <= found.crossings_start


def test_what_can_be_drawn_without_a_crossing_is():
    # the second column's bands are the first one's, named so that the alphabet turns them round
    columns = [{"a": ["a1", "a2"], "b": ["b1"]}, {"y": ["b1"], "z": ["a1", "a2"]}]
    links = [[("a1", "a2"), ("a2", "a1"), ("b1", "b1")]]
    found = arrange(columns, links)
    assert found.crossings_start > 0
    assert found.crossings == 0


def test_small_pictures_have_as_few_crossings_as_there_can_be_nearly_always():
    best = 0
    for seed in range(20):
        columns, links = drawn(seed, [(2, 2), (2, 2)], density=0.35)
        best += arrange(columns, links).crossings == fewest(columns, links)
    assert best >= 16


def fewest(columns, links):
    """Of every order of bands and of what stands in them."""
    ways = [
        [
            [(name, list(names)) for name, names in zip(order, inner, strict=True)]
            for order in permutations(column)
            for inner in product(*(permutations(column[name]) for name in order))
        ]
        for column in columns
    ]
    return min(crossings_by_hand(way, links) for way in product(*ways))


def test_the_order_of_what_is_handed_over_changes_nothing():
    columns, links = drawn(3, [(4, 3), (3, 4)], density=0.2)
    turned = [{name: names[::-1] for name, names in reversed(column.items())} for column in columns]
    assert arrange(turned, [pairs[::-1] for pairs in links]) == arrange(columns, links)
