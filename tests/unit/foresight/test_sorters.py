"""Invented people: what they are shown, what they know, how they go astray."""

import numpy as np
import pytest
from felloe.foresight.assumptions import Habits, Truth, even_truth, like_truth, moved_truth
from felloe.foresight.sorters import drawn_sorts, least_seen
from felloe.ground.people.counts import count_observers
from felloe.ground.people.sorts import UNPLACED

RNG = np.random.default_rng
TRUTH = even_truth(24, 4, 2)


def test_even_groups_are_nested_and_differ_by_a_term_at_most():
    truth = even_truth(50, 4, 3)
    assert truth.numbers == (4, 12)
    assert np.ptp(np.bincount(truth.subclasses)) <= 1


def test_a_subclass_in_two_classes_is_refused():
    with pytest.raises(ValueError, match="two classes"):
        Truth(np.array([0, 1]), np.array([0, 0]))


def test_groups_like_a_pilot_keep_their_shares_and_every_subclass():
    pilot = Truth(np.repeat([0, 1], [30, 10]), np.repeat([0, 1, 2], [20, 10, 10]))
    larger = like_truth(pilot, 80)
    assert np.bincount(larger.subclasses).tolist() == pytest.approx([40, 20, 20], abs=2)
    assert len(larger.classes) == 80
    assert np.bincount(like_truth(pilot, 3).subclasses).tolist() == [1, 1, 1]


def test_moved_terms_go_to_another_class_and_movements_are_nested():
    few, more = (moved_truth(RNG(3), TRUTH, n) for n in (2, 7))
    changed = [set(np.flatnonzero(one.classes != TRUTH.classes)) for one in (few, more)]
    assert [len(one) for one in changed] == [2, 7]
    assert changed[0] < changed[1]
    assert more.numbers[0] <= 4


def test_without_error_coarse_people_give_classes_and_fine_ones_subclasses():
    shown = least_seen(RNG(1), 30, 24, 24)
    assert (drawn_sorts(RNG(2), TRUTH, Habits(1.0, 0.0), shown) == TRUTH.classes).all()
    assert (drawn_sorts(RNG(2), TRUTH, Habits(0.0, 0.0), shown) == TRUTH.subclasses).all()


def test_terms_that_were_not_shown_are_not_placed_and_piles_are_ones_own():
    shown = least_seen(RNG(1), 40, 24, 9)
    piles = drawn_sorts(RNG(2), TRUTH, Habits(0.5, 0.6), shown)
    assert ((piles != UNPLACED) == shown).all()
    straight = drawn_sorts(RNG(2), TRUTH, Habits(0.5, 0.0), shown)
    for own, before in zip(piles, straight):
        assert set(own) <= set(before)


def test_the_share_astray_is_that_asked_for():
    shown = np.ones((2000, 24), dtype=bool)
    piles = drawn_sorts(RNG(2), TRUTH, Habits(1.0, 0.4), shown)
    # one in four comes back to its own pile; 48,000 draws, error of the share 0.002
    assert (piles != TRUTH.classes).mean() == pytest.approx(0.4 * 0.75, abs=0.01)


def test_fewer_people_are_the_first_of_more():
    shown = least_seen(RNG(1), 20, 24, 9)
    piles = drawn_sorts(RNG(2), TRUTH, Habits(0.5, 0.3), shown)
    assert (least_seen(RNG(1), 8, 24, 9) == shown[:8]).all()
    assert (drawn_sorts(RNG(2), TRUTH, Habits(0.5, 0.3), shown[:8]) == piles[:8]).all()


def test_everybody_is_shown_as_many_terms_and_pairs_are_spread_more_evenly_than_by_chance():
    shown = least_seen(RNG(1), 60, 24, 8)
    chance = np.argsort(RNG(2).random((60, 24)), axis=1) < 8
    assert (shown.sum(axis=1) == 8).all()
    spread = [count_observers(one)[np.triu_indices(24, 1)].std() for one in (shown, chance)]
    assert spread[0] < 0.6 * spread[1]


def test_observers_are_counted_pair_by_pair():
    shown = least_seen(RNG(1), 11, 10, 4)
    slow = [[sum(a and b for a, b in zip(x, y)) for y in shown.T] for x in shown.T]
    assert count_observers(shown).tolist() == slow
