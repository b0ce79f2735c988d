"""What follows from the tables on ring and map turns where the numbers do."""

from itertools import combinations, pairwise

import pytest
from felloe.circle import follow_words as follows


def pair(one, other, support, neighbours):
    return {"class": one, "other_class": other, "support": support, "neighbours": neighbours}


ROWS = [pair("a", "b", 0.5, True), pair("b", "c", 0.49, True), pair("a", "c", 0.51, False)]


def test_neighbours_are_kin_from_the_bound():
    rows = [*ROWS, pair("a", "d", 0.1, False)]
    assert "1 of 2 pairs" in follows.ring(rows, 0.5)
    assert "All 2 pairs" in follows.ring(rows, 0.49)
    assert "No two neighbouring" in follows.ring(rows, 0.6)


@pytest.mark.parametrize(("classes", "always"), [("ab", True), ("abc", True), ("abcd", False)])
def test_of_three_classes_all_stand_side_by_side_whatever_the_sorts_say(classes, always):
    ring = {frozenset(both) for both in pairwise([*classes, classes[0]])}
    rows = [pair(*both, 1.0, frozenset(both) in ring) for both in combinations(classes, 2)]
    said = follows.ring(rows, 0.5)
    assert ("cannot tell which are kin" in said) == always
    assert ("may be read as kin" in said) != always


@pytest.mark.parametrize(("support", "n"), [(0.51, 1), (0.5, 0)])
def test_most_redraws_are_more_than_half(support, n):
    assert len(follows.apart([pair("a", "c", support, False), pair("a", "b", 0.9, True)])) == n


def test_pairs_that_the_ring_parts_are_named():
    said = follows.pairs_said(follows.apart(ROWS), {"a": "Ash", "c": "Cress"})
    assert "Ash and Cress (51 %)" in said
    assert "No two classes" in follows.pairs_said([], {})


@pytest.mark.parametrize(("price", "said"), [(0.05, "hardly"), (0.051, "may stand apart")])
def test_the_price_of_the_tree(price, said):
    assert said in follows.length(price)


@pytest.mark.parametrize(
    ("replicate", "found", "said"),
    [
        (False, True, "neither confirm nor contradict"),
        (True, True, "much the same order"),
        (True, False, "does not confirm the ring's order"),
    ],
)
def test_agreement_of_ring_and_map_has_a_consequence(replicate, found, said):
    record = {"map_angles_replicate": replicate, "found": found}
    assert said in follows.agreement(record, 0.5)


def test_one_rule_says_which_neighbours_are_kin():
    rule = "neighbours in at least 60 % of the redraws"
    one, two = pair("a", "b", 0.6, True), pair("b", "c", 0.59, True)
    assert rule in follows.ring([one, two, pair("a", "d", 0.1, False)], 0.6)
    assert rule in follows.agreement({"map_angles_replicate": True, "found": False}, 0.6)


@pytest.mark.parametrize(
    ("warnings", "said"),
    [
        ([], "better than maps of shuffled sorts"),
        (["degenerate"], "which groups there are"),
        (["degenerate", "no_better_than_null"], "do not use it"),
    ],
)
def test_what_the_map_may_be_used_for(warnings, said):
    record = {"stress_1": 0.2, "null": {"mean": 0.4}, "warnings": warnings}
    assert said in follows.plane(record)


@pytest.mark.parametrize(("share", "said"), [(0.51, "51 % of the pairs"), (0.5, "The closer")])
def test_long_distances_mean_little_where_most_pairs_are_apart(share, said):
    assert said in follows.spread({"saturated_share": share})
