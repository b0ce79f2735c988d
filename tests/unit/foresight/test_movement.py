"""The smallest movement between populations that the dossier's own test sees."""

import numpy as np
import pytest
from felloe.comparison.exchanging.label_tests import matched_label_test
from felloe.comparison.exchanging.matching import match_people, matched_contrasts
from felloe.foresight.assumptions import Habits, even_truth, moved_truth
from felloe.foresight.disagreement import mirkin_of_many
from felloe.foresight.movement import (
    difference_p,
    numbers_tried,
    smallest_movement,
)
from felloe.foresight.sorters import drawn_sorts
from felloe.ground.people.pairs import mirkin_distances, pair_vectors
from felloe.ground.squares import doubly_centred

FIRST = np.arange(40) < 20


def people(n_moved, seed):
    truth = even_truth(30, 5, 2)
    other = moved_truth(np.random.default_rng(seed), truth, n_moved)
    shown = np.ones((20, 30), dtype=bool)
    rng = np.random.default_rng((seed, 7))
    return np.concatenate(
        [drawn_sorts(rng, one, Habits(0.5, 0.3), shown) for one in (truth, other)]
    )


def test_numbers_tried_rise_from_one_to_a_third_of_the_terms():
    numbers = numbers_tried(99)
    assert numbers[0] == 1
    assert numbers[-1] == 33
    assert numbers == sorted(set(numbers))
    assert numbers_tried(2) == [1]


def test_it_is_the_dossiers_matched_test():
    piles = people(3, 1)
    gram = doubly_centred(mirkin_distances(pair_vectors(piles)))
    sets = match_people(piles, FIRST).sets
    contrasts = matched_contrasts(FIRST, sets, np.random.default_rng(4), 99)
    found = difference_p(np.random.default_rng(4), piles, FIRST, 99, mirkin_of_many(piles))
    assert found == matched_label_test(gram, *contrasts)


def test_alike_populations_seem_different_about_as_often_as_the_level_says():
    p = [
        difference_p(
            np.random.default_rng(n), people(0, n), FIRST, 99, mirkin_of_many(people(0, n))
        )
        for n in range(60)
    ]
    assert np.mean(np.array(p) <= 0.05) <= 0.15  # 3 of 60 are nominal; 9 is three errors more


@pytest.mark.parametrize("threshold", [1, 2, 9, 33])
def test_halving_finds_what_trying_all_would(threshold):
    numbers = numbers_tried(99)
    found = smallest_movement(numbers, lambda n: 0.9 if n >= threshold else 0.5, None)
    assert found.terms == min(n for n in numbers if n >= threshold)
    assert found.seen == 0.9


def test_where_the_largest_is_not_enough_none_is_named():
    found = smallest_movement(numbers_tried(99), lambda n: 0.79, None)
    assert (found.terms, found.most, found.seen) == (None, 33, 0.79)


def test_more_people_never_need_a_larger_movement():
    numbers = numbers_tried(99)
    assert smallest_movement(numbers, lambda n: 0.5, numbers[4]).terms == numbers[4]
