"""How many more people would settle it, against known answers and trying every number."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from calibration.sorting_people import CASES, two_populations
from comparison_example import LABELS, MARGINS, STREAMS
from felloe.comparison import words
from felloe.comparison.correlating.corrected import CorrectedCorrelation
from felloe.comparison.more_people import planning
from felloe.comparison.more_people.planning import (
    Number,
    drawn_truths,
    fewest,
    numbers_tried,
    people_to_settle,
    question_of,
    share_shown,
    shows_agreement,
    shows_shortfall,
)
from felloe.comparison.more_people.simulated_study import Estimates, Side, Study, estimates_of
from felloe.comparison.verdict import Evidence
from felloe.ground.people.pairs import pair_vectors, person_covariances

MOST = 200


def sure(own, correlation=1.0, n=10):
    """Return estimates without noise: mean agreement 1, people's variances `own`."""
    sides = [Side(1.0, np.tile([0.0, 0.0, one], (n, 1)), 0.0) for one in own]
    return Estimates(*sides, correlation, 0.0)


@pytest.fixture(scope="module")
def few():
    piles, first = two_populations(CASES[1], np.random.default_rng(3), 12)
    return estimates_of(person_covariances(pair_vectors(piles)), first, (0.55, 0.65))


def settle(known, question="agreement", sizes=(10, 10), margins=MARGINS, streams=STREAMS):
    return people_to_settle(known, question, sizes, margins, streams)


def test_without_noise_the_answer_is_that_of_arithmetic():
    # n / (8 + n - 1) >= 0.7 from n = 16.33 on: seven more than ten; 10 / (3 + 9) is above 0.7
    plan = settle(sure((8.0, 3.0)))
    assert plan.first_only == plan.of_each == Number(7, 1.0, 0.0)
    assert plan.second_only is None


def test_where_both_are_unreliable_neither_alone_settles_it():
    plan = settle(sure((8.0, 8.0)))
    assert (plan.first_only, plan.second_only, plan.of_each.more) == (None, None, 7)


def test_where_the_correlation_falls_short_that_is_what_is_shown():
    assert settle(sure((3.0, 3.0), 0.8), "shortfall").of_each.more == 1
    assert settle(sure((3.0, 3.0), 0.8), "agreement").of_each is None


def test_a_correlation_above_one_is_planned_as_one():
    known = sure((8.0, 8.0), 1.4)
    assert {one.correlation for one in drawn_truths(known, (10, 10), STREAMS)} == {1.0}


def test_the_error_of_the_agreement_travels_into_the_truths(few):
    truths = drawn_truths(few, (12, 12), STREAMS)
    means = np.array([[one.first.mean, one.second.mean] for one in truths])
    people = few.first.people[:, 0].var(), few.second.people[:, 0].var()
    pairs = few.first.spread, few.second.spread
    expected = [
        math.sqrt(4 * one / 12 + 2 * pair / (12 * 11))
        for one, pair in zip(people, pairs, strict=True)
    ]
    assert means.mean(axis=0) == pytest.approx([few.first.mean, few.second.mean], rel=0.05)
    assert means.std(axis=0) == pytest.approx(expected, rel=0.15)


def test_the_plan_is_the_first_number_that_is_enough(few):
    margins = replace(MARGINS, corrected_r=0.6)
    plan = settle(few, sizes=(12, 12), margins=margins)
    truths = drawn_truths(*in_order(few), STREAMS)
    numbers = numbers_tried(plan.most)

    def share(more):
        sizes = 12 + more, 12 + more
        return share_shown(truths, sizes, lambda study: shows_agreement(study, margins), STREAMS)

    place = numbers.index(plan.of_each.more)
    assert plan.of_each.share == share(plan.of_each.more) >= planning.ENOUGH
    assert place == 0 or share(numbers[place - 1]) < planning.ENOUGH
    # Monte-Carlo error of a share, by definition
    error = math.sqrt(plan.of_each.share * (1 - plan.of_each.share) / planning.REPLICATES)
    assert plan.of_each.standard_error == pytest.approx(error)


def in_order(known):
    """Return the estimates as they are drawn from, the side that comes first in front."""
    if planning.key(known.first) > planning.key(known.second):
        known = replace(known, first=known.second, second=known.first)
    return known, (12, 12)


@pytest.mark.parametrize("enough_from", [1, 2, 10, 11, 37, 137, 200, 201])
def test_halving_finds_what_trying_every_number_finds(enough_from):
    def share(more):
        return 0.9 if more >= enough_from else 0.1

    found = fewest(share, MOST)
    slow = next((more for more in numbers_tried(MOST) if share(more) >= 0.8), None)
    assert (found and found.more) == slow


@pytest.mark.parametrize("most", [1, 7, 10, 11, 200, 1400])
def test_numbers_rise_to_the_largest_one(most):
    numbers = numbers_tried(most)
    assert numbers[0] == 1
    assert numbers[-1] == most
    assert all(after > before for before, after in pairwise(numbers))


def test_exchanging_the_populations_exchanges_the_plan(few):
    margins = replace(MARGINS, corrected_r=0.6)
    one = settle(few, sizes=(12, 12), margins=margins)
    other = settle(
        replace(few, first=few.second, second=few.first), margins=margins, sizes=(12, 12)
    )
    assert (one.first_only, one.second_only) == (other.second_only, other.first_only)
    assert one.of_each == other.of_each


def test_a_stricter_margin_takes_no_fewer_people(few):
    loose, strict = (
        settle(few, sizes=(12, 12), margins=replace(MARGINS, corrected_r=least)).of_each.more
        for least in (0.5, 0.8)
    )
    assert loose < strict


def test_the_same_key_gives_the_same_plan_and_another_seed_other_draws(few):
    truths = [
        [one.first.mean for one in drawn_truths(few, (12, 12), streams)]
        for streams in (STREAMS, replace(STREAMS), replace(STREAMS, seed=2))
    ]
    assert truths[0] == truths[1]
    assert truths[0] != truths[2]
    assert settle(few, sizes=(12, 12)) == settle(few, sizes=(12, 12))


def test_a_draw_hangs_on_its_number_alone(few, monkeypatch):
    every = drawn_truths(few, (12, 12), STREAMS)
    monkeypatch.setattr(planning, "REPLICATES", 5)
    less = drawn_truths(few, (12, 12), STREAMS)
    assert [one.first.mean for one in less] == [one.first.mean for one in every[:5]]


@pytest.mark.parametrize("question", ["other_criteria", "many_named", "unknown"])
def test_no_number_is_given_where_people_do_not_help(few, question):
    plan = settle(few, question)
    assert (plan.question, plan.first_only, plan.second_only, plan.of_each) == (
        question, None, None, None,
    )  # fmt: skip


def test_nothing_known_is_said():
    assert settle(None).question == "unknown"


def evidence(**changed):
    found = {
        "mantel_p": 0.01, "reliability": 0.8, "corrected_low": 0.85, "corrected_low_without": 0.85,
        "n_terms": 60, "named": 0, "class_changes": 0, "subclass_changes": 0,
        "expected_class_changes": 0.0, "usual_class_changes": 0.0, "named_class_changes": 0,
        "p_matched": 0.5,
    }  # fmt: skip
    return Evidence(**{**found, **changed})


@pytest.mark.parametrize(
    ("changed", "correlation", "question"),
    [
        ({}, 0.95, "agreement"),
        ({"reliability": 0.6, "corrected_low_without": 0.95}, 0.97, "agreement"),
        ({}, 0.89, "shortfall"),
        ({"corrected_low_without": 0.93}, 0.97, "other_criteria"),
        ({"named": 10}, 0.95, "many_named"),
        ({"named": 9}, 0.95, "agreement"),
        ({}, math.nan, "unknown"),
        ({"reliability": math.nan}, 0.95, "unknown"),
    ],
)
def test_what_people_could_settle(changed, correlation, question):
    assert question_of(evidence(**changed), correlation, MARGINS) == question


@pytest.mark.parametrize(
    ("low", "high", "least", "agreement", "shortfall"),
    [
        (0.90, 0.95, 0.70, True, False),
        (0.89, 0.95, 0.70, False, False),
        (0.95, 0.99, 0.69, False, False),
        (0.70, 0.89, 0.70, False, True),
        (0.70, 0.90, 0.70, False, False),
        (0.70, 0.80, 0.69, False, False),
        (math.nan, math.nan, 0.9, False, False),
        (0.90, 0.95, math.nan, False, False),
        (0.70, 0.89, math.nan, False, False),
    ],
)
def test_the_margins_are_those_of_the_dossier(low, high, least, agreement, shortfall):
    correlation = CorrectedCorrelation((low + high) / 2, low, high, 0.01)
    for reliabilities in ((0.9, least), (least, 0.9)):
        study = Study(correlation, reliabilities, (1.0, 1.0))
        assert shows_agreement(study, MARGINS) is agreement
        assert shows_shortfall(study, MARGINS) is shortfall


def number(more, share=0.82):
    return {"more": more, "share": share, "standard_error": 0.02}


def told(question="agreement", only=(None, None), of_each=None):
    plan = {
        "question": question, "only": dict(zip(("makers", "panel"), only, strict=True)),
        "of_each": of_each, "most": 240, "enough": 0.8, "replicates": 400,
    }  # fmt: skip
    return words.plan_sentence({"plan": plan}, LABELS)


def test_every_way_is_told_with_its_share_and_error():
    said = told(only=(None, number(12)), of_each=number(5, 0.85))
    assert "12 more of Panel alone (0.82, Monte-Carlo error 0.02)" in said
    assert "or 5 more of each (0.85, Monte-Carlo error 0.02)" in said
    assert "equivalence would be shown" in said


def test_people_who_would_not_help_are_not_asked_for():
    assert "more of each" not in told(only=(number(20), None), of_each=number(20))


def test_that_no_number_would_do_is_said_with_the_largest_tried():
    assert "no number up to 240 more people would show equivalence" in told()


@pytest.mark.parametrize("of_each", [None, number(30)])
def test_where_agreement_falls_short_keeping_apart_is_not_promised(of_each):
    said = told("shortfall", of_each=of_each)
    assert "agree by less than is asked" in said
    assert "Keeping apart cannot be promised either" in said
    assert ("30 more of each" in said) == (of_each is not None)


@pytest.mark.parametrize(
    ("question", "said"),
    [
        ("other_criteria", "met already"),
        ("many_named", "more terms are placed differently"),
        ("unknown", "cannot be said"),
    ],
)
def test_where_no_number_helps_it_is_said_why(question, said):
    assert said in told(question)


def test_what_is_settled_needs_no_plan():
    assert words.plan_sentence({"plan": None}, LABELS) == ""
