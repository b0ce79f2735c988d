"""Classes followed through several editions, by their definition."""

import pytest
from felloe.editions.correspondence import match_classes
from felloe.timeline.classes import follow_classes, relation_between


def relations_of(older, newer):
    """The relations of classes, from the class of each common term; every match is believed."""
    found = match_classes(older.split(), newer.split())
    pairs = set(zip(older.split(), newer.split(), strict=True))
    return {pair: found.relation(*pair) for pair in sorted(pairs)}


def told(held):
    return {one.id: (one.began, one.origin, one.ended, one.into) for one in held}


def lines(held):
    return [{one.id: one.line for one in here} for here in held]


def test_classes_that_are_matched_are_one_line_whatever_they_are_called():
    relations = [relations_of("a a a b b", "x x x y y"), relations_of("x x x y y", "a a a b b")]
    held = follow_classes([["a", "b"], ["x", "y"], ["a", "b"]], relations)
    assert lines(held) == [{"a": 1, "b": 2}, {"x": 1, "y": 2}, {"a": 1, "b": 2}]
    assert told(held[1]) == {
        "x": ("continued", "a", "continued", "a"),
        "y": ("continued", "b", "continued", "b"),
    }


def test_a_class_that_takes_its_terms_from_one_was_split_from_it():
    held = follow_classes([["a"], ["x", "y"]], [relations_of("a a a a a", "x x x y y")])
    assert told(held[1])["y"] == ("split", "a", "last", None)
    assert lines(held) == [{"a": 1}, {"x": 1, "y": 2}]


def test_a_class_whose_terms_are_in_another_has_joined_it():
    held = follow_classes([["a", "b"], ["x"]], [relations_of("a a a b b", "x x x x x")])
    assert told(held[0])["b"] == ("first", None, "joined", "x")
    assert told(held[0])["a"] == ("first", None, "continued", "x")


def test_a_class_of_new_terms_is_born_and_one_of_retired_terms_is_gone():
    # neither shares a term with the other edition
    held = follow_classes([["a", "old"], ["new", "x"]], [relations_of("a a a", "x x x")])
    assert told(held[1])["new"] == ("born", None, "last", None)
    assert told(held[0])["old"] == ("first", None, "gone", None)


def test_a_class_from_several_by_halves_is_born():
    # y has two terms of a, two of b: more than half come from none, and both have another match
    older, newer = "a a a a a b b b b b", "x x x y y z z z y y"
    held = follow_classes([["a", "b"], ["x", "y", "z"]], [relations_of(older, newer)])
    assert told(held[1])["y"] == ("born", None, "last", None)


def test_a_class_split_off_and_joined_again_has_a_line_of_its_own():
    relations = [relations_of("a a a a a", "x x x y y"), relations_of("x x x y y", "a a a a a")]
    held = follow_classes([["a"], ["x", "y"], ["a"]], relations)
    assert lines(held) == [{"a": 1}, {"x": 1, "y": 2}, {"a": 1}]
    assert told(held[1])["y"] == ("split", "a", "joined", "a")


def test_without_any_correspondence_every_class_is_gone_and_born():
    nothing = {("a", "x"): "no_correspondence"}
    held = follow_classes([["a"], ["x"]], [nothing])
    assert told(held[0])["a"][2] == "gone"
    assert told(held[1])["x"][0] == "born"


@pytest.mark.parametrize(
    ("pair", "expected"),
    [(("a", "x"), "stayed"), (("a", "new"), "moved"), (("old", "new"), "no_correspondence")],
)
def test_two_classes_without_a_common_term_can_still_be_told_apart(pair, expected):
    assert relation_between(*pair, {("a", "x"): "stayed"}) == expected
