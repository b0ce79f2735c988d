"""What random halves of a study show: by slow definition, of people who agree, of more people."""

from dataclasses import replace
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from felloe.comparison.exchanging.label_tests import (
    adjusted_label_test,
    granularity_columns,
    permanova,
)
from felloe.comparison.exchanging.matching import granularity_measures
from felloe.editions.chance import noise as module
from felloe.editions.chance.noise import (
    Study,
    charted,
    charted_halves,
    divided_people,
    measure_of,
    noise_of,
    people_apart,
    spread,
)
from felloe.editions.reading import read_edition
from felloe.ground.groups.tree import tree_of
from felloe.ground.people.halves import random_groups
from felloe.ground.people.pairs import mirkin_distances, pair_vectors
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.ground.squares import doubly_centred
from felloe.matrices.distances import sorts_distances
from scipy.cluster.hierarchy import cut_tree, linkage
from scipy.spatial import procrustes
from scipy.spatial.distance import squareform
from sorting_examples import patchy, planted_piles, populations_of

STREAMS = Streams(3, "older--newer")
RAND = "tiers.data_only.class.adjusted_rand"


def study_of(piles, weights="plain", n_classes=4, n_subclasses=8, left_out=3, prior=None):
    """Return a study of invented sorts; some terms are not common, and one not on its circle."""
    people, terms = piles.shape
    names = tuple(f"t{place:02}" for place in range(terms))
    populations = tuple(populations_of(people).tolist())
    ids = tuple(f"p{number:03}" for number in range(people))
    sorts = Sorts(ids, populations, names, piles, prior)
    return Study(
        sorts=sorts,
        weights=weights,
        distances=sorts_distances(sorts, "pooled", weights),
        method="average",
        n_classes=n_classes,
        n_subclasses=n_subclasses,
        ring=names[1:],
        common=names[: terms - left_out],
    )


def noise(study, name="older", divisions=20, streams=STREAMS):
    everybody = np.ones((1, len(study.sorts.participants)), dtype=bool)
    part = charted(study, measure_of(study)(everybody)[0])
    return noise_of(study, part, name, divisions, streams)


# ---- by definition


@pytest.mark.parametrize("weights", ["plain", "equal"])
def test_everybody_together_is_the_study_itself(weights):
    study = study_of(patchy(planted_piles(18, 4, 6, 0.3, 1)[0], 0.05, 2), weights)
    apart = measure_of(study)(np.ones((1, 18), dtype=bool))
    whole = charted(study, apart[0])
    assert np.allclose(apart[0], study.distances.pairs, atol=1e-12)
    labels = tree_of(study.distances, "average").cut(4).labels
    places = study.sorts.terms.places(study.common)
    assert whole.groups["data_only"]["class"] == tuple(map(str, labels[places].tolist()))


def apart_by_loop(piles):
    """Return the share of people who kept two terms apart, pair by pair of terms."""
    found = []
    for one, other in combinations(range(piles.shape[1]), 2):
        kept = [row[one] != row[other] for row in piles if row[one] >= 0 and row[other] >= 0]
        found.append(sum(kept) / len(kept))
    return np.round(found, 12)


def rand_by_loop(a, b):
    """Return the adjusted Rand index by Hubert and Arabie's formula, counting pairs."""
    pairs = list(combinations(range(len(a)), 2))
    both = sum(a[i] == a[j] and b[i] == b[j] for i, j in pairs)
    in_a, in_b = (sum(x[i] == x[j] for i, j in pairs) for x in (a, b))
    expected = in_a * in_b / len(pairs)
    return (both - expected) / ((in_a + in_b) / 2 - expected)


def plane(pairs):
    """Return two principal coordinates of distances."""
    square = squareform(pairs) ** 2
    centre = np.eye(len(square)) - 1 / len(square)
    values, axes = np.linalg.eigh(-centre @ square @ centre / 2)
    return axes[:, [-1, -2]] * np.sqrt(values[[-1, -2]])


@pytest.mark.parametrize("seed", range(2))
def test_the_noise_is_that_of_a_slow_loop_over_the_same_divisions(seed):
    piles, _ = planted_piles(15, 4, 6, 0.4, seed)
    study = study_of(piles)
    n_common, divisions = len(study.common), 8
    rng = STREAMS.generator("editions noise older")
    groups = divided_people(rng, np.array(study.sorts.populations), divisions)
    found = noise(study, divisions=divisions)
    rows = []
    for group in groups:
        halves = [apart_by_loop(piles[chosen]) for chosen in (group, ~group)]
        common = [squareform(squareform(one)[:n_common, :n_common]) for one in halves]
        trees = [linkage(one, "average") for one in halves]
        labels = [cut_tree(tree, 4)[:n_common, 0] for tree in trees]
        rows.append(
            (
                np.corrcoef(*common)[0, 1],
                rand_by_loop(*labels),
                procrustes(*map(plane, common))[2],
            )
        )
    told = np.array(rows)
    for place, key in enumerate(("mantel.pearson.r", RAND, "maps.procrustes_m2")):
        ends = found.indices[key]
        expected = np.percentile(told[:, place], (5, 50, 95))
        assert (ends.low, ends.median, ends.high) == pytest.approx(tuple(expected), abs=1e-6)


def test_the_measures_of_the_tests_are_those_of_the_tests_on_the_same_halves():
    study = study_of(planted_piles(20, 4, 6, 0.3, 5)[0])
    found = people_apart(study.sorts, np.random.default_rng(7), 6)
    piles = study.sorts.piles
    gram = doubly_centred(mirkin_distances(pair_vectors(piles)))
    columns = granularity_columns(granularity_measures(piles))
    orders = np.arange(20)[None]
    for row, half in enumerate(random_groups(np.random.default_rng(7), 20, 10, 6)):
        freely = permanova(gram, half, orders)
        adjusted = adjusted_label_test(gram, half, columns, orders)
        assert found["label_permutation.pseudo_F"][row] == freely.pseudo_f
        assert found["label_permutation.r_squared"][row] == freely.r_squared
        assert found["label_permutation.pseudo_F_adjusted"][row] == pytest.approx(adjusted.pseudo_f)


def test_f_of_random_halves_lies_around_one():
    sorts = study_of(planted_piles(60, 4, 6, 0.3, 5)[0]).sorts
    found = people_apart(sorts, STREAMS.generator("x"), 200)
    for name in ("pseudo_F", "pseudo_F_adjusted"):
        assert 0.9 < np.median(found[f"label_permutation.{name}"]) < 1.1


@pytest.mark.parametrize("values", [[3.0, 1.0, 2.0, np.nan], [5.0]])
def test_median_and_range_leave_out_what_is_not_told(values):
    found, known = spread(np.array(values)), [one for one in values if one == one]
    assert found.median == np.median(known)
    assert found.low == pytest.approx(np.percentile(known, 5))
    assert found.high == pytest.approx(np.percentile(known, 95))
    assert np.isnan(spread(np.array([np.nan])).median)


# ---- what has to hold


def test_a_study_whose_people_all_agree_has_no_noise():
    piles = np.tile(np.repeat(np.arange(6), 4), (12, 1))
    found = noise(study_of(piles, n_classes=6, n_subclasses=6)).indices
    for key, value in {
        "mantel.pearson.r": 1.0,
        "mantel.spearman.r": 1.0,
        RAND: 1.0,
        "tiers.data_only.class.adjusted_mutual_information": 1.0,
        "tiers.data_only.class.variation_of_information": 0.0,
        "trees.cophenetic_correlation": 1.0,
        "trees.bakers_gamma": 1.0,
        "trees.robinson_foulds": 0.0,
        "order.uniform_margins": 1.0,
        "maps.procrustes_m2": 0.0,
        "migrations.moved": 0.0,
    }.items():
        ends = found[key]
        assert (ends.low, ends.median, ends.high) == pytest.approx((value,) * 3, abs=1e-6)


@cache
def careless(people):
    """Return the indices of a study of so many people, more than half of whose terms are astray."""
    return noise(study_of(planted_piles(people, 4, 8, 0.55, 11)[0])).indices


@pytest.mark.parametrize("key", ["mantel.pearson.r", RAND, "trees.cophenetic_correlation"])
def test_halves_of_more_people_agree_better(key):
    medians = [careless(people)[key].median for people in (10, 40, 160)]
    assert medians == sorted(medians)
    assert medians[-1] > medians[0] + 0.05


def test_halves_of_more_people_move_fewer_terms():
    few, many = (careless(people)["migrations.moved"] for people in (10, 160))
    assert many.median < few.median


def test_noise_is_the_same_at_each_run_and_its_draws_are_keyed():
    study = study_of(planted_piles(14, 4, 6, 0.4, 3)[0])
    first = noise(study)
    STREAMS.generator("something else").random(99)
    assert noise(study) == first
    assert noise(study, name="newer").indices != first.indices
    assert noise(study, streams=Streams(4, "older--newer")).indices != first.indices
    assert noise(study, streams=Streams(3, "newer--older")).indices != first.indices


def test_how_many_are_done_at_a_time_changes_nothing(monkeypatch):
    study = study_of(planted_piles(14, 4, 6, 0.4, 3)[0])
    first = noise(study)
    monkeypatch.setattr(module, "AT_A_TIME", 3)
    assert noise(study) == first


def test_every_population_is_halved():
    populations = populations_of(25)
    groups = divided_people(np.random.default_rng(1), populations, 10)
    for name in ("panel", "makers"):
        members = populations == name
        assert set(groups[:, members].sum(axis=1).tolist()) == {members.sum() // 2}
    assert len({row.tobytes() for row in groups}) > 1


def test_a_pair_that_nobody_of_a_half_placed_takes_the_distance_of_the_study():
    piles, _ = planted_piles(6, 4, 6, 0.3, 2)
    piles[1:, 0] = -1  # one person alone placed the first term
    study = study_of(piles)
    without = np.arange(6)[None] > 0
    apart = measure_of(study)(without)[0]
    assert apart[:23].tolist() == pytest.approx(study.distances.pairs[:23].tolist())


@pytest.mark.filterwarnings("error")
def test_a_half_without_a_population_that_weighs_the_same_takes_the_distances_of_the_study():
    sorts = study_of(planted_piles(8, 4, 6, 0.3, 2)[0]).sorts
    sorts = replace(sorts, populations=("panel",) * 7 + ("makers",))
    apart = sorts_distances(sorts, "pooled", "equal")
    study = replace(study_of(sorts.piles, "equal"), sorts=sorts, distances=apart)
    nobody = measure_of(study)(np.arange(8)[None] < 4)[0]
    assert nobody.tolist() == apart.pairs.tolist()


def test_sorts_in_parts_have_noise_too_and_more_of_it():
    piles, _ = planted_piles(40, 4, 6, 0.3, 2)
    shown = patchy(piles, 0.5, 4)
    whole, parts = noise(study_of(piles)), noise(study_of(shown, prior=1.0))
    key = "mantel.pearson.r"
    assert 0 < parts.indices[key].median < whole.indices[key].median


def test_three_people_have_no_halves():
    assert noise(study_of(planted_piles(3, 4, 6, 0.1, 2)[0])) is None


def test_no_more_divisions_are_made_than_are_wished_for_or_told():
    study = study_of(planted_piles(8, 4, 6, 0.3, 2)[0])
    assert noise(study, divisions=5).divisions == 5
    assert noise(study, divisions=10_000).divisions == module.DIVISIONS
    assert noise(study, divisions=5).n_half == 3  # 2 and 5 or 6 people; 1 and 2 of them


def test_only_common_terms_are_compared_and_all_make_the_chart():
    study = study_of(planted_piles(12, 4, 6, 0.3, 2)[0])
    groups = divided_people(np.random.default_rng(1), np.array(study.sorts.populations), 1)
    one, other = next(charted_halves(study, groups))
    assert tuple(one.terms) == tuple(other.terms) == study.common
    assert set(one.order) == set(study.common) - {"t00"}
    fewer = replace(study, common=study.common[:10])
    again, _ = next(charted_halves(fewer, groups))
    assert again.groups["data_only"]["class"] == one.groups["data_only"]["class"][:10]


def test_halves_are_of_the_people_whose_chart_it_is(inputs):
    read = read_edition("guild-2016", inputs["2016"])
    populations = tuple(populations_of(24).tolist())
    both = replace(read, sorts=replace(read.sorts, populations=populations))
    terms = list(read.terms)[:10]
    assert Study.of(both, terms, "average").sorts.participants == both.sorts.participants
    panel = Study.of(replace(both, source="panel"), terms, "average")
    assert set(panel.sorts.populations) == {"panel"}
    assert len(panel.sorts.participants) == populations.count("panel")
    assert panel.sorts.piles.tolist() == [
        row for row, name in zip(both.sorts.piles.tolist(), populations) if name == "panel"
    ]
    assert (panel.n_classes, panel.common) == (3, tuple(terms))
