"""The whole dossier: from sorts to verdict, chart, record and tables."""

import json

import numpy as np
import pytest
from calibration.sorting_people import CASES, two_populations
from felloe.comparison.dossier import Settings, compare_counts, evidence_of
from felloe.comparison.record import chart_of, study_record
from felloe.comparison.study_dossier import bootstrap_counts, chart_weights, compare_study
from felloe.comparison.tables import consequence_table, pairs_table, splits_table, terms_table
from felloe.comparison.verdict import Margins, decide
from felloe.errors import StudyError
from felloe.ground.charting import common_numbers
from felloe.ground.counts import count_cooccurrence
from felloe.ground.randomness import Streams
from felloe.ground.records import jsonable
from felloe.ground.sorts import Sorts

MARGINS = Margins(
    corrected_r=0.9, changing_class=0.05, changing_noted=0.15, alpha=0.05, overlap=0.2
)
SETTINGS = Settings(
    permutations=199, splits=40, halves=40, bins=6, linkage="average", numbers=(6, 18)
)
STREAMS = Streams(1, "a-study")
LABELS = {"makers": "Makers", "panel": "Panel", "guests": "Guests"}
TERMS = tuple(f"term{number:02d}" for number in range(60))
ONE_POPULATION, MOVED = CASES[0], CASES[3]


def sorts_of(case, seed, names=("makers", "panel")):
    piles, first = two_populations(case, np.random.default_rng(seed), 20)
    populations = tuple(names[0] if one else names[1] for one in first)
    people = tuple(f"p{number:02d}" for number in range(len(piles)))
    return Sorts(people, populations, TERMS[: piles.shape[1]], piles)


def dossier_of(sorts, settings=SETTINGS):
    return compare_study(sorts.piles, sorts.populations, settings, MARGINS, 60, STREAMS)


def record_of(study, sorts, pooling="decide"):
    chart = {"source": "pooled", "weights": "plain"}
    record = study_record(study, sorts, LABELS, SETTINGS.numbers, MARGINS, pooling, chart)
    return json.loads(json.dumps(jsonable(record)))


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
        reference.source_counts(source) for source in ("women_single", "women_first_of_two")
    )
    assert women[2] == first[2]
    settings = Settings(9999, 1, 1, 1, "average", (3, 5))
    return compare_counts(women[0] / 85, first[0] / 80, (85, 80), settings, STREAMS)


def test_the_trap_is_significantly_related(trap):
    # r 0.40 stands in the sources of the kinship data
    assert trap.associated.pearson.correlation == pytest.approx(0.40, abs=0.005)
    assert trap.associated.pearson.p_value < 0.01


def test_the_charts_of_the_trap_agree_no_better_than_chance(trap):
    assert abs(trap.tiers[0].adjusted_rand) < 0.15


def test_the_trap_fails_the_criterion_of_consequence_and_is_not_pooled(trap):
    verdict = decide(evidence_of(trap, 0.05), MARGINS)
    met = {one.key: one.passed for one in verdict.criteria}
    assert not met["changing_class"]
    assert not met["no_change"]
    assert verdict.verdict == "keep_apart"


def test_women_and_men_who_sorted_once_share_their_classes(reference):
    # R: adjusted Rand 1 at two and three classes
    women, men = (reference.source_counts(source) for source in ("women_single", "men_single"))
    settings = Settings(99, 1, 1, 1, "average", (2, 3))
    found = compare_counts(women[0] / 85, men[0] / 85, (85, 85), settings, STREAMS)
    assert [tier.adjusted_rand for tier in found.tiers] == [1.0, 1.0]
    assert decide(evidence_of(found, 0.05), MARGINS).reason == "no_consequence"


def test_samples_of_one_population_are_not_kept_apart(alike):
    assert alike[1].decisive.verdict.verdict in ("pool", "pool_with_notes")
    assert alike[1].decisive.p_adjusted > 0.05


def test_a_tenth_of_the_terms_moved_keeps_populations_apart(different):
    sorts, study = different
    assert study.decisive.verdict.verdict == "keep_apart"
    assert study.decisive.p_adjusted == 1 / 200
    assert record_of(study, sorts)["mantel"]["pearson"]["p"] == 1 / 200  # as for identical groups


def test_exchanging_the_names_of_populations_leaves_every_number(different):
    sorts, study = different
    other = {"makers": "panel", "panel": "makers"}
    renamed = Sorts(
        sorts.participants, tuple(other[name] for name in sorts.populations), TERMS, sorts.piles
    )
    one, two = record_of(study, sorts), record_of(dossier_of(renamed), renamed)
    for part in ("verdict", "mantel", "label_permutation"):
        assert one[part] == two[part]
    assert one["dispersion"]["F"] == two["dispersion"]["F"]
    assert one["noise_ceiling"]["observed_r"] == two["noise_ceiling"]["observed_r"]


def test_numbering_of_piles_changes_nothing(alike):
    sorts, study = alike
    renumbered = Sorts(sorts.participants, sorts.populations, TERMS, 40 - sorts.piles)
    assert record_of(dossier_of(renumbered), renumbered) == record_of(study, sorts)


def test_the_record_has_the_keys_of_the_interface(alike):
    sorts, study = alike
    record = record_of(study, sorts)
    for method in ("pearson", "spearman"):
        assert set(record["mantel"][method]) == {"r", "p", "permutations", "n_terms", "alternative"}
    for key in ("statistic", "pseudo_F", "r_squared", "p_adjusted", "p_unrestricted"):
        assert record["label_permutation"][key] is not None
    assert {"F", "p"} <= set(record["dispersion"])
    assert set(record["noise_ceiling"]["reliability"]) == {"makers", "panel"}
    assert set(record["noise_ceiling"]["random_split_r"]) == {"5", "50", "95"}
    assert {"value", "low", "high"} <= set(record["noise_ceiling"]["corrected_r"])
    assert set(record["granularity"]) == {"makers", "panel"}


def test_the_record_says_what_a_small_p_of_mantel_does_not_show(alike):
    sentence = record_of(alike[1], alike[0])["mantel"]["sentence"]
    assert "excludes unrelated structures" in sentence
    assert "is not by itself a ground for pooling" in sentence


def test_tables_have_a_row_for_every_term_pair_and_split(different):
    sorts, study = different
    counts = [count_cooccurrence(sorts.of(name).piles) for name in ("makers", "panel")]
    assert len(list(terms_table(study.decisive, TERMS)[1])) == 60
    assert len(list(pairs_table(study.decisive, TERMS, counts)[1])) == 60 * 59 / 2
    assert len(list(splits_table(study.decisive)[1])) == 40
    columns, rows = consequence_table(study, TERMS)
    assert {"class_makers", "class_panel", "class_pooled"} <= set(columns)
    assert sorted(row["position"] for row in rows) == list(range(1, 61))


def test_terms_that_change_class_are_the_same_in_record_and_table(different):
    sorts, study = different
    listed = record_of(study, sorts)["consequence"]["class"]["changing"]
    assert listed == [
        row["term"] for row in consequence_table(study, TERMS)[1] if row["changes_class"]
    ]


def test_one_population_is_not_compared():
    sorts = sorts_of(ONE_POPULATION, 3, names=("makers", "makers"))
    study = dossier_of(sorts)
    record = record_of(study, sorts)
    assert record["compared"] is False
    assert record["verdict"] is None
    assert "one population" in record["sentence"]
    assert list(terms_table(study.decisive, TERMS)[1]) == []
    assert chart_of("a", None, sorts.populations, "never", None, 1.5)["source"] == "pooled"


def test_three_populations_are_compared_in_pairs_and_the_gravest_decides():
    one, other = sorts_of(ONE_POPULATION, 4), sorts_of(MOVED, 4)
    third = other.piles[np.array(other.populations) == "panel"]
    piles = np.vstack([one.piles, third])
    sorts = Sorts(
        tuple(f"p{number:02d}" for number in range(len(piles))),
        one.populations + ("guests",) * len(third),
        TERMS,
        piles,
    )
    study = dossier_of(sorts)
    record = record_of(study, sorts)
    assert [pair["populations"] for pair in record["pairs"]] == [
        ["guests", "makers"],
        ["guests", "panel"],
        ["makers", "panel"],
    ]
    assert "guests" in record["populations"]
    assert record["verdict"] == "keep_apart"
    tests = [pair["label_permutation"] for pair in record["pairs"]]
    smallest = min(tests, key=lambda test: test["p_adjusted"])
    assert smallest["p_adjusted_holm"] == pytest.approx(3 * smallest["p_adjusted"])


def test_missing_placements_are_counted_and_explained(alike):
    sorts, _ = alike
    piles = sorts.piles.copy()
    piles[:3, :4] = -1
    holed = Sorts(sorts.participants, sorts.populations, TERMS, piles)
    missing = record_of(dossier_of(holed), holed)["missing"]
    assert (missing["unplaced"], missing["participants_with_unplaced"]) == (12, 3)
    assert "neither as together nor as apart" in missing["how"]


def test_a_pair_that_one_population_never_placed_takes_the_pooled_similarity(alike):
    sorts, _ = alike
    piles = sorts.piles.copy()
    piles[np.array(sorts.populations) == "panel", 0] = -1
    holed = Sorts(sorts.participants, sorts.populations, TERMS, piles)
    study = dossier_of(holed)
    assert study.decisive.dossier.people.terms.terms[0] == 0.0


def test_redraws_stay_within_populations(alike):
    populations = np.array(alike[0].populations)
    counts = bootstrap_counts(populations, 20, STREAMS)
    for name in ("makers", "panel"):
        assert (counts[:, populations == name].sum(axis=1) == (populations == name).sum()).all()


TWO = ("makers",) * 40 + ("panel",) * 20


def test_pooled_populations_weigh_the_same_when_one_is_much_larger():
    assert chart_of("a", "pool", TWO, "decide", None, 1.5) == {
        "source": "pooled",
        "weights": "equal",
    }
    assert chart_weights(TWO, 2.0) == "plain"


def test_populations_kept_apart_chart_the_population_of_the_settings():
    expected = {"source": "panel", "weights": "plain"}
    assert chart_of("a", "keep_apart", TWO, "decide", "panel", 1.5) == expected
    assert chart_of("a", "pool", TWO, "never", {"a": "panel"}, 1.5) == expected


def test_pooling_always_overrides_the_verdict():
    assert chart_of("a", "keep_apart", TWO, "always", None, 2.5)["source"] == "pooled"


@pytest.mark.parametrize("chosen", [None, {"b": "panel"}])
def test_the_largest_population_is_charted_where_none_is_named(chosen):
    expected = {"source": "makers", "weights": "plain", "chosen_by": "size"}
    assert chart_of("a", "keep_apart", TWO, "decide", chosen, 1.5) == expected


@pytest.mark.parametrize("chosen", ["pooled", "judges", {"a": "judges"}])
def test_an_unknown_chart_population_names_the_key_and_the_populations(chosen):
    with pytest.raises(StudyError) as error:
        chart_of("a", "keep_apart", TWO, "decide", chosen, 1.5)
    assert "comparison.chart_population" in str(error.value)
    assert "makers, panel" in str(error.value)


@pytest.mark.parametrize(
    ("pooling", "words"), [("always", "AGAINST the verdict"), ("never", "as the verdict says")]
)
def test_an_override_is_said_in_words(different, pooling, words):
    sorts, study = different
    override = record_of(study, sorts, pooling)["override"]
    assert f"comparison.pooling is '{pooling}'" in override
    assert words in override


def test_subclasses_are_never_fewer_than_classes():
    assert common_numbers("auto", (6, 12), 4, (18, 32), 96) == (9, 9)
