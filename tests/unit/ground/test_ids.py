"""Ids travel with numbers, and things about other terms are not combined."""

import numpy as np
import pytest
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree, tree_of
from felloe.ground.people.counts import Counts, counts_of
from felloe.ground.people.sorts import Sorts
from felloe.ground.terms import DifferentTerms, Terms, check_same
from sorting_examples import dissimilarity

PILES = np.array([[1, 1, 2, 2], [1, 2, 2, 1], [1, 1, 1, 2]])
SORTS = Sorts(("p", "q", "r"), ("a", "b", "a"), Terms("wxyz"), PILES)
DISTANCES = Distances(
    Terms("wxyz"), dissimilarity(*[counts_of(SORTS).together, np.full((4, 4), 3)])
)


def test_a_term_that_stands_twice_is_named():
    with pytest.raises(ValueError, match="'a' stands twice"):
        Terms(["a", "b", "a"])


def test_what_only_one_side_has_is_named():
    with pytest.raises(DifferentTerms, match="only the tree has 'c'; only the map has 'd'"):
        check_same(Terms("abc"), Terms("abd"), "the tree", "the map")


def test_the_first_place_where_orders_differ_is_named():
    with pytest.raises(DifferentTerms, match="place 1 holds 'b' in the tree and 'c' in the map"):
        check_same(Terms("abc"), Terms("acb"), "the tree", "the map")


def test_an_unknown_term_is_named():
    with pytest.raises(DifferentTerms, match="'q' is not among these 4 terms"):
        DISTANCES.on(["w", "q"])


def test_divisions_of_other_terms_are_not_compared():
    one, other = Partition(Terms("abc"), [0, 0, 1]), Partition(Terms("abd"), [0, 0, 1])
    for compared in (one.adjusted_rand, one.changed):
        with pytest.raises(DifferentTerms):
            compared(other)


def test_a_reordered_subset_keeps_its_numbers():
    cut_down = DISTANCES.on(["z", "w", "x"])
    for one in "zwx":
        for other in "zwx":
            i, j = cut_down.terms.index(one), cut_down.terms.index(other)
            assert cut_down.D[i, j] == DISTANCES.D["wxyz".index(one), "wxyz".index(other)]


def test_counting_some_of_the_terms_equals_counting_and_then_leaving_out():
    whole, part = counts_of(SORTS), counts_of(SORTS.on(["y", "w"]))
    assert np.array_equal(whole.on(["y", "w"]).together, part.together)
    assert np.array_equal(whole.on(["y", "w"]).both, part.both)


def test_sorts_of_one_population_are_those_of_its_people():
    assert SORTS.of("a").participants == ("p", "r")
    assert SORTS.of("pooled") is SORTS


@pytest.mark.parametrize(
    ("together", "both", "words"),
    [
        ([[2, 1], [0, 2]], [[2, 2], [2, 2]], "not symmetric"),
        ([[2, 2], [2, 2]], [[2, 1], [1, 2]], "than placed both"),
        ([[2.0, 1.0], [1.0, 2.0]], [[2, 2], [2, 2]], "whole numbers"),
        ([[2]], [[2, 2], [2, 2]], "of 2 terms"),
    ],
)
def test_counts_that_no_sorts_give_are_refused(together, both, words):
    with pytest.raises(ValueError, match=words):
        Counts(Terms("ab"), np.array(together), np.array(both))


def test_a_pair_that_nobody_placed_is_named_by_its_terms():
    counts = Counts(Terms("ab"), np.array([[1, 0], [0, 1]]), np.array([[1, 0], [0, 1]]))
    with pytest.raises(ValueError, match="nobody placed both 'a' and 'b'"):
        counts.similarity()


@pytest.mark.parametrize(
    "D", [[[0, 1], [2, 0]], [[1, 1], [1, 0]], [[0, -1], [-1, 0]], [[0, np.nan], [np.nan, 0]], [[0]]]
)
def test_what_is_no_matrix_of_distances_is_refused(D):
    with pytest.raises(ValueError, match="distances"):
        Distances(Terms("ab"), np.array(D, dtype=float))


def test_a_tree_and_its_cut_are_those_of_the_arrays():
    tree = tree_of(DISTANCES, "average")
    Z = build_tree(DISTANCES.D, "average")
    assert np.array_equal(tree.Z, Z)
    assert np.array_equal(tree.cut(2).labels, cut(Z, 2))


@pytest.mark.parametrize(
    ("Z", "words"),
    [
        ([[0, 1, 0.5, 2]], "do not fit"),
        ([[0, 1, 0.5, 2], [0, 3, 0.6, 3]], "once"),
        ([[0, 1, 0.5, 2], [2, 3, 0.4, 3]], "may not fall"),
    ],
)
def test_what_is_no_tree_of_the_terms_is_refused(Z, words):
    with pytest.raises(ValueError, match=words):
        Tree(Terms("abc"), np.array(Z))


def test_a_group_is_called_after_its_alphabetically_first_term_whatever_the_order():
    division = Partition.of_ids(["z", "a", "m", "b"], ["late", "late", "other", "other"])
    assert division.labels.tolist() == [0, 0, 1, 1]
    assert division.ids == ("a", "b")
    assert division.of_terms == ("a", "a", "b", "b")
    assert division.members(1) == ("m", "b")


def test_the_groups_of_a_table_are_those_of_its_column():
    rows = [
        {"term": "beet", "class": "ash", "subclass": "beet"},
        {"term": "ash", "class": "ash", "subclass": "ash"},
        {"term": "clove", "class": "clove", "subclass": "clove"},
    ]
    classes = Partition.of_rows(rows, "class")
    assert classes.terms == ("beet", "ash", "clove")
    assert classes.of_terms == ("ash", "ash", "clove")
    assert Partition.of_rows(rows, "subclass").n_groups == 3
