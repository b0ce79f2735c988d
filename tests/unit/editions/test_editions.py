"""Classes and terms from one edition to the next, against definitions and slow search."""

import itertools
import math

import numpy as np
import pytest
from felloe.editions.correspondence import (
    Bounds,
    class_mapping,
    grade_migration,
    match_classes,
    order_angles,
)
from felloe.ground.groups.contingency import contingency, match_table

BOUNDS = Bounds(robust=0.75, possible=0.5, correspondence=0.05)


def overlap(older, newer, mapping):
    return sum(mapping.get(a) == b for a, b in zip(older, newer, strict=True))


@pytest.mark.parametrize("seed", range(8))
def test_matching_has_the_largest_overlap_of_all_one_to_one_matchings(seed):
    rng = np.random.default_rng(seed)
    older = rng.choice(list("abcd"), size=25).tolist()
    newer = rng.choice(list("vwxyz"), size=25).tolist()
    best = max(
        overlap(older, newer, dict(zip("abcd", drawn, strict=True)))
        for drawn in itertools.permutations("vwxyz", 4)
    )
    assert overlap(older, newer, match_classes(older, newer).matched) == best


def test_the_matched_classes_are_those_that_the_ground_matches():
    older, newer = list("aabbccc"), list("xyyxxzz")  # a-x and b-y, or a-y and b-x: two terms each
    found = match_classes(older, newer).matched
    partner = match_table(contingency(older, newer)).tolist()
    assert found == {"abc"[i]: "xyz"[j] for j, i in enumerate(partner) if i >= 0}


def test_matching_goes_by_members_and_not_by_names():
    assert match_classes(list("aaabbb"), list("bbbaaa")).matched == {"a": "b", "b": "a"}


def test_a_class_cut_in_two_has_split_and_its_terms_have_not_moved():
    older, newer = list("aaaaaaabbb"), list("xxxxyyyzzz")
    found = match_classes(older, newer)
    assert found.split_from == {"y": "a"}
    assert [found.relation("a", name) for name in "xyz"] == ["stayed", "split", "moved"]


def test_two_classes_that_became_one_have_merged_and_their_terms_have_not_moved():
    found = match_classes(list("aaaabbbccc"), list("xxxxxxxyyy"))
    assert found.merged_into == {"b": "x"}
    assert found.relation("b", "x") == "merged"


def test_a_term_that_left_its_fellows_has_moved():
    found = match_classes(list("aaaabbbb"), list("xxxyyyyy"))
    assert found.relation("a", "y") == "moved"


@pytest.mark.parametrize(
    ("older", "newer", "grade"),
    [(0.75, 0.9, "robust"), (0.74, 0.99, "possible"), (0.5, 0.5, "possible"), (0.49, 1.0, "noise")],
)
def test_a_move_is_graded_by_the_weaker_of_both_editions(older, newer, grade):
    assert grade_migration("moved", older, newer, BOUNDS) == grade


def test_a_term_whose_class_split_has_not_migrated():
    assert grade_migration("split", 1.0, 1.0, BOUNDS) == "none"


@pytest.mark.parametrize(
    ("older", "newer", "mapping"),
    [
        ("abc", "abc", "exact"),
        ("ab", "abc", "broad"),
        ("abc", "ab", "narrow"),
        ("abcd", "abce", "close"),
        ("abcd", "aefg", "related"),
        ("ab", "cd", None),
    ],
)
def test_mapping_of_classes_follows_from_their_members(older, newer, mapping):
    assert class_mapping(set(older), set(newer)) == mapping


def test_a_circle_turned_has_the_same_angles_but_for_one_turn():
    terms = [f"t{i:02}" for i in range(12)]
    older, newer = order_angles(terms, terms[5:] + terms[:5])
    turns = np.round((older - newer) % (2 * math.pi), 9)
    assert np.ptp(turns) == 0.0


def test_a_circle_mirrored_has_the_angles_of_the_other_direction():
    terms = [f"t{i:02}" for i in range(12)]
    older, newer = order_angles(terms, terms[::-1])
    assert np.ptp(np.round((older + newer) % (2 * math.pi), 9)) == 0.0


def test_orders_of_different_terms_are_refused():
    with pytest.raises(ValueError, match="the same three terms"):
        order_angles(list("abc"), list("abd"))
