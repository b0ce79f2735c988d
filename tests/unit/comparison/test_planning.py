"""How many more people would settle it, against trying every number."""

from dataclasses import replace

import numpy as np
import pytest
from calibration.sorting_people import CASES, two_populations
from comparison_example import LABELS, MARGINS
from felloe.comparison import words
from felloe.comparison.corrected import Z_95, corrected_correlation
from felloe.comparison.planning import grown_reliability, people_to_settle
from felloe.ground.halves import Reliability, spearman_brown
from felloe.ground.pairs import pair_vectors, person_covariances

SIZES = (6, 9)


@pytest.fixture(scope="module")
def few():
    piles, first = two_populations(CASES[1], np.random.default_rng(3), 30)
    who = np.concatenate([np.flatnonzero(first)[:6], np.flatnonzero(~first)[:9]])
    return corrected_correlation(person_covariances(pair_vectors(piles[who])), np.arange(15) < 6)


def halves(*reliabilities):
    return tuple(Reliability(0.5, one, 10) for one in reliabilities)


def test_the_standard_error_of_todays_people_is_that_of_the_interval(few):
    assert few.parts.standard_error(*SIZES) == pytest.approx(few.standard_error, abs=1e-9)


def test_twice_the_people_have_the_reliability_that_spearman_and_brown_give_two_halves():
    assert grown_reliability(0.4, 2.0) == pytest.approx(spearman_brown(0.4))


@pytest.mark.parametrize("step", [(1, 0), (0, 1), (1, 1)])
def test_no_smaller_number_would_do(few, step):
    margins = replace(MARGINS, corrected_r=few.corrected - 0.05)
    plan = people_to_settle(few, halves(0.5, 0.6), SIZES, margins)

    def shown(number):
        sizes = [size + number * share for size, share in zip(SIZES, step, strict=True)]
        low = few.corrected - Z_95 * few.parts.standard_error(*sizes)
        grown = [
            grown_reliability(one, size / now)
            for one, size, now in zip((0.5, 0.6), sizes, SIZES, strict=True)
        ]
        return low >= margins.corrected_r and min(grown) >= margins.reliability

    fewest = next((number for number in range(181) if shown(number)), None)
    found = dict(zip([(1, 0), (0, 1), (1, 1)], vars(plan).values(), strict=True))[step]
    assert found == fewest


def test_a_correlation_below_its_margin_is_settled_by_no_number(few):
    margins = replace(MARGINS, corrected_r=few.corrected + 0.01)
    plan = people_to_settle(few, halves(0.9, 0.9), SIZES, margins)
    assert (plan.first_only, plan.second_only, plan.both) == (None, None, None)


@pytest.mark.parametrize(
    ("only", "of_each", "said"),
    [
        ({"makers": None, "panel": 12}, 5, "12 more of Panel, or 5 more of each"),
        ({"makers": None, "panel": None}, None, "would not show"),
    ],
)
def test_the_plan_is_told_in_words(only, of_each, said):
    assert said in words.plan_sentence({"plan": {"only": only, "of_each": of_each}}, LABELS)


def test_what_is_settled_needs_no_plan():
    assert words.plan_sentence({"plan": None}, LABELS) == ""


def test_people_who_would_not_help_are_not_asked_for():
    plan = {"only": {"makers": 20, "panel": None}, "of_each": 20}
    assert "more of each" not in words.plan_sentence({"plan": plan}, LABELS)
