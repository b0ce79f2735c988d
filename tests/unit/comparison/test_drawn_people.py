"""Tests of people that look at a sample of them: who is drawn, what it costs, what is said."""

from dataclasses import replace
from pathlib import Path

import comparison_example as example
import numpy as np
import pytest
import yaml
from calibration.sorting_people import CASES, invented_sorts, two_populations
from felloe.comparison import sample_words
from felloe.comparison.correlating.corrected import UNKNOWN, corrected_correlation
from felloe.comparison.drawn_people import (
    Drawn,
    draw_people,
    error_of_drawing,
    reliabilities_drawn,
    stepped_to,
)
from felloe.comparison.pair import compare_people
from felloe.comparison.record import dossier_record
from felloe.comparison.verdict import CANNOT
from felloe.ground.people.canonical_order import in_canonical_order
from felloe.ground.people.halves import spearman_brown
from felloe.ground.people.pairs import pair_vectors, person_covariances
from felloe.ground.randomness import Streams
from felloe.matrices.counts import counts_by_population
from jsonschema import Draft202012Validator

FIRST = np.arange(50) % 3 == 0  # 17 of the first population, 33 of the second
SCHEMA = (
    Path(__file__).parents[3]
    / "workflow/schemas/records/comparison.populations.schema.yaml"
)  # fmt: skip


def many(case, seed, n=60):
    """Return the sorts of so many people of each population, of 30 terms, and the settings."""
    piles, first = two_populations(case, np.random.default_rng(seed), n)
    return in_canonical_order(invented_sorts(piles[:, ::2], first, ("makers", "panel")))


def settings(most):
    return replace(
        example.SETTINGS, people_at_most=most, numbers=(5, 10), permutations=99, splits=20
    )


@pytest.fixture(scope="module")
def sampled():
    sorts = many(CASES[0], 1)
    dossier = example.dossier_of(sorts, settings(50))
    return sorts, dossier, example.record_of(dossier, sorts)


@pytest.mark.parametrize(
    ("most", "sizes"), [(10, (5, 5)), (34, (17, 17)), (41, (17, 24)), (49, (17, 32))]
)
def test_at_most_so_many_are_drawn_half_of_each_where_there_are_so_many(most, sizes):
    drawn = draw_people(FIRST, most, np.random.default_rng(1))
    assert drawn.sizes == sizes
    turned = draw_people(~FIRST, most, np.random.default_rng(1))
    assert turned.sizes == sizes[::-1]
    assert drawn.of == (17, 33)
    assert len(set(drawn.people.tolist())) == len(drawn.people)
    assert drawn.people.tolist() == sorted(drawn.people.tolist())
    assert np.array_equal(drawn.first, FIRST[drawn.people])


@pytest.mark.parametrize("most", [None, 50])
def test_few_people_are_all_looked_at_and_nothing_is_drawn(most):
    rng = np.random.default_rng(1)
    drawn = draw_people(FIRST, most, rng)
    assert drawn.everybody
    assert drawn.people.tolist() == list(range(50))
    assert rng.random() == np.random.default_rng(1).random()


def test_everybody_is_as_likely_to_be_drawn():
    rng, times = np.random.default_rng(2), 2000
    seen = sum(np.bincount(draw_people(FIRST, 20, rng).people, minlength=50) for _ in range(times))
    share = np.where(FIRST, 10 / 17, 10 / 33)
    error = np.sqrt(share * (1 - share) / times)
    assert (np.abs(seen / times - share) < 4.5 * error).all()


def test_the_error_of_drawing_is_how_far_samples_lie_from_everybody():
    sorts = many(CASES[3], 3, 150)
    first = np.array([name == "makers" for name in sorts.populations])
    covariances = person_covariances(pair_vectors(sorts.piles))
    whole, rng = corrected_correlation(covariances, first).corrected, np.random.default_rng(4)
    away, told = [], []
    for _ in range(200):
        drawn = draw_people(first, 80, rng)
        some = covariances[np.ix_(drawn.people, drawn.people)]
        found = corrected_correlation(some, drawn.first)
        away.append(found.corrected - whole)
        told.append(error_of_drawing(found, drawn))
    # 200 draws know a root mean square to 5 %
    assert np.sqrt(np.mean(np.square(told))) == pytest.approx(
        np.sqrt(np.mean(np.square(away))), rel=0.25
    )


def test_of_everybody_there_is_no_error_of_drawing_and_of_nothing_known_none_is_told():
    everybody = Drawn(np.arange(50), FIRST, (17, 33))
    piles = np.random.default_rng(5).integers(3, size=(50, 9)) * 0 + np.arange(9) // 3
    piles[::4, 0] = 2
    covariances = person_covariances(pair_vectors(piles))
    assert error_of_drawing(corrected_correlation(covariances, FIRST), everybody) == 0.0
    assert np.isnan(error_of_drawing(UNKNOWN, everybody))


def test_stepping_to_twice_the_people_is_spearman_and_browns_formula():
    assert stepped_to(0.6, 20, 40) == pytest.approx(spearman_brown(0.6))
    assert stepped_to(stepped_to(0.6, 20, 70), 70, 20) == pytest.approx(0.6)
    assert stepped_to(0.7, 30, 30) == 0.7


def test_a_limit_that_nobody_reaches_changes_nothing():
    sorts = many(CASES[3], 6, 20)
    free, bound = (
        example.record_of(example.dossier_of(sorts, settings(most)), sorts) for most in (None, 40)
    )
    assert free == bound
    assert "sample" not in free


def test_the_record_of_a_sample_is_as_its_schema_says_and_tells_its_size(sampled):
    _, _, record = sampled
    Draft202012Validator(yaml.safe_load(SCHEMA.read_text("utf-8"))).validate(record)
    assert record["sample"]["drawn"] == {"makers": 25, "panel": 25}
    assert record["sample"]["of"] == record["n_people"] == {"makers": 60, "panel": 60}
    assert record["sample"] == record["pairs"][0]["sample"]
    interval = record["noise_ceiling"]["corrected_r"]
    assert 0.0 < record["sample"]["corrected_r_error"] < interval["standard_error"]


def test_what_is_counted_is_counted_from_everybody(sampled):
    sorts, dossier, _ = sampled
    counts = counts_by_population(sorts)
    shares = [counts[name].similarity() for name in ("makers", "panel")]
    apart = shares[0] - shares[1]
    found = dossier.decisive.found.people
    assert found.tests.terms.pairs == pytest.approx(apart[np.triu_indices(30, 1)], abs=1e-9)
    slow = [np.mean([abs(apart[i, j]) for j in range(30) if j != i]) for i in range(30)]
    assert found.tests.terms.terms == pytest.approx(slow, abs=1e-9)
    whole = example.dossier_of(sorts, settings(None)).decisive.found.people
    assert found.noise.reliabilities == whole.noise.reliabilities
    assert np.array_equal(found.noise.split_correlations, whole.noise.split_correlations)
    assert np.array_equal(found.split_changes, whole.split_changes)


def test_tests_of_people_look_at_those_drawn_alone(sampled):
    sorts, dossier, _ = sampled
    people = dossier.decisive.found.people
    covariances = person_covariances(pair_vectors(sorts.piles[people.drawn.people]))
    assert people.noise.corrected == corrected_correlation(covariances, people.drawn.first)
    assert people.tests.n_matched <= 50


def test_who_is_drawn_hangs_on_no_name_and_no_order_of_the_input(sampled):
    sorts, dossier, _ = sampled
    order = np.random.default_rng(7).permutation(len(sorts.participants))
    renamed = replace(sorts.rows(order), participants=tuple(f"x{k}" for k in order.tolist()))
    again = compare_people(
        in_canonical_order(renamed), settings(50), example.MARGINS.alpha, example.STREAMS
    )
    found = dossier.decisive.found.people
    assert again.people.noise.corrected == found.noise.corrected
    assert again.people.tests.p_matched == found.tests.p_matched
    assert np.array_equal(again.people.shape.p_terms, found.shape.p_terms)


def test_another_seed_draws_others(sampled):
    sorts, dossier, _ = sampled
    again = compare_people(sorts, settings(50), 0.05, Streams(2, "a-study"))
    assert not np.array_equal(again.people.drawn.people, dossier.decisive.found.people.drawn.people)


def test_a_plan_counts_from_those_drawn_and_says_who_was_not():
    sorts = in_canonical_order(example.sorts_of_few(1))
    dossier = example.dossier_of(sorts, settings(12))
    record = example.record_of(dossier, sorts)
    assert record["verdict"] == CANNOT
    assert record["plan"]["most"] == 20 * 6
    said = sample_words.undrawn_sentence(record, example.LABELS)
    assert "2 of Makers and 6 of Panel who were not" in said
    assert "comparison.people_at_most" in said


def test_the_sentences_tell_the_sample_and_its_cost_and_nothing_of_everybody(sampled):
    _, _, record = sampled
    said = sample_words.sample_sentence(record, example.LABELS)
    assert "25 of the 60 of Makers and 25 of the 60 of Panel" in said
    assert f"{record['sample']['corrected_r_error']:.3f}" in said
    whole = {key: what for key, what in record.items() if key != "sample"}
    assert sample_words.sample_sentence(whole, example.LABELS) == ""
    assert sample_words.undrawn_sentence(whole, example.LABELS) == ""


def test_what_may_be_said_of_a_sample_is_judged_by_the_reliability_of_as_few():
    sorts = many(CASES[0], 1)
    dossier = example.dossier_of(sorts, settings(8))
    noise = dossier.decisive.found.people.noise
    told = [halves.reliability for halves in noise.reliabilities]
    fewer = reliabilities_drawn(noise, dossier.decisive.found.people.drawn)
    assert fewer == tuple(stepped_to(one, 60, 4) for one in told)
    margins = replace(example.MARGINS, reliability=(min(told) + max(fewer)) / 2.0)
    assert max(fewer) < margins.reliability < min(told)
    record = dossier_record(dossier, sorts, (5, 10), margins, least=3)
    assert record["noise_ceiling"]["corrected_r"]["because"] == "unreliable"
