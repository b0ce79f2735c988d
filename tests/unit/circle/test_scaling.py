"""Maps of terms: published stress values, exact cases, invariance, slow definitions."""

import csv
from pathlib import Path

import numpy as np
import pytest
from felloe.circle.map.disparities import Model, Targets
from felloe.circle.map.map_evidence import (
    Effort,
    best_map,
    dimension_curve,
    is_degenerate,
    restart_agreement,
    saturated_share,
)
from felloe.circle.map.scaling import (
    canonical_pose,
    classical_scaling,
    pair_distances,
    scale,
    stress_1,
    stress_per_point,
)
from felloe.ground.distances import Distances
from felloe.ground.squares import condensed
from felloe.ground.terms import Terms
from published import Reference

REFERENCES = Path(__file__).parents[2] / "references"


reference = Reference().value


def square(name):
    """A square matrix of the references."""
    with open(REFERENCES / "data" / name, newline="", encoding="utf-8") as stream:
        _, *rows = csv.reader(stream)
    return np.array([row[1:] for row in rows], dtype=float)


def ekman():
    """Ekman (1954), 14 spectral colours: 1 - similarity."""
    return np.round(1.0 - square("ekman_14_colours_similarity.csv"), 12)


def kinship(source):
    """Rosenberg & Kim (1975), kinship terms: share of people who kept two apart."""
    counts, people, _ = Reference().source_counts(source)
    return np.round(1.0 - counts / people, 12)


def mapped(D, kind="ordinal", ties="primary", starts=50, rounds=150):
    model, effort = Model(kind, ties), Effort(starts, rounds)
    return best_map(apart(D), model, effort, np.random.default_rng(7))


def apart(D):
    """Distances of terms that are named by their places."""
    return Distances(Terms(f"t{place:02d}" for place in range(len(D))), D)


@pytest.fixture(scope="module")
def colours():
    return mapped(ekman())


def test_the_best_ordinal_stress_of_ekmans_colours_is_that_of_a_general_package(colours):
    # vegan 2.6-4 monoMDS, best of 200 starts: 0.0231
    assert colours.stress == pytest.approx(reference("ekman", "monomds_best_stress1_k2"), abs=1e-6)


@pytest.mark.parametrize(
    ("dataset", "source"), [("kin_men_single", "men_single"), ("kin_men_first", "men_first_of_two")]
)
def test_the_best_ordinal_stress_of_kinship_sorts_is_that_of_a_general_package(dataset, source):
    # vegan 2.6-4 monoMDS, kind best_of_starts: an optimiser should reach it within 0.002
    expected = reference(dataset, "monomds_best_stress1_k2")
    assert mapped(kinship(source)).stress <= expected + 0.002


def test_the_directions_of_ekmans_colours_follow_the_spectrum(colours):
    around = np.argsort(np.arctan2(*(colours.points - colours.points.mean(axis=0)).T[::-1]))
    around = np.roll(around, -int(np.flatnonzero(around == 0)[0])).tolist()
    assert around in (list(range(14)), [0, *range(13, 0, -1)])


def test_the_womens_ordinal_map_is_called_degenerate():
    # SOURCES.md, warning 3: the women's single sort collapses to stress 0
    found = mapped(kinship("women_single"))
    assert found.stress < 1e-3
    assert is_degenerate(found.points, found.stress)


def test_the_womens_metric_map_is_not_degenerate():
    found = mapped(kinship("women_single"), "metric")
    assert not is_degenerate(found.points, found.stress)


def test_ekmans_map_is_not_degenerate(colours):
    assert not is_degenerate(colours.points, colours.stress)


@pytest.mark.parametrize("kind", ["metric", "ordinal"])
def test_a_planar_arrangement_is_drawn_without_stress(kind):
    D = planar()
    found = mapped(D, kind)
    assert found.stress < 1e-4
    assert not is_degenerate(found.points, found.stress)


def planar(n=12):
    points = np.random.default_rng(3).random((n, 2))
    return np.round(np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1)), 12)


def test_a_planar_arrangement_comes_back_with_its_distances():
    D = planar()
    assert pair_distances(mapped(D, "metric").points) == pytest.approx(condensed(D), abs=1e-4)


def test_stress_equals_kruskals_formula():
    # Kruskal (1964): square root of the sum of squared residuals over the sum of squares
    d, dhat = np.array([3.0, 4.0, 12.0]), np.array([3.0, 5.0, 10.0])
    assert stress_1(d, dhat) == pytest.approx((5.0 / 169.0) ** 0.5, abs=1e-15)


@pytest.mark.parametrize("seed", range(5))
def test_primary_disparities_equal_a_slow_monotone_regression(seed):
    # pools neighbours until none falls, after sorting ties by distance
    rng = np.random.default_rng(seed)
    given, d = rng.integers(1, 5, 12) / 4, rng.random(12)
    order = np.lexsort((d, given))
    expected = np.empty(12)
    expected[order] = pooled(d[order])
    assert Targets.of(given, Model("ordinal")).disparities(d[None])[0] == pytest.approx(expected)


@pytest.mark.parametrize("seed", range(5))
def test_secondary_disparities_equal_a_slow_monotone_regression_of_block_means(seed):
    rng = np.random.default_rng(seed)
    given, d = rng.integers(1, 5, 12) / 4, rng.random(12)
    values = np.unique(given)
    means = pooled(
        [d[given == v].mean() for v in values], [int((given == v).sum()) for v in values]
    )
    expected = [means[values.tolist().index(v)] for v in given]
    found = Targets.of(given, Model("ordinal", "secondary")).disparities(d[None])[0]
    assert found == pytest.approx(np.array(expected))


def pooled(values, weights=None):
    """Monotone regression by the definition: pool the first violation until there is none."""
    blocks = [[v, w, 1] for v, w in zip(values, weights or [1] * len(values))]
    while True:
        bad = next((i for i in range(len(blocks) - 1) if blocks[i][0] > blocks[i + 1][0]), None)
        if bad is None:
            return np.array([v for v, _, size in blocks for _ in range(size)])
        (v, w, s), (x, u, t) = blocks[bad : bad + 2]
        blocks[bad : bad + 2] = [[(v * w + x * u) / (w + u), w + u, s + t]]


def test_metric_disparities_are_the_dissimilarities_times_the_best_factor():
    given, d = np.array([1.0, 2.0, 3.0]), np.array([2.0, 5.0, 5.0])
    factor = np.linalg.lstsq(given[:, None], d, rcond=None)[0][0]
    assert Targets.of(given, Model("metric")).disparities(d[None])[0] == pytest.approx(
        factor * given
    )


@pytest.mark.parametrize("kind", ["metric", "ordinal"])
def test_majorisation_never_raises_the_stress_in_the_end(kind):
    D = kinship("men_single")
    starts = np.random.default_rng(0).normal(size=(10, len(D), 2))
    few = scale(condensed(D), starts, Model(kind), rounds=4).stress
    many = scale(condensed(D), starts, Model(kind), rounds=100).stress
    assert (many <= few + 1e-9).all()


def test_a_map_does_not_depend_on_the_other_maps_scaled_with_it():
    D = kinship("men_single")
    starts = np.random.default_rng(0).normal(size=(6, len(D), 2))
    together = scale(condensed(D), starts, Model("ordinal")).points
    alone = scale(condensed(D), starts[[4]], Model("ordinal")).points[0]
    assert together[4] == pytest.approx(alone, abs=1e-9)


@pytest.mark.parametrize("ties", ["primary", "secondary"])
def test_ordinal_scaling_sees_only_the_order_of_dissimilarities(ties):
    D = kinship("men_single")
    starts = np.random.default_rng(1).normal(size=(4, len(D), 2))
    model, long = Model("ordinal", ties), {"rounds": 1000, "tolerance": 1e-12}
    plain = scale(condensed(D), starts, model, **long).stress
    bent = scale(condensed(D) ** 3, starts, model, **long).stress
    assert bent == pytest.approx(plain, abs=1e-6)


def test_classical_scaling_of_road_distances_has_the_published_eigenvalues():
    # R stats 4.2.2 cmdscale(eurodist); help-page example
    _, values = classical_scaling(square("eurodist.csv"))
    expected = [reference("eurodist", f"pcoa_eigenvalue_{k:02d}") for k in range(1, 22)]
    assert values == pytest.approx(expected, rel=1e-9, abs=1e-4)


def test_classical_scaling_puts_athens_where_the_help_page_does():
    with open(REFERENCES / "data" / "eurodist.csv", newline="", encoding="utf-8") as stream:
        cities = [row[0] for row in list(csv.reader(stream))[1:]]
    points, _ = classical_scaling(square("eurodist.csv"))
    expected = [reference("eurodist", f"athens_axis{axis}_abs") for axis in (1, 2)]
    assert np.abs(points[cities.index("Athens")]) == pytest.approx(expected, rel=1e-9)


def test_classical_scaling_of_ekmans_colours_has_the_published_coordinates():
    with open(REFERENCES / "values" / "ekman_pcoa_coordinates.csv", encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    expected = np.array([[float(row["pcoa_axis1"]), float(row["pcoa_axis2"])] for row in rows])
    points, _ = classical_scaling(ekman())
    assert np.abs(points) == pytest.approx(np.abs(expected), abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_the_canonical_pose_forgets_how_a_map_was_turned_and_mirrored(seed):
    rng = np.random.default_rng(seed)
    points = rng.normal(size=(20, 2))
    angle = rng.random() * 7
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    other = points @ turn @ np.diag([1, -1]) + rng.normal(size=2)
    assert canonical_pose(other) == pytest.approx(canonical_pose(points), abs=2e-9)


def test_the_shares_of_misfit_add_up_to_a_hundred(colours):
    shares = stress_per_point(colours.points, colours.disparities)
    assert shares.sum() == pytest.approx(100.0, abs=1e-6)


def test_the_share_of_misfit_of_a_term_equals_the_definition(colours):
    misfit = (colours.distances - colours.disparities) ** 2
    i, j = np.triu_indices(14, 1)
    expected = [50.0 * misfit[(i == t) | (j == t)].sum() / misfit.sum() for t in range(14)]
    shares = stress_per_point(colours.points, colours.disparities)
    assert shares == pytest.approx(np.array(expected), abs=1e-3)


def test_restarts_of_a_true_circle_agree(colours):
    assert restart_agreement(colours).median > 0.99


@pytest.mark.slow
def test_restarts_of_classes_without_circular_structure_do_not_agree():
    # nine classes at equal distances: any arrangement around the circle fits as well
    labels = np.repeat(np.arange(9), 4)
    D = np.where(labels[:, None] == labels[None], 0.3, 1.0)
    np.fill_diagonal(D, 0.0)
    assert restart_agreement(mapped(D, "metric", rounds=50)).median < 0.7


def test_the_saturated_share_counts_pairs_that_nobody_put_together():
    D = np.array([[0, 1, 0.5], [1, 0, 1], [0.5, 1, 0]])
    assert saturated_share(apart(D)) == pytest.approx(2 / 3)


def test_stress_falls_with_more_dimensions():
    men, effort = apart(kinship("men_single")), Effort(5, 200)
    curve = dimension_curve(men, Model("metric"), effort, np.random.default_rng(0), 4)
    stress = [value for _, value in curve]
    assert stress == sorted(stress, reverse=True)


def test_an_unknown_kind_of_scaling_is_refused():
    with pytest.raises(ValueError, match="kind is one of"):
        Model("interval")
