"""The whole dossier: from sorts to verdict, chart, record and tables."""

import math
from dataclasses import replace

import numpy as np
import pytest
from comparison_example import (
    LABELS,
    MARGINS,
    MOVED,
    ONE_POPULATION,
    SETTINGS,
    STREAMS,
    dossier_of,
    record_of,
    sorts_of,
    sorts_of_three,
)
from felloe.comparison import words
from felloe.comparison.consequence import compare_charts
from felloe.comparison.dossier import compare_populations
from felloe.comparison.pair import (
    Settings,
    compare_counts,
    compare_people,
    evidence_of,
    evidence_of_counts,
)
from felloe.comparison.verdict import SEVERITY, decide
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.groups.ranges import GroupNumbers
from felloe.ground.people.halves import Reliability
from felloe.ground.people.sorts import Sorts
from felloe.ground.terms import DifferentTerms
from felloe.matrices.counts import counts_by_population


def kin_settings(permutations, numbers):
    return Settings(
        permutations=permutations, shape_permutations=permutations, splits=1, halves=1,
        granularity_bins=1,
        linkage="average", numbers=numbers,
    )  # fmt: skip


def kin_distances(reference, source):
    counts, people, terms = reference.source_counts(source)
    return Distances(terms, rounded_dissimilarity(counts / people))


@pytest.fixture(scope="module")
def alike():
    sorts = sorts_of(ONE_POPULATION, 1)
    return sorts, dossier_of(sorts)


@pytest.fixture(scope="module")
def different():
    sorts = sorts_of(MOVED, 2)
    return sorts, dossier_of(sorts)


# The trap: women who sorted once and women who sorted twice are related, but their charts are not
# alike. Of these only counts are published.


@pytest.fixture(scope="module")
def trap(reference):
    women, first = (
        kin_distances(reference, source) for source in ("women_single", "women_first_of_two")
    )
    return compare_counts(women, first, kin_settings(9999, (3, 5)), STREAMS)


def test_the_trap_is_significantly_related(trap):
    # r 0.40 stands in the sources of the kinship data
    assert trap.associated.pearson.correlation == pytest.approx(0.40, abs=0.005)
    assert trap.associated.pearson.p_value < 0.01


def test_the_charts_of_the_trap_agree_no_better_than_chance(trap):
    assert abs(trap.tiers[0].adjusted_rand) < 0.15


def test_the_trap_is_not_pooled(trap):
    verdict = decide(evidence_of_counts(trap), MARGINS)
    assert (verdict.verdict, verdict.reason) == ("cannot_tell", "unreliable")


def test_women_and_men_who_sorted_once_share_their_classes(reference):
    # R: adjusted Rand 1 at two and three classes
    women, men = (kin_distances(reference, source) for source in ("women_single", "men_single"))
    found = compare_counts(women, men, kin_settings(99, (2, 3)), STREAMS)
    assert [tier.adjusted_rand for tier in found.tiers] == [1.0, 1.0]
    # that their charts agree at two cuts is not shown to be more than chance by counts alone
    assert decide(evidence_of_counts(found), MARGINS).verdict == "cannot_tell"


def test_samples_of_one_population_are_pooled(alike):
    assert alike[1].decisive.verdict.verdict == "pool"
    assert alike[1].decisive.p_matched > 0.05


def test_a_tenth_of_the_terms_moved_is_named_and_not_pooled_in_silence(different):
    sorts, study = different
    assert study.decisive.verdict.verdict in ("pool_with_notes", "keep_apart")
    assert study.decisive.p_matched == 1 / 200
    assert len(record_of(study, sorts)["terms"]["differing"]) in (5, 6, 7)  # six were moved
    assert record_of(study, sorts)["mantel"]["pearson"]["p"] == 1 / 200  # as for identical groups


def test_exchanging_the_names_of_populations_leaves_every_number(different):
    sorts, study = different
    other = {"makers": "panel", "panel": "makers"}
    renamed = Sorts(
        sorts.participants,
        tuple(other[name] for name in sorts.populations),
        sorts.terms,
        sorts.piles,
    )
    one, two = record_of(study, sorts), record_of(dossier_of(renamed), renamed)
    for part in ("verdict", "mantel", "label_permutation"):
        assert one[part] == two[part]
    assert one["dispersion"]["F"] == two["dispersion"]["F"]
    assert one["noise_ceiling"]["observed_r"] == two["noise_ceiling"]["observed_r"]


def test_numbering_of_piles_changes_nothing(alike):
    sorts, study = alike
    renumbered = Sorts(sorts.participants, sorts.populations, sorts.terms, 40 - sorts.piles)
    assert record_of(dossier_of(renumbered), renumbered) == record_of(study, sorts)


def test_the_record_has_the_keys_of_the_interface(alike):
    sorts, study = alike
    record = record_of(study, sorts)
    for method in ("pearson", "spearman"):
        assert set(record["mantel"][method]) == {"r", "p", "permutations", "n_terms", "alternative"}
    keys = "statistic pseudo_F r_squared p_adjusted p_matched n_matched p_unrestricted"
    for key in keys.split():
        assert record["label_permutation"][key] is not None
    assert {"F", "p"} <= set(record["dispersion"])
    assert set(record["noise_ceiling"]["reliability"]) == {"makers", "panel"}
    assert set(record["noise_ceiling"]["random_split_r"]) == {"5", "50", "95"}
    assert {"value", "low", "high"} <= set(record["noise_ceiling"]["corrected_r"])
    assert set(record["granularity"]) == {"makers", "panel"}


@pytest.mark.parametrize("side", [0, 1])
def test_the_reliability_of_one_population_does_not_stand_for_an_unknown_one(alike, side):
    found = alike[1].comparisons[0].found
    known = [Reliability(0.9, 0.95, 10)] * 2
    known[side] = Reliability(math.nan, math.nan, 0)
    noise = replace(found.people.noise, reliabilities=tuple(known))
    evidence = evidence_of(replace(found, people=replace(found.people, noise=noise)))
    assert math.isnan(evidence.reliability)
    assert decide(evidence, MARGINS).verdict == "cannot_tell"


def test_one_population_is_not_compared():
    sorts = sorts_of(ONE_POPULATION, 3, names=("makers", "makers"))
    study = dossier_of(sorts)
    record = record_of(study, sorts)
    assert record["compared"] is False
    assert record["verdict"] is None
    assert record["populations"] == ["makers"]
    assert record["n_people"] == {"makers": 40}
    assert "one population (Makers)" in words.verdict_sentence(record, LABELS)


def test_three_populations_are_compared_in_pairs_and_the_gravest_decides():
    sorts = sorts_of_three(4)
    study = dossier_of(sorts)
    record = record_of(study, sorts)
    assert [pair["populations"] for pair in record["pairs"]] == [
        ["guests", "makers"],
        ["guests", "panel"],
        ["makers", "panel"],
    ]
    assert "guests" in record["populations"]
    verdicts = [pair["verdict"] for pair in record["pairs"]]
    assert record["verdict"] == max(verdicts, key=SEVERITY.index)
    assert record["verdict"] != "pool"
    tests = [pair["label_permutation"] for pair in record["pairs"]]
    smallest = min(tests, key=lambda test: test["p_matched"])
    assert smallest["p_matched_holm"] == pytest.approx(3 * smallest["p_matched"])


def test_missing_placements_are_counted_and_explained(alike):
    sorts, _ = alike
    piles = sorts.piles.copy()
    piles[:3, :4] = -1
    holed = Sorts(sorts.participants, sorts.populations, sorts.terms, piles)
    missing = record_of(dossier_of(holed), holed)["missing"]
    assert (missing["unplaced"], missing["participants_with_unplaced"]) == (12, 3)
    assert "neither as together nor as apart" in words.missing_sentence(missing)


def test_a_pair_that_one_population_never_placed_takes_the_pooled_similarity(alike):
    sorts, _ = alike
    piles = sorts.piles.copy()
    piles[np.array(sorts.populations) == "panel", 0] = -1
    holed = Sorts(sorts.participants, sorts.populations, sorts.terms, piles)
    study = dossier_of(holed)
    assert study.decisive.found.people.tests.terms.terms[0] == 0.0


def test_subclasses_are_never_fewer_than_classes():
    assert GroupNumbers("auto", (6, 12), 4, (18, 32)).common(96) == (9, 9)


def test_counts_of_other_terms_than_those_sorted_are_refused(alike):
    sorts, _ = alike
    counts = counts_by_population(sorts)
    counts["panel"] = counts["panel"].on(sorts.terms[1:])
    with pytest.raises(DifferentTerms, match="the counts of panel"):
        compare_populations(sorts, counts, SETTINGS, MARGINS, STREAMS)


def test_what_people_show_of_the_charts_is_what_the_counts_show(different):
    charts = different[1].charts
    by_counts = compare_charts(charts["makers"], charts["panel"])
    for counted, found in zip(by_counts, different[1].decisive.found.tiers, strict=True):
        assert counted.adjusted_rand == found.adjusted_rand
        assert counted.changes.tolist() == found.changes.tolist()


def test_granularity_holds_the_quartiles_of_the_numbers_of_piles(alike):
    sorts, study = alike
    found = record_of(study, sorts)["granularity"]["panel"]
    numbers = [len(set(row)) for row in sorts.of("panel").piles.tolist()]
    assert found["n_people"] == 20
    assert list(found["piles"].values()) == np.quantile(numbers, (0.25, 0.5, 0.75)).tolist()


def test_three_populations_are_no_pair():
    sorts = sorts_of_three(4)
    with pytest.raises(ValueError, match="two populations"):
        compare_people(sorts, SETTINGS, 0.05, STREAMS)


def test_people_know_what_counts_alone_cannot_tell(alike):
    found = alike[1].decisive.found
    counted, known = evidence_of_counts(found), evidence_of(found)
    assert np.isnan([counted.p_matched, counted.reliability, counted.corrected_low]).all()
    assert np.isfinite([known.p_matched, known.reliability, known.corrected_low]).all()
    assert counted.class_changes == known.class_changes
