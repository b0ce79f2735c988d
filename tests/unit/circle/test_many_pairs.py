"""Maps of many terms: fitted to a sample of pairs first, and carried on with all, one at a time."""

import numpy as np
import pytest
from felloe.circle.map.disparities import Model
from felloe.circle.map.map_evidence import (
    Effort,
    best_map,
    dimension_curve,
    null_stress,
    restart_agreement,
    shown_map,
)
from felloe.circle.map.one_map import carried_on
from felloe.circle.map.pair_sample import PairSample, pair_sample, stress_error
from felloe.circle.map.scaling import joined, pair_distances, scale, stress_1
from felloe.circle.record import scaling_record
from felloe.circle.settings import MapSettings
from felloe.clustering.replicates.redraws import each_redrawn, make_basis, redrawn_distances
from felloe.ground.distances import Distances
from felloe.ground.randomness import Streams
from felloe.ground.squares import upper
from felloe.ground.terms import Terms
from felloe.settings import DEFAULTS, read_yaml
from felloe.validation.protocol import settings_that_matter

STREAMS = Streams(11, "study")
MODELS = (Model("ordinal"), Model("ordinal", "secondary"), Model("metric"))


def shares(seed, n, people=12):
    """Distances of invented people, with many ties."""
    rng = np.random.default_rng(seed)
    points = rng.random((n, 2))
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    drawn = rng.binomial(people, np.clip(apart, 0, 1)) / people
    D = np.round(np.triu(drawn, 1) + np.triu(drawn, 1).T, 12)
    return Distances(Terms(f"t{place:03d}" for place in range(n)), D)


def some(n, m, seed=0):
    places = np.random.default_rng(seed).choice(n * (n - 1) // 2, m, replace=False)
    return PairSample(n, np.sort(places))


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize("rounds", [1, 4, 200])
def test_one_map_carried_on_is_that_of_many_maps_at_once(model, rounds):
    apart = shares(1, 25)
    begun = np.random.default_rng(0).normal(size=(1, 25, 2))
    many = scale(apart.pairs, begun, model, rounds, 1e-6)
    one = carried_on(apart.pairs, begun[0], model, rounds, 1e-6)
    assert one.points == pytest.approx(many.points, abs=1e-7)
    assert one.stress == pytest.approx(many.stress, abs=1e-8)
    assert one.rounds.tolist() == many.rounds.tolist()


def test_no_sample_is_drawn_where_there_are_no_more_pairs_than_asked_for():
    assert pair_sample(20, 190, STREAMS) is None
    drawn = pair_sample(20, 189, STREAMS)
    assert len(np.unique(drawn.places)) == 189
    assert drawn.places.max() < drawn.n_pairs == 190
    assert pair_sample(20, 189, STREAMS).places.tolist() == drawn.places.tolist()


def test_the_inverse_of_sampled_pairs_solves_their_least_squares():
    # the move of a majorisation minimises sum over pairs (x_i - x_j - target)^2
    n, sample = 9, some(9, 24)
    i, j = (side[sample.places] for side in upper(n))
    target = np.random.default_rng(2).normal(size=24)
    design = np.zeros((24, n))
    design[np.arange(24), i], design[np.arange(24), j] = 1.0, -1.0
    wanted = np.linalg.lstsq(design, target, rcond=None)[0]
    pairs = joined(n, sample)
    assert pairs.inverse @ (pairs.back @ target) == pytest.approx(wanted, abs=1e-10)


@pytest.mark.parametrize("model", MODELS)
def test_a_sample_of_all_pairs_gives_the_maps_of_all_pairs(model):
    apart = shares(3, 15)
    begun = np.random.default_rng(1).normal(size=(4, 15, 2))
    every = scale(apart.pairs, begun, model, 30, 1e-6)
    chosen = scale(apart.pairs, begun, model, 30, 1e-6, PairSample(15, np.arange(105)))
    assert chosen.points == pytest.approx(every.points, abs=1e-7)


def test_stress_of_sampled_pairs_falls_and_is_that_of_these_pairs():
    apart, sample = shares(4, 30), some(30, 200)
    begun = np.random.default_rng(1).normal(size=(1, 30, 2))
    chosen = apart.pairs[sample.places]
    found = [scale(chosen, begun, Model("metric"), k, 0.0, sample) for k in (1, 3, 60)]
    assert found[0].stress[0] > found[1].stress[0] > found[2].stress[0]
    distances = pair_distances(found[2].points[0])[sample.places]
    fitted = chosen * (distances @ chosen) / (chosen @ chosen)
    assert found[2].stress[0] == pytest.approx(float(stress_1(distances, fitted)), abs=1e-8)


def test_the_error_of_a_sampled_stress_is_its_spread_over_samples():
    rng = np.random.default_rng(8)
    distances = rng.gamma(4.0, size=4000)
    disparities = distances + rng.normal(scale=0.6, size=4000)
    drawn = [rng.choice(4000, 800, replace=False) for _ in range(2000)]
    stresses = [float(stress_1(distances[one], disparities[one])) for one in drawn]
    errors = [stress_error(distances[one], disparities[one], 4000) for one in drawn]
    assert np.mean(errors) == pytest.approx(np.std(stresses), rel=0.06)
    assert stress_error(distances, disparities, 4000) == 0.0


def test_the_map_that_is_shown_fits_all_pairs_though_its_start_was_sought_with_some():
    apart = shares(5, 40)
    with_all = best_map(apart, MODELS[2], Effort(8, 40), np.random.default_rng(3))
    sample = some(40, 400)
    found = best_map(apart, MODELS[2], Effort(8, 40, sample), np.random.default_rng(3))
    assert found.stress == pytest.approx(with_all.stress, abs=1e-6)
    assert len(found.distances) == 780
    assert with_all.sample_error is None
    assert 0.0 < found.sample_error < 0.05


def test_curve_and_maps_without_structure_are_those_of_all_pairs_where_starts_agree():
    apart, sample = shares(6, 24), some(24, 200)
    efforts = Effort(6, 300), Effort(6, 300, sample)
    rngs = [np.random.default_rng(4) for _ in efforts]
    curves = [
        [stress for _, stress in dimension_curve(apart, MODELS[2], one, rng, 3)]
        for one, rng in zip(efforts, rngs, strict=True)
    ]
    assert curves[1] == pytest.approx(curves[0], abs=0.01)
    piles = np.random.default_rng(5).integers(1, 4, size=(20, 24))
    basis = make_basis(piles, ["panel"] * 20)
    null = [null_stress(basis, MODELS[2], one, STREAMS, 2) for one in efforts]
    assert null[1] == pytest.approx(null[0], abs=0.02)


@pytest.mark.parametrize("gaps", [False, True])
def test_redraws_one_by_one_are_those_measured_together(gaps, monkeypatch):
    rng = np.random.default_rng(6)
    piles = rng.integers(0 if gaps else 1, 5, size=(30, 12))
    basis = make_basis(piles, ["a", "b"] * 15, prior=1.0 if gaps else None)
    together = redrawn_distances(basis, STREAMS, 7)
    monkeypatch.setattr("felloe.clustering.replicates.redraws.BATCH", 3)
    one_by_one = list(each_redrawn(basis, STREAMS, 7))
    assert np.array_equal(np.array(one_by_one), together)


def test_a_record_tells_of_a_sample_only_where_one_was_drawn():
    apart, settings = shares(7, 30), read_yaml(DEFAULTS)["map"]
    found = {}
    for most in (435, 300):
        asked = MapSettings(**settings | {"starts": 6, "most_pairs": most})
        shown, _ = shown_map(apart, asked, STREAMS)
        agreement = restart_agreement(shown)
        found[most] = scaling_record(asked, shown, None, agreement, 0.0)
    assert "sample" not in found[435]
    assert {**found[300]["sample"], "stress_1_error": 0} == {
        "pairs": 300,
        "of": 435,
        "stress_1_error": 0,
    }
    assert found[300]["sample"]["stress_1_error"] > 0


def test_a_protocol_from_before_the_setting_is_still_kept_to():
    now = read_yaml(DEFAULTS)
    before = {**now, "map": {k: v for k, v in now["map"].items() if k != "most_pairs"}}
    assert settings_that_matter(now) == settings_that_matter(before)
    other = {**now, "map": {**now["map"], "most_pairs": 60_000}}
    assert settings_that_matter(other)["map"]["most_pairs"] == 60_000
