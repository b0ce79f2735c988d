"""Two invented editions with a known history, compared through their result files."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import yaml
from compare_editions import main as compare
from edition_study import FILES, fate, map_crosswalk, outputs_in, sides
from felloe.editions.edition import common_terms
from felloe.editions.linking.link_faults import Lexicons, link_faults
from felloe.editions.linking.links import all_links
from felloe.editions.reading import EditionPaths, read_edition
from felloe.editions.tables import TERMS
from felloe.errors import StudyError
from felloe.ground.files.records import read_json
from felloe.ground.terms import DifferentTerms
from felloe.validation.analysed import read_analysed, write_analysed
from felloe.validation.tables import TERMS as LEXICON

SCHEMA = Path(__file__).parents[3] / "workflow/schemas/records/editions.comparison.schema.yaml"


def test_every_term_of_both_editions_has_its_fate(compared):
    changes = {term: row["change"] for term, row in fate(compared).items()}
    odd = {term: change for term, change in changes.items() if change != "kept"}
    assert odd == {"new-b": "renamed", "fresh": "new", "gone": "retired"}
    assert len(changes) == 17


def test_the_planted_mover_is_the_one_robust_migration(compared):
    moved = {term: row["migration"] for term, row in fate(compared).items()}
    assert {term: grade for term, grade in moved.items() if grade != "none"} == {"mover": "robust"}


def test_the_classes_of_a_term_are_those_of_both_studies(compared):
    row = fate(compared)["new-b"]
    assert (row["class_older"], row["class_newer"], row["term_older"]) == ("b1", "b1", "old-b")


def test_coverage_counts_renamed_terms_as_common(compared):
    terms = read_json(compared / "comparison.json")["terms"]
    assert (terms["common"], terms["coverage_older"], terms["coverage_newer"]) == (
        15,
        15 / 16,
        15 / 16,
    )


def test_adjusted_rand_of_the_classes_is_that_counted_by_hand(compared):
    # Classes of 5, 6, 4 against 6, 5, 4 with one term moved: 10 + 10 + 6 = 26 pairs are together
    # in both, 31 in each, of 105 in all; Hubert & Arabie (1985) then give this.
    found = read_json(compared / "comparison.json")["tiers"]["published"]["class"]["adjusted_rand"]
    expected = 31 * 31 / 105
    assert found == pytest.approx((26 - expected) / (31 - expected))


def test_an_edition_compared_with_itself_is_the_same(settings, inputs, tmp_path):
    same = {**sides(inputs["2016"], inputs["2016"]), "newer": "guild-again"}
    compare(**{**settings, **same}, **outputs_in(tmp_path))
    found = read_json(tmp_path / "comparison.json")
    assert found["mantel"]["pearson"]["r"] == pytest.approx(1.0)
    assert found["tiers"]["published"]["class"]["adjusted_rand"] == pytest.approx(1.0)
    assert found["trees"]["robinson_foulds"] == 0
    assert found["order"]["uniform_margins"] == pytest.approx(1.0)
    assert found["maps"]["procrustes_m2"] == pytest.approx(0.0, abs=1e-9)


def test_the_crosswalk_maps_every_older_term_by_the_standard(compared):
    from rdflib import RDF, SKOS, Graph

    graph = Graph().parse(compared / "crosswalk.ttl")
    mappings = {SKOS.exactMatch, SKOS.closeMatch, SKOS.broadMatch}
    older = [node for node in graph.subjects(RDF.type, SKOS.Concept) if ":guild-2016:term:" in node]
    assert len(older) == 16
    assert all(mappings & set(graph.predicates(subject=node)) for node in older)


def test_the_crosswalk_says_what_a_retired_term_was_part_of(compared):
    from rdflib import SKOS, Graph, URIRef

    graph = Graph().parse(compared / "crosswalk.ttl")
    gone = URIRef("urn:felloe:guild-2016:term:gone")
    assert graph.value(gone, SKOS.broadMatch) == URIRef("urn:felloe:guild-2026:class:c1")
    assert "Retired" in graph.value(gone, SKOS.changeNote)


def test_labels_of_the_crosswalk_have_the_tag_of_their_study(compared):
    from rdflib import SKOS, Graph

    graph = Graph().parse(compared / "crosswalk.ttl")
    tags = {
        (str(node).split(":")[2], label.language)
        for node, label in graph.subject_objects(SKOS.prefLabel)
    }
    assert tags == {("guild-2016", "de"), ("guild-2026", "en")}


def test_comparing_twice_gives_the_same_bytes(settings, compared, tmp_path):
    compare(**settings, **outputs_in(tmp_path))
    map_crosswalk(settings, tmp_path, tmp_path / "crosswalk.ttl")
    for path in tmp_path.iterdir():
        assert path.read_bytes() == (compared / path.name).read_bytes()


def test_the_record_is_as_its_schema_says(compared):
    from jsonschema import Draft202012Validator

    schema = yaml.safe_load(SCHEMA.read_text(encoding="utf-8"))
    record = read_json(compared / "comparison.json")
    assert [error.message for error in Draft202012Validator(schema).iter_errors(record)] == []


def test_the_table_of_terms_read_and_written_again_is_the_same_bytes(compared, tmp_path):
    TERMS.write(tmp_path / "terms.csv", TERMS.read(compared / "terms.csv"))
    assert (tmp_path / "terms.csv").read_bytes() == (compared / "terms.csv").read_bytes()


def test_classes_dealt_at_random_do_not_correspond(unrelated):
    assert read_json(unrelated / "comparison.json")["correspondence"]["found"] is False


def test_without_correspondence_no_term_is_said_to_have_stayed_or_moved(unrelated):
    rows = [row for row in fate(unrelated).values() if row["change"] in ("kept", "renamed")]
    assert {(row["migration"], row["relation"]) for row in rows} == {
        ("no_correspondence", "no_correspondence")
    }
    assert {row["mapping"] for row in read_json(unrelated / "comparison.json")["classes"]} == {
        "related"
    }


def test_the_record_without_correspondence_is_as_its_schema_says(unrelated):
    from jsonschema import Draft202012Validator

    schema = yaml.safe_load(SCHEMA.read_text(encoding="utf-8"))
    record = read_json(unrelated / "comparison.json")
    assert [error.message for error in Draft202012Validator(schema).iter_errors(record)] == []


@pytest.mark.parametrize("year", ["2016", "2026"])
def test_ids_of_people_change_no_byte_of_the_comparison(settings, inputs, compared, tmp_path, year):
    read = read_analysed(inputs[year].sorts)
    order = np.random.default_rng(5).permutation(len(read.participants)).tolist()
    people = tuple(read.participants[place] for place in order)
    write_analysed(tmp_path / "analysed.csv", replace(read, participants=people))
    side = "older" if year == "2016" else "newer"
    given = {**settings, f"{side}_sorts": tmp_path / "analysed.csv"}
    compare(**given, **outputs_in(tmp_path))
    for name in ("comparison.json", "terms.csv"):
        assert (tmp_path / name).read_bytes() == (compared / name).read_bytes()


def edition_with(inputs, tmp_path, **renamed):
    rows = LEXICON.read(inputs["2026"].terms)
    for row in rows:
        row["renamed_from"] = renamed.get(row["term"].replace("-", "_"), row["renamed_from"])
    LEXICON.write(tmp_path / "terms.csv", rows)
    return read_edition("guild-2026", replace(inputs["2026"], terms=tmp_path / "terms.csv"))


def faults_of(inputs, newer):
    lexicon = {row["term"]: row for row in LEXICON.read(inputs["2016"].terms)}
    return link_faults(Lexicons(lexicon, newer.terms, "guild-2016", "guild-2026"), ())


def test_a_term_renamed_from_an_unknown_one_is_refused_with_a_hint(inputs, tmp_path):
    (fault,) = faults_of(inputs, edition_with(inputs, tmp_path, new_b="old-bb"))
    assert "did you mean 'old-b'" in fault.problem


def test_a_term_renamed_from_one_that_is_still_there_is_refused(inputs, tmp_path):
    (fault,) = faults_of(inputs, edition_with(inputs, tmp_path, fresh="a1"))
    assert "already the former id of another term" in fault.problem


def test_editions_without_common_terms_are_refused(inputs):
    older = read_edition("guild-2016", inputs["2016"])
    newer = read_edition("guild-2026", inputs["2026"])
    for term in list(newer.terms):
        newer.terms[f"x-{term}"] = newer.terms.pop(term) | {"renamed_from": ""}
    with pytest.raises(StudyError, match="share 0 term"):
        common_terms(older, newer, all_links(older.terms, newer.terms, ()))


def test_links_of_other_editions_are_not_taken(inputs):
    older = read_edition("guild-2016", inputs["2016"])
    newer = read_edition("guild-2026", inputs["2026"])
    with pytest.raises(ValueError, match="'fresh'"):
        common_terms(older, newer, all_links(older.terms, older.terms, ()))


@pytest.mark.parametrize(
    "name", [name for name in FILES if name not in ("about", "order", "chart")]
)
def test_files_of_two_studies_are_not_taken_for_one_edition(inputs, name):
    mixed = replace(inputs["2016"], **{name: getattr(inputs["2026"], name)})
    with pytest.raises(DifferentTerms, match="only"):
        read_edition("guild-2016", mixed)


def test_an_order_of_another_study_is_refused(inputs):
    with pytest.raises(DifferentTerms, match="fresh"):
        read_edition("guild-2016", replace(inputs["2016"], order=inputs["2026"].order))


def test_an_input_that_the_rule_misnames_is_refused(inputs):
    named = {name.replace("older_tree", "older_three"): path for name, path in
             sides(inputs["2016"], inputs["2026"]).items()}  # fmt: skip
    with pytest.raises(TypeError, match="three"):
        EditionPaths.of("older", named)


def test_editions_of_other_terms_are_not_compared(inputs):
    from felloe.editions.comparison import compare as measure
    from felloe.editions.settings import Settings
    from felloe.ground.randomness import Streams

    terms = ["a1", "a2", "a3", "b1", "b2"]
    older = read_edition("guild-2016", inputs["2016"]).cut_down(terms, terms)
    newer = read_edition("guild-2026", inputs["2026"]).cut_down(terms[::-1], terms[::-1])
    with pytest.raises(DifferentTerms, match="place 0 holds 'a1' in the older edition"):
        measure(older, newer, Settings(9, 9, 2, 2, 0.05), Streams(1, "s"))
