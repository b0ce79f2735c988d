"""Stability: definitions by slow loops, known formulas, and what it must not depend on."""

import numpy as np
import pytest
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.charting import charted
from felloe.ground.people import halves
from felloe.ground.people.counted_pairs import CountedPairs
from felloe.ground.people.counts import count_cooccurrence, similarity
from felloe.ground.people.halves import correlated_samples
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.ground.terms import Terms
from felloe.validation.settings import StabilitySettings
from felloe.validation.stability.planning import (
    Gain,
    Plan,
    expected_curve,
    people_needed,
    plan,
    predicted_reliability,
)
from felloe.validation.stability.reliability import (
    Cuts,
    Spread,
    curve_sizes,
    half_sizes,
    learning_curve,
    repeated_on_parts,
    split_halves,
    spread,
    stepped_up,
    stratified_samples,
    tier_cuts,
)
from scipy.cluster.hierarchy import cut_tree, linkage
from scipy.spatial.distance import squareform
from scipy.stats import pearsonr
from sorting_examples import dissimilarity
from study_folder import reference_rows

CUTS = Cuts("average", 4, 8)
POPULATIONS = ["a"] * 9 + ["b"] * 5


def kinship_piles():
    rows = reference_rows("data/kinship_women_single_sorts_wide.csv")
    return np.array([[int(value) for value in list(row.values())[1:]] for row in rows])


def some_piles(n, terms=20, seed=4, noise=0.4):
    rng = np.random.default_rng(seed)
    classes = np.arange(terms) % 4
    rows = [
        np.where(rng.random(terms) < noise, rng.integers(0, 4, terms), classes) for _ in range(n)
    ]
    return np.array(rows)


def test_two_samples_share_nobody_and_hold_so_many_of_each_population():
    sizes = {"a": (3, 4), "b": (2, 2)}
    first, second = stratified_samples(np.random.default_rng(1), POPULATIONS, sizes, 50)
    assert not (first & second).any()
    assert (first[:, :9].sum(axis=1) == 3).all()
    assert (second[:, :9].sum(axis=1) == 4).all()
    assert (first[:, 9:].sum(axis=1) == 2).all()


def test_two_halves_hold_everybody():
    sizes = half_sizes(POPULATIONS)
    first, second = stratified_samples(np.random.default_rng(1), POPULATIONS, sizes, 20)
    assert (first ^ second).all()


def test_samples_larger_than_a_population_are_refused():
    with pytest.raises(ValueError, match="5 members"):
        stratified_samples(np.random.default_rng(1), POPULATIONS, {"a": (1, 1), "b": (3, 3)}, 2)


def test_sizes_of_the_learning_curve_end_at_half_of_every_population():
    sizes = curve_sizes(POPULATIONS, 4)
    assert sizes[-1] == {"a": (4, 4), "b": (2, 2)}
    totals = [sum(one for one, _ in step.values()) for step in sizes]
    assert totals == sorted(set(totals))


def test_the_correlation_of_halves_equals_the_definition_with_missing_terms():
    piles = some_piles(14)
    piles[np.random.default_rng(2).random(piles.shape) < 0.1] = -1
    samples = stratified_samples(np.random.default_rng(3), POPULATIONS, half_sizes(POPULATIONS), 8)
    upper = np.triu_indices(20, 1)
    expected = []
    for one, other in zip(*samples, strict=True):
        shares = []
        for members in (one, other):
            together, both = count_cooccurrence(piles[members])
            shares.append((together / both)[upper])
        expected.append(pearsonr(*shares)[0])
    np.testing.assert_allclose(
        correlated_samples(pair_vectors(piles), *samples), expected, atol=1e-9
    )


def test_reliability_is_the_stepped_up_mean_of_the_halves():
    vectors = pair_vectors(some_piles(14))
    half, whole = split_halves(vectors, POPULATIONS, 200, np.random.default_rng(1))
    assert half.repeats == 200
    assert whole.mean == pytest.approx(2 * half.mean / (1 + half.mean), abs=1e-9)


def test_people_who_all_sort_alike_are_fully_reliable():
    piles = np.tile(np.arange(20) % 4, (14, 1))
    half, whole = split_halves(pair_vectors(piles), POPULATIONS, 50, np.random.default_rng(1))
    assert (half.mean, whole.mean) == (1.0, 1.0)


@pytest.mark.parametrize(
    ("half", "whole"), [(-1.0, -1.0), (-0.5, -1.0), (-0.2, -0.5), (0.5, 2 / 3)]
)
def test_the_reliability_of_halves_that_contradict_each_other_is_at_least_minus_one(half, whole):
    # 2r / (1 + r): -0.5 would give -2, which is no correlation
    assert stepped_up(half) == pytest.approx(whole, abs=1e-9)


def test_halves_without_a_correlation_have_no_reliability():
    assert np.isnan(stepped_up(float("nan")))


def test_people_who_sort_at_random_are_not_reliable():
    rng = np.random.default_rng(8)
    piles = rng.permuted(np.tile(np.arange(40) % 8, (30, 1)), axis=1)
    half, _ = split_halves(pair_vectors(piles), ["a"] * 30, 200, np.random.default_rng(1))
    assert abs(half.mean) < 0.15


def test_reliability_of_half_the_kinship_sorters_predicts_that_of_all():
    # Spearman-Brown must hold on real data: halves of 42 stepped up from quarters of 21
    piles = kinship_piles()
    vectors, everybody = pair_vectors(piles), ["women"] * len(piles)
    rng = np.random.default_rng(2)
    quarters = correlated_samples(
        vectors, *stratified_samples(rng, everybody, {"women": (21, 21)}, 400)
    )
    halves = correlated_samples(
        vectors, *stratified_samples(rng, everybody, {"women": (42, 42)}, 400)
    )
    assert predicted_reliability(quarters.mean(), 2.0) == pytest.approx(halves.mean(), abs=0.01)


@pytest.mark.parametrize("factor", [0.5, 1.0, 3.0])
def test_predicted_reliability_is_the_formula_of_spearman_and_brown(factor):
    assert predicted_reliability(0.8, factor) == pytest.approx(
        factor * 0.8 / (1 + (factor - 1) * 0.8), abs=1e-9
    )


def test_the_people_needed_reach_the_target_and_one_fewer_does_not():
    needed = people_needed(0.88, 22, 0.95)
    assert predicted_reliability(0.88, needed / 22) >= 0.95
    assert predicted_reliability(0.88, (needed - 1) / 22) < 0.95


def test_no_number_of_people_is_named_where_halves_do_not_agree():
    assert people_needed(-0.1, 22, 0.95) is None


def test_tier_cuts_equal_those_of_general_software():
    piles = some_piles(14, noise=0.6)
    together, both = count_cooccurrence(piles)
    row = (together / both)[np.triu_indices(20, 1)]
    tree = linkage(squareform(dissimilarity(together, both)), "average")
    for cut, number in zip(tier_cuts(row, Cuts("average", 4, 9)), (4, 9), strict=True):
        assert adjusted_rand(cut, cut_tree(tree, number)[:, 0]) == 1.0


def test_larger_samples_agree_better_on_the_kinship_terms():
    piles = kinship_piles()
    points = learning_curve(
        pair_vectors(piles),
        ["women"] * len(piles),
        4,
        60,
        Cuts("average", 3, 5),
        Streams(1, "kinship"),
    )
    means = [point.mean for point in points if point.quantity == "matrix_correlation"]
    assert means == sorted(means)
    assert means[-1] > means[0] + 0.05


def test_a_sample_resembles_the_whole_more_than_another_sample():
    vectors = pair_vectors(some_piles(14, noise=0.6))
    points = learning_curve(vectors, POPULATIONS, 3, 40, CUTS, Streams(1, "study"))
    mean = {(point.quantity, point.participants): point.mean for point in points}
    for (quantity, participants), value in list(mean.items()):
        if quantity == "matrix_correlation":
            assert mean["matrix_correlation_with_all", participants] > value


def test_the_learning_curve_does_not_depend_on_the_numbering_of_piles():
    piles = some_piles(14)
    first, second = (
        learning_curve(pair_vectors(rows), POPULATIONS, 3, 10, CUTS, Streams(1, "study"))
        for rows in (piles, 3 - piles)
    )
    assert first == second


def test_a_spread_leaves_out_repeats_without_a_value():
    assert spread("matrix_correlation", 5, [0.5, np.nan, 0.7]).repeats == 2


def test_the_plan_says_what_more_people_gain():
    found = plan("a", Spread("reliability", 22, 200, 0.88, 0.8, 0.88, 0.9), 0.95)
    # twice the people: 2 * 0.88 / 1.88 = 0.936; for 0.95: 22 * 0.95 * 0.12 / (0.88 * 0.05) = 57
    assert found.more[-1] == Gain(22, pytest.approx(0.936, abs=5e-4))
    assert found.needed_for_target == 57


def test_nothing_is_planned_for_too_few_people():
    found = plan("a", spread("reliability", 3, []), 0.95)
    assert found == Plan("a", 3, None, (), 0.95, None)


def test_the_expected_curve_passes_through_what_there_is():
    curve = expected_curve(22, 0.88)
    people, reliability = zip(*curve, strict=True)
    assert (people[0], people[-1]) == (11.0, 44.0)
    assert np.interp(22, people, reliability) == pytest.approx(0.88, abs=1e-3)


def test_nothing_is_expected_without_a_reliability():
    assert expected_curve(3, None) == []


def test_every_population_and_everybody_is_halved():
    piles = some_piles(14)
    people = tuple(f"p{number}" for number in range(14))
    sorts = Sorts(people, tuple(POPULATIONS), Terms(map(str, range(20))), piles)
    settings = StabilitySettings(halves=20, curve_repeats=5, curve_steps=2, target=0.9)
    found = repeated_on_parts(sorts, CUTS, settings, Streams(1, "study"))
    assert [whole.participants for _, whole in found.halves.values()] == [9, 5, 14]
    alone = split_halves(
        pair_vectors(piles[:9]), ["a"] * 9, 20, Streams(1, "study").generator("split halves a")
    )
    assert found.halves["a"] == alone


@pytest.mark.parametrize("share", [0.4, 1.0])
def test_the_curve_is_that_of_matrices_counted_sample_by_sample(share, monkeypatch):
    piles = some_piles(14, noise=0.6)
    piles[np.random.default_rng(5).random(piles.shape) > share] = -1
    prior = None if share == 1.0 else 1.0
    monkeypatch.setattr(halves, "MOST_CELLS", 3 * 190)  # three repeats at a time
    found = learning_curve(CountedPairs(piles, prior), POPULATIONS, 3, 10, CUTS, Streams(1, "s"))

    def told(members):
        similar = similarity(*count_cooccurrence(piles[members]), prior)
        tiers = charted(similar, CUTS.linkage, (CUTS.classes, CUTS.subclasses))[1]
        return similar[np.triu_indices(20, 1)], *tiers

    whole, expected = told(np.ones(14, dtype=bool)), []
    for number, sizes in enumerate(curve_sizes(POPULATIONS, 3)):
        rng = Streams(1, "s").generator("learning curve", number)
        samples = stratified_samples(rng, POPULATIONS, sizes, 10)
        pairs = [[told(members) for members in both] for both in zip(*samples, strict=True)]
        for other in (1, None):
            against = [(pair[0], whole if other is None else pair[1]) for pair in pairs]
            expected.append(np.mean([np.corrcoef(one[0], two[0])[0, 1] for one, two in against]))
            for tier in (1, 2):
                agreed = [adjusted_rand(one[tier], two[tier]) for one, two in against]
                expected.append(np.mean(agreed))
    assert [point.mean for point in found] == pytest.approx(expected, abs=1e-8)
