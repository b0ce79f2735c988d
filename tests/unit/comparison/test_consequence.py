"""What pooling would do to the chart, against brute force and R."""

from itertools import permutations

import numpy as np
import pytest
from felloe.clustering.choice import considered
from felloe.comparison.consequence import (
    chart_at,
    compare_charts,
    compare_splits,
    places_by_first_term,
)
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.groups.charting import charted
from felloe.ground.groups.contingency import changed_terms
from felloe.ground.groups.ranges import GroupNumbers, common_number
from felloe.ground.groups.tree import Tree
from felloe.ground.people.counts import count_cooccurrence, similarity
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.squares import squared
from felloe.ground.terms import DifferentTerms


def distances(reference, source):
    counts, people, terms = reference.source_counts(source)
    return Distances(terms, rounded_dissimilarity(counts / people))


@pytest.mark.parametrize("n_classes", [2, 3, 4, 5, 6, 7, 8])
def test_adjusted_rand_of_charts_of_women_and_men_is_that_of_r(reference, n_classes):
    charts = [
        chart_at(distances(reference, source), "average", (n_classes, n_classes))
        for source in ("women_first_of_two", "men_first_of_two")
    ]
    expected = reference.value(
        "kin_women_first_vs_men_first", f"adjusted_rand_average_k{n_classes}"
    )
    assert compare_charts(*charts)[0].adjusted_rand == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_fewest_terms_change_over_all_matchings_of_groups(seed):
    rng = np.random.default_rng(seed)
    a, b = (np.concatenate([np.arange(4), rng.integers(4, size=12)]) for _ in range(2))
    fewest = min(int((np.array(match)[a] != b).sum()) for match in permutations(range(4)))
    assert changed_terms(a, b).sum() == fewest


def test_renumbered_groups_change_nothing():
    labels = np.array([0, 0, 1, 2, 2, 1])
    assert not changed_terms(labels, np.array([2, 2, 0, 1, 1, 0])).any()


def test_the_one_term_that_moved_changes():
    assert changed_terms(np.array([0, 0, 0, 1, 1, 1]), np.array([0, 0, 1, 1, 1, 1])).tolist() == [
        False,
        False,
        True,
        False,
        False,
        False,
    ]


def test_a_group_that_is_divided_keeps_its_larger_part():
    changes = changed_terms(np.array([0, 0, 0, 0, 0]), np.array([0, 0, 0, 1, 1]))
    assert changes.tolist() == [False, False, False, True, True]


def test_changes_of_a_division_equal_those_of_its_two_charts():
    piles = np.random.default_rng(1).integers(4, size=(14, 11))
    groups = np.random.default_rng(2).random((5, 14)) < 0.5
    _, found = compare_splits(pair_vectors(piles), groups, np.zeros(55), "average", (3, 5))
    for row, group in zip(found, groups, strict=True):
        one, other = (
            charted(similarity(*count_cooccurrence(piles[who])), "average", (3, 5))[1]
            for who in (group, ~group)
        )
        expected = [int(changed_terms(a, b).sum()) for a, b in zip(one, other, strict=True)]
        assert row.tolist() == expected


def test_a_row_of_pairs_makes_the_matrix_it_came_from():
    matrix = similarity(*count_cooccurrence(np.random.default_rng(3).integers(3, size=(6, 7))))
    assert np.array_equal(squared(matrix[np.triu_indices(7, 1)], 7, diagonal=1.0), matrix)


@pytest.mark.parametrize(
    ("setting", "bounds", "n_terms", "expected"),
    [
        ("auto", (6, 12), 96, 9),
        ("auto", (6, 12), 15, 6),
        (7, (6, 12), 96, 7),
        (7, (6, 12), 5, 4),
        ("auto", (6, 12), 2, 2),
    ],
)
def test_common_number_of_groups(setting, bounds, n_terms, expected):
    # 15 terms carry 6 or 7 classes of the range: the middle, rounded down, is 6
    assert common_number(setting, bounds, 2, n_terms // 2, n_terms) == expected


@pytest.mark.parametrize("n_terms", [10, 15, 40, 96])
def test_charts_are_compared_at_numbers_that_the_chart_itself_may_have(n_terms):
    coarse, fine = GroupNumbers("auto", (6, 12), "auto", (18, 32)).common(n_terms)
    assert coarse in considered("auto", (6, 12), 2, n_terms // 2).numbers
    assert fine in considered("auto", (18, 32), coarse + 1, 3 * n_terms // 4).numbers


def tree_of(terms, seed=4):
    piles = np.random.default_rng(seed).integers(3, size=(8, len(terms)))
    return Tree(terms, charted(similarity(*count_cooccurrence(piles)), "average", ())[0])


def test_places_keep_every_group_of_the_tree_together():
    tree = tree_of(tuple("abcdefghijkl"))
    places = np.array(places_by_first_term(tree))
    for members in tree.members():
        held = sorted(places[members].tolist())
        assert held == list(range(held[0], held[0] + len(held)))


def test_the_alphabetically_first_term_stands_first_wherever_its_row_is():
    terms = tuple("lkjihgfedcba")
    assert places_by_first_term(tree_of(terms))[terms.index("a")] == 1


def test_charts_of_other_terms_are_not_compared():
    one, other = (
        chart_at(Distances(terms, 1.0 - np.eye(4)), "average", (2, 3))
        for terms in (("ash", "birch", "cedar", "dill"), ("ash", "birch", "cedar", "elder"))
    )
    with pytest.raises(DifferentTerms, match="'dill'"):
        compare_charts(one, other)
