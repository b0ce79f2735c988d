"""Plans: a slow loop beside them, what must rise or fall, and people of another make."""

import math
from itertools import pairwise

import numpy as np
import pytest
from calibration.cases import Person
from calibration.nested_truth import NESTED
from felloe.foresight import plan
from felloe.foresight.assumptions import Habits, Truth, even_truth, moved_truth
from felloe.foresight.expected import recovery
from felloe.foresight.pilot import habits_of, share_coarse
from felloe.foresight.plan import Assumed, column, observers_of, sizes_of, spread_of
from felloe.foresight.sorters import drawn_sorts, least_seen
from felloe.ground.people.halves import split_half_reliability
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.randomness import Streams

STREAMS = Streams(7, "planned")
ASSUMED = Assumed(even_truth(30, 5, 2), Habits(0.5, 0.3), 0.4, 1.0, "average", 0.05, 8)
PEOPLE = [12, 40, 120]


@pytest.fixture(scope="module")
def columns():
    """Cells by terms a person, in the order of people; few studies of each."""
    return {each: column(ASSUMED, each, PEOPLE, STREAMS) for each in (12, 30)}


def test_recovery_is_the_mean_over_studies_drawn_one_by_one(columns):
    truth, found = ASSUMED.truth, []
    shown = [
        least_seen(STREAMS.generator("plan shown\n12", place), size, 30, 12)
        for place, size in enumerate((72, 48))
    ]
    for study in range(8):
        parts = [
            drawn_sorts(
                STREAMS.generator("plan sorts\n12", 2 * study + place), truth, ASSUMED.habits, own
            )[:size]
            for place, (own, size) in enumerate(zip(shown, (24, 16)))
        ]
        found.append(recovery(np.concatenate(parts), truth, 1.0, "average").classes)
    cell = columns[12][1]
    assert cell.classes.mean == pytest.approx(np.mean(found))
    assert cell.classes.error == pytest.approx(np.std(found, ddof=1) / math.sqrt(8))
    assert (cell.smaller, cell.people) == (16, 40)
    assert cell.observers == pytest.approx(40 * 12 * 11 / (30 * 29))


@pytest.mark.parametrize("name", ["reliability", "smaller_reliability", "classes", "subclasses"])
def test_more_people_and_more_terms_tell_more(columns, name):
    for cells in columns.values():
        told = [getattr(cell, name) for cell in cells]
        for fewer, more in pairwise(told):
            assert more.mean >= fewer.mean - 2 * (fewer.error + more.error)
    for part, whole in zip(columns[12], columns[30]):
        fewer, more = getattr(part, name), getattr(whole, name)
        assert more.mean >= fewer.mean - 2 * (fewer.error + more.error)
    assert getattr(columns[30][-1], name).mean > getattr(columns[12][0], name).mean


def test_the_smallest_movement_seen_never_grows_with_people(columns):
    for cells in columns.values():
        terms = [cell.movement.terms or math.inf for cell in cells]
        assert terms == sorted(terms, reverse=True)
    assert columns[30][-1].movement.terms <= 3


def test_the_same_again_and_whatever_else_is_planned(columns):
    assert column(ASSUMED, 12, PEOPLE, STREAMS) == columns[12]
    other = column(ASSUMED, 12, PEOPLE, Streams(8, "planned"))
    assert other != columns[12]


def test_more_careless_people_tell_less(columns):
    careless = Assumed(ASSUMED.truth, Habits(0.5, 0.6), 0.4, 1.0, "average", 0.05, 8)
    for bad, usual in zip(column(careless, 30, PEOPLE, STREAMS), columns[30]):
        assert bad.reliability.mean < usual.reliability.mean


@pytest.mark.parametrize(
    ("people", "share", "sizes"), [(40, 0.5, (20, 20)), (41, 0.5, (20, 21)), (40, 0.2, (32, 8))]
)
def test_people_are_divided(people, share, sizes):
    assert sizes_of(people, share) == sizes


def test_unknown_values_are_left_out_of_the_mean():
    assert spread_of([1.0, math.nan, 3.0]).mean == 2.0
    assert math.isnan(spread_of([math.nan]).mean)


def test_observers_are_those_of_both_populations():
    shown = [np.ones((3, 4), dtype=bool), np.zeros((2, 4), dtype=bool)]
    assert observers_of(shown, (2, 2)) == (2.0, 2)


@pytest.mark.parametrize("astray", [0.15, 0.35, 0.55])
def test_a_pilot_of_the_same_make_gives_back_its_habits(astray):
    truth = even_truth(48, 6, 3)
    shown = np.ones((60, 48), dtype=bool)
    piles = drawn_sorts(np.random.default_rng(5), truth, Habits(0.5, astray), shown)
    found = habits_of(piles, truth, None, STREAMS)
    # 60 people: the mixture has an error of 0.065, and carelessness follows it
    assert found.astray == pytest.approx(astray, abs=0.08)
    assert found.coarse == pytest.approx(0.5, abs=0.2)


def test_people_without_error_are_told_coarse_from_fine():
    truth = even_truth(48, 6, 3)
    piles = np.stack([truth.classes] * 3 + [truth.subclasses])
    assert share_coarse(piles, truth) == 0.75


def people_of_another_make(rng, known, n_people):
    kinds = [Person(lumper=bool(n % 2), noise=1.0) for n in range(n_people)]
    return np.stack([NESTED.sort(rng, known, one) for one in kinds])


def test_a_study_of_another_make_comes_out_within_the_stated_range():
    """
    Pilot and study come from people who split and merge class by class, with terms of unequal
    difficulty; the plan knows two kinds of people and one share astray. What it promises of the
    reliability holds all the same, in the mean of several studies, and subclasses come back less.
    """
    rng = np.random.default_rng(11)
    known = NESTED.structure(rng, 60)
    truth = Truth(known.classes[known.subclasses], known.subclasses)
    pilot = people_of_another_make(rng, known, 40)
    assumed = Assumed(truth, habits_of(pilot, truth, None, STREAMS), 0.5, 1.0, "average", 0.05, 8)
    (cell,) = column(assumed, 60, [100], STREAMS)
    studies = [people_of_another_make(rng, known, 100) for _ in range(6)]
    got = [split_half_reliability(pair_vectors(one), 20, rng).reliability for one in studies]
    slack = 0.02  # the pilot's own error: 40 people
    assert cell.reliability.low - slack <= np.mean(got) <= cell.reliability.high + slack


def test_movement_is_simulated_in_the_smaller_population():
    invented = plan.Invented(ASSUMED, 30, PEOPLE, STREAMS)
    truth = ASSUMED.truth
    moved = moved_truth(invented.draw("moved", 0), truth, 3)
    assert (invented.sorts(0, 1, moved) != invented.sorts(0, 1, truth)).any(axis=0).sum() >= 3
    assert len(invented.compared(0, 3)) == len(PEOPLE)
