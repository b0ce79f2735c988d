"""Populations of people who were shown some terms each: tests, and who stops nothing."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from comparison_example import SETTINGS
from felloe.comparison import dossier
from felloe.comparison.correlating.shares import shares_together
from felloe.comparison.dossier import check_comparable, distances_by_chart
from felloe.comparison.exchanging.matching import granularity_measures, match_people
from felloe.comparison.pair import compare_people, evidence_of
from felloe.comparison.record import granularity_records, missing_record
from felloe.editions.people import sorters
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.ground.terms import Terms
from felloe.matrices.counts import counts_by_population
from felloe.validation.screened.granularity import expected_piles, numbers_at_equal_number
from partial_example import as_shown, balanced_shown, example, term_ids

PILES, SHOWN = example(n_people=12)


def sorts_of(piles, prior, swap=False):
    """Return the sorts of two populations of equal size."""
    half = len(piles) // 2
    names = ["panel"] * half + ["makers"] * half if swap else ["makers"] * half + ["panel"] * half
    people = tuple(f"p{at:03d}" for at in range(len(piles)))
    return Sorts(people, tuple(names), Terms(term_ids(piles.shape[1])), piles, prior)


@pytest.mark.parametrize("number", [1, 2, 3, 5, 7])
def test_expected_piles_are_the_mean_over_every_choice_of_terms(number):
    piles = np.array([0, 0, 0, 1, 1, 2, 3])
    sizes = np.bincount(piles)
    counted = np.zeros(number)
    choices = list(combinations(range(len(piles)), number))
    for choice in choices:
        for size in np.unique(piles[list(choice)], return_counts=True)[1].tolist():
            counted[size - 1] += 1
    assert expected_piles(sizes, number) == pytest.approx(counted / len(choices))


def test_measures_of_equal_numbers_are_those_of_whole_sorts():
    piles = as_shown(PILES, SHOWN)
    assert (piles >= 0).sum(axis=1).tolist() == [16] * 24
    assert granularity_measures(piles, True) == pytest.approx(granularity_measures(piles), abs=1e-8)


def test_who_was_shown_more_does_not_look_finer():
    """One way of sorting; half of the people see twice as many terms."""
    rng = np.random.default_rng(4)
    law = rng.integers(0, 8, (400, 40))  # 40 terms into any of 8 piles
    shown = np.zeros(law.shape, dtype=bool)
    shown[:200, :12] = shown[200:, :24] = True
    piles = as_shown(law, shown)
    numbers, few = numbers_at_equal_number(piles), np.arange(400) < 200
    raw = np.array([len(set(row[row >= 0].tolist())) for row in piles])
    assert raw[~few].mean() - raw[few].mean() > 0.8
    spread = np.sqrt(numbers[few].var() / 200 + numbers[~few].var() / 200)
    assert abs(numbers[~few].mean() - numbers[few].mean()) < 4 * spread


def test_people_of_unequal_numbers_can_be_matched():
    rng = np.random.default_rng(2)
    shown = np.vstack([balanced_shown(rng, 12, 40, 12), balanced_shown(rng, 12, 40, 24)])
    piles, first = as_shown(PILES, shown), np.arange(24) < 12
    assert match_people(piles, first, partial=True).n_matched > match_people(piles, first).n_matched


def evidence(piles, prior, seed=3):
    found = compare_people(sorts_of(piles, prior), SETTINGS, 0.05, Streams(seed, "partial"))
    return found, evidence_of(found)


def test_a_design_that_shows_everything_gives_the_dossier_of_whole_sorts():
    whole, one = evidence(PILES, None)
    parts, other = evidence(PILES, 0.0)
    assert other == replace(
        one,
        **{
            name: pytest.approx(getattr(one, name), abs=1e-6)
            for name in ("reliability", "corrected_low", "corrected_low_without")
        },
    )
    for name in ("unrestricted", "adjusted"):
        was, now = (getattr(each.people.tests, name).p_value for each in (whole, parts))
        assert now == was


def test_people_who_share_no_term_stop_no_comparison():
    # the first two people of each population see the one half and the other half of the terms
    shown = SHOWN.copy()
    for row in (0, 12):
        shown[row : row + 2] = False
        shown[row, :16] = shown[row + 1, 20:36] = True
    piles = as_shown(PILES, shown)
    check_comparable("parts", sorts_of(piles, 1.0))
    found, told = evidence(piles, 1.0)
    assert np.isfinite(told.reliability)
    assert np.isfinite(found.people.noise.corrected.corrected)
    assert 0 < found.people.tests.p_matched <= 1


def test_a_name_of_a_population_changes_no_p():
    piles = as_shown(PILES, SHOWN)
    one = compare_people(sorts_of(piles, 1.0), SETTINGS, 0.05, Streams(3, "partial"))
    other = compare_people(sorts_of(piles, 1.0, swap=True), SETTINGS, 0.05, Streams(3, "partial"))
    assert one.people.tests.unrestricted.sum_among == pytest.approx(
        other.people.tests.unrestricted.sum_among
    )
    assert one.people.noise.correlation == pytest.approx(other.people.noise.correlation)


def test_every_chart_of_the_dossier_is_drawn_to_its_own_mean():
    counts = counts_by_population(sorts_of(as_shown(PILES, SHOWN), 1.0))
    charts = distances_by_chart(counts, ["makers", "panel"])
    for name in ("makers", "panel", "pooled"):
        drawn = charts[name].D
        assert drawn == pytest.approx(1 - counts[name].similarity(), abs=1e-12)
    both = (counts["makers"].similarity() + counts["panel"].similarity()) / 2
    drawn = charts["pooled+equal"].D
    assert drawn == pytest.approx(1 - both, abs=1e-12)
    assert (counts["panel"].both == 0).any()
    assert np.isfinite(shares_together(counts["panel"], np.nan)).all()


def test_missing_is_what_was_shown_and_not_placed():
    piles = as_shown(PILES, SHOWN)
    piles[0, np.flatnonzero(SHOWN[0])[:3]] = -1
    assert missing_record(sorts_of(piles, 1.0), 1, SHOWN) == {
        "unplaced": 3,
        "participants_with_unplaced": 1,
        "placements": 24 * 16,
    }
    records = granularity_records(sorts_of(piles, 1.0), 1)
    assert [record["n_people"] for record in records.values()] == [12, 12]


def test_editions_compare_those_who_saw_enough_of_the_common_terms():
    piles = as_shown(PILES, SHOWN)
    assert not sorters(piles).any()  # nobody placed half of the lexicon
    assert sorters(piles, partial=True).all()
    piles[5, np.flatnonzero(SHOWN[5])[3:]] = -1
    assert np.flatnonzero(~sorters(piles, partial=True)).tolist() == [5]


def test_the_dossier_describes_populations_as_of_one_number_of_terms():
    # one way of sorting, two terms a pile: twelve of the makers' terms, six of the panel's
    piles = np.full((12, 12), -1)
    piles[:6] = np.arange(12) // 2
    piles[6:, :6] = np.arange(6) // 2
    parts, whole = (
        {name: record["piles"]["median"] for name, record in records.items()}
        for records in (granularity_records(sorts_of(piles, prior), 1) for prior in (1.0, None))
    )
    assert whole == {"makers": 6, "panel": 3}
    # six of twelve terms miss a pile with the chance C(10, 6) / C(12, 6) = 5 / 22
    assert parts == pytest.approx({"makers": 6 * 17 / 22, "panel": 3})


@pytest.mark.parametrize("seed", range(6))
def test_the_first_two_people_with_nothing_in_common_are_found(monkeypatch, seed):
    monkeypatch.setattr(dossier, "AT_ONCE", 3)
    rng = np.random.default_rng(seed)
    placed = (rng.random((14, 7)) < (0.95 if seed < 2 else 0.6)).astype(np.float32)
    slow = [
        (one, other)
        for one in range(14)
        for other in range(14)
        if (placed[one] * placed[other]).sum() < 2
    ]
    assert dossier.nothing_in_common(placed) == (slow[0] if slow else None)
