"""Entropy of a term's class, by its definition; lines of classes are numbers."""

import math

import pytest
from felloe.timeline.entropy import by_lines, class_entropy


def parts(*editions):
    found = class_entropy(editions)
    return found.total, found.replicates, found.editions


def test_a_term_that_is_always_in_one_class_has_none():
    assert parts({1: 1.0}, {1: 1.0}, {1: 1.0}) == (0.0, 0.0, 0.0)


def test_a_term_that_moved_surely_has_all_of_it_between_editions():
    assert parts({1: 1.0}, {2: 1.0}) == pytest.approx((math.log(2), 0.0, math.log(2)))


def test_a_term_that_is_unsure_in_every_edition_alike_has_all_of_it_within():
    half = {1: 0.5, 2: 0.5}
    assert parts(half, half) == pytest.approx((math.log(2), math.log(2), 0.0))


def test_a_term_in_three_classes_in_three_editions_has_the_most_there_can_be():
    assert parts({1: 1.0}, {2: 1.0}, {3: 1.0})[0] == pytest.approx(math.log(3))


def test_what_fell_into_no_class_is_one_more_class():
    whole, missing = parts({1: 0.6, 2: 0.4}), parts({1: 0.6})
    assert missing == pytest.approx(whole)


def test_both_parts_make_the_whole_and_none_is_negative():
    total, within, between = parts({1: 0.7, 2: 0.2}, {2: 0.5, 3: 0.5}, {1: 0.1, 3: 0.9})
    q = {1: 0.8 / 3, 2: 0.7 / 3, 3: 1.4 / 3, 0: 0.1 / 3}
    assert total == pytest.approx(-sum(one * math.log(one) for one in q.values()))
    assert total == pytest.approx(within + between)
    assert min(within, between) >= 0.0


def test_shares_of_the_datas_classes_count_for_the_line_of_the_class_that_was_published():
    shares = {"a": 0.5, "b": 0.3, "c": 0.2}
    found = by_lines(shares, {"a": "x", "b": "x", "c": "y"}, {"x": 1, "y": 2})
    assert found == pytest.approx({1: 0.8, 2: 0.2})
