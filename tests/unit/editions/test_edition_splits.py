"""Terms that were split or merged: outside every number, told in every list and mapping."""

import re
from itertools import product

import pytest
import yaml
from compare_editions import main as compare
from edition_study import (
    declared_row,
    defined_anew,
    fate,
    map_crosswalk,
    members_of,
    outputs_in,
    sides,
    write_tiers,
)
from felloe.editions.tables import MEMBERS
from felloe.ground.files.records import read_json
from felloe.tiers.tables import DATA_ONLY
from jsonschema import Draft202012Validator
from rdflib import SKOS, Graph, URIRef
from test_edition_files import SCHEMA
from test_edition_pages import drawn, tell

CROSSWALKS = {
    "split": [declared_row("old-b", "new-b fresh", "split")],
    "apart": [declared_row("old-b", "", "retired"), declared_row("", "new-b", "new", "")],
    "merged": [declared_row("old-b gone", "new-b", "merged")],
    "redefined": [declared_row("a1", "a1", "redefined"), declared_row("a2", "a2", "exact", "")],
    "instead": [declared_row("gone", "fresh a3", "retired", "too wide a word")],
}


@pytest.fixture(scope="module")
def told(settings, inputs, tmp_path_factory):
    """The folder of a comparison for each crosswalk, and its settings."""
    found = {}
    for name, rows in CROSSWALKS.items():
        folder = tmp_path_factory.mktemp(name)
        newer = defined_anew(inputs["2026"], tmp_path_factory.mktemp("anew"), "a1", "a2")
        given = {**settings, **sides(inputs["2016"], newer, rows)}
        compare(**given, **outputs_in(folder))
        map_crosswalk(given, folder, folder / "crosswalk.ttl")
        members_of(given, folder)
        found[name] = folder
    return found


@pytest.fixture(scope="module")
def joined(settings, inputs, tmp_path_factory):
    """The comparison with an edition that has the terms of classes b and c in one class."""
    folder = tmp_path_factory.mktemp("joined")
    rows = DATA_ONLY.read(inputs["2026"].data_only)
    classes = [{"c1": "b1"}.get(row["class"], row["class"]) for row in rows]
    write_tiers(folder, [row["term"] for row in rows], classes)
    charts = {"newer_data_only": "data_only.csv", "newer_published": "published.csv"}
    # of so few terms a class of nine is never sure to be the one of five
    bounds = {**settings["bounds"], "correspondence": 0.5}
    given = {**settings, **{name: folder / file for name, file in charts.items()}, "bounds": bounds}
    compare(**given, **outputs_in(folder))
    map_crosswalk(given, folder, folder / "crosswalk.ttl")
    return folder, given


def test_a_retired_term_of_a_merged_class_leads_to_the_class_that_took_it(joined):
    folder, given = joined
    relations = {(row["older"], row["newer"]): row for row in record(folder)["classes"]}
    assert relations["c1", "b1"]["relation"] == "merged"
    row = fate(folder)["gone"]
    assert (row["heir"], row["heir_name"]) == ("b1", "class of b1")
    assert mapped(folder, "gone") == {("broadMatch", "guild-2026:class:b1")}
    notes = " ".join(map(str, graph(folder).objects(node(2016, "gone"), SKOS.changeNote)))
    assert "heir" not in notes
    told = {row["term"]: row for row in MEMBERS.read(members_of(given, folder)["members"])}
    assert "“class of c1”, is now a part of “class of b1”" in told["gone"]["where_it_is_now"]
    assert contradictions(graph(folder)) == set()


def test_what_to_use_instead_stands_in_the_table_of_terms(told):
    row = fate(told["instead"])["gone"]
    assert (row["instead"], row["label_instead"]) == (("fresh", "a3"), "FRESH; A3")
    others = [row for term, row in fate(told["instead"]).items() if term != "gone"]
    assert {(row["instead"], row["heir"]) for row in others} == {((), "")}


def class_mappings(folder):
    found = []
    for name in ("a1", "b1", "c1"):
        for p, o in graph(folder).predicate_objects(node(2016, name, "class")):
            if "Match" in str(p):
                found.append((name, str(p).split("#")[1], str(o).rsplit(":", 1)[1]))
    return set(found)


def test_classes_are_mapped_by_their_common_terms_and_a_note_says_so(compared):
    # 5 terms of a kept with one more; b has lost that one; c has the same four
    exact = {("a1", "broadMatch", "a1"), ("b1", "narrowMatch", "b1"), ("c1", "exactMatch", "c1")}
    assert class_mappings(compared) == exact
    notes = " ".join(map(str, graph(compared).objects(node(2016, "c1", "class"), SKOS.note)))
    assert (
        "exact. Of the terms that both editions have one to one, 4 here and 4 there, they share 4"
        in notes
    )
    rows = {(row["older"], row["newer"]): row for row in record(compared)["classes"]}
    assert f"(p = {rows['c1', 'c1']['p']:.2g})" in notes
    scheme = graph(compared).value(URIRef("urn:felloe:guild-2026"), SKOS.note)
    assert "and by nothing else" in scheme


def test_no_class_is_mapped_where_chance_gives_as_much(unrelated, settings, inputs, tmp_path):
    assert class_mappings(unrelated) == set()
    # all terms in one class in both editions: the same terms, and p = 1
    given = dict(settings)
    for side, year in (("older", "2016"), ("newer", "2026")):
        (tmp_path / year).mkdir()
        terms = [row["term"] for row in DATA_ONLY.read(inputs[year].data_only)]
        write_tiers(tmp_path / year, terms, ["a1"] * len(terms))
        for chart in ("data_only", "published"):
            given[f"{side}_{chart}"] = tmp_path / year / f"{chart}.csv"
    compare(**given, **outputs_in(tmp_path))
    map_crosswalk(given, tmp_path, tmp_path / "crosswalk.ttl")
    (row,) = record(tmp_path)["classes"]
    assert (row["p"], row["n_shared"]) == (1.0, 15)
    assert class_mappings(tmp_path) == set()


def record(folder):
    return read_json(folder / "comparison.json")


def test_every_number_is_that_of_editions_in_which_split_terms_have_no_counterpart(told):
    split, apart = record(told["split"]), record(told["apart"])
    changed = {key for key in split if split[key] != apart[key]}
    assert changed == {"terms"}


def test_adjusted_rand_is_that_of_the_terms_one_to_one(told):
    # 14 terms in classes of 5, 5, 4 against 6, 4, 4 with one moved: 10 + 6 + 6 = 22 pairs are
    # together in both, 26 and 27 in each, of 91 in all; Hubert & Arabie (1985) then give this.
    found = record(told["split"])["tiers"]["published"]["class"]["adjusted_rand"]
    expected = 26 * 27 / 91
    assert found == pytest.approx((22 - expected) / ((26 + 27) / 2 - expected))


@pytest.mark.parametrize("name", CROSSWALKS)
def test_the_counts_of_each_side_add_up_to_its_terms(told, name):
    found = record(told[name])
    terms = found["terms"]
    assert terms["common"] == terms["kept"] + terms["renamed"] + terms["redefined"]
    older = terms["common"] + terms["split"] + terms["merged"] + terms["retired"]
    newer = terms["common"] + terms["split_into"] + terms["merged_into"] + terms["new"]
    assert (older, newer) == (found["older"]["n_terms"], found["newer"]["n_terms"])


@pytest.mark.parametrize(
    ("name", "counts"),
    [
        ("split", {"common": 14, "split": 1, "split_into": 2, "retired": 1, "new": 0}),
        ("merged", {"common": 14, "merged": 2, "merged_into": 1, "retired": 0, "new": 1}),
        ("redefined", {"common": 15, "kept": 13, "renamed": 1, "redefined": 1}),
    ],
)
def test_terms_are_counted_by_what_became_of_them(told, name, counts):
    terms = record(told[name])["terms"]
    assert {key: terms[key] for key in counts} == counts


@pytest.mark.parametrize("name", CROSSWALKS)
def test_the_record_is_as_its_schema_says(told, name):
    schema = yaml.safe_load(SCHEMA.read_text(encoding="utf-8"))
    errors = Draft202012Validator(schema).iter_errors(record(told[name]))
    assert [error.message for error in errors] == []


def test_a_split_term_has_a_row_for_each_newer_one_placed_by_its_class(told):
    rows = {term: row for term, row in fate(told["split"]).items() if row["change"] == "split"}
    assert {term: (row["term_older"], row["relation"]) for term, row in rows.items()} == {
        "new-b": ("old-b", "stayed"),
        "fresh": ("old-b", "moved"),
    }
    assert {(row["migration"], row["reason"]) for row in rows.values()} == {("none", "as decided")}


def test_a_merged_term_has_one_row_for_all_its_older_ones(told):
    row = fate(told["merged"])["new-b"]
    assert (row["change"], row["term_older"]) == ("merged", "old-b;gone")
    assert (row["class_older"], row["class_newer"]) == ("b1;c1", "b1")
    assert row["relation"] == ""  # the one class stayed, the other did not
    assert row["label_older"] == "OLD-B; GONE"


def test_a_redefined_term_is_one_to_one(told, compared):
    assert fate(told["redefined"])["a1"]["change"] == "redefined"
    one, other = record(told["redefined"]), record(compared)
    assert {key for key in one if one[key] != other[key]} == {"terms"}


def node(year, term, tier="term"):
    return URIRef(f"urn:felloe:guild-{year}:{tier}:{term}")


def graph(folder):
    return Graph().parse(folder / "crosswalk.ttl")


def mapped(folder, term):
    found = graph(folder).predicate_objects(node(2016, term))
    return {(str(p).split("#")[1], str(o).split(":", 2)[2]) for p, o in found if "Match" in str(p)}


@pytest.mark.parametrize(
    ("name", "term", "expected"),
    [
        (
            "split", "old-b",
            {
                ("narrowMatch", "guild-2026:term:new-b"), ("narrowMatch", "guild-2026:term:fresh"),
            },
        ),
        ("merged", "old-b", {("broadMatch", "guild-2026:term:new-b")}),
        ("merged", "gone", {("broadMatch", "guild-2026:term:new-b")}),
        ("redefined", "a1", {("closeMatch", "guild-2026:term:a1")}),
        ("redefined", "a2", {("exactMatch", "guild-2026:term:a2")}),
        ("split", "a1", {("closeMatch", "guild-2026:term:a1")}),
        ("split", "gone", {("broadMatch", "guild-2026:class:c1")}),
        (
            "instead", "gone",
            {
                ("broadMatch", "guild-2026:class:c1"), ("relatedMatch", "guild-2026:term:fresh"),
                ("relatedMatch", "guild-2026:term:a3"),
            },
        ),
    ],
)  # fmt: skip
def test_an_older_term_is_mapped_by_what_became_of_it(told, name, term, expected):
    assert mapped(told[name], term) == expected


def contradictions(crosswalk):
    """
    Return what SKOS forbids (W3C 2009, from memory).

    exactMatch, symmetric and transitive (S44, S45), is disjoint from broadMatch and relatedMatch
    (S46), narrowMatch the inverse of broadMatch (S43); what is related is broader by no number of
    steps (S27, S41).
    """
    same = {}
    for one, other in crosswalk.subject_objects(SKOS.exactMatch):
        joined = same.get(one, {one}) | same.get(other, {other})
        same.update(dict.fromkeys(joined, joined))
    broader = set(crosswalk.subject_objects(SKOS.broadMatch))
    broader |= {(one, other) for other, one in crosswalk.subject_objects(SKOS.narrowMatch)}
    related = set(crosswalk.subject_objects(SKOS.relatedMatch))
    found = {pair for pair in broader | related if pair[1] in same.get(pair[0], {pair[0]})}
    while further := {(a, d) for a, b in broader for c, d in broader if b == c} - broader:
        broader |= further
    return found | {pair for pair in related if {pair, pair[::-1]} & broader}


@pytest.mark.parametrize("name", CROSSWALKS)
def test_the_mappings_contradict_one_another_nowhere(told, name):
    assert contradictions(graph(told[name])) == set()


@pytest.mark.parametrize("kind", ["broadMatch", "narrowMatch", "relatedMatch"])
def test_a_contradiction_over_two_steps_would_be_found(told, kind):
    made = graph(told["split"])
    made.add((node(2026, "a4"), SKOS.exactMatch, node(2036, "a4")))
    made.add((node(2036, "a4"), SKOS[kind], node(2016, "a4")))
    (pair,) = contradictions(made)
    assert set(pair) == {node(2036, "a4"), node(2016, "a4")}


def test_what_is_broader_over_two_steps_and_related_too_would_be_found(told):
    made = graph(told["split"])
    made.add((node(2026, "c1", "class"), SKOS.broadMatch, node(2036, "c1", "class")))
    made.add((node(2036, "c1", "class"), SKOS.relatedMatch, node(2016, "gone")))
    assert contradictions(made) == {(node(2036, "c1", "class"), node(2016, "gone"))}


def test_all_crosswalks_say_why_in_the_language_of_the_newer_study(told):
    for name, term in product(("split", "merged"), ("old-b",)):
        notes = set(graph(told[name]).objects(node(2016, term), SKOS.changeNote))
        assert ("as decided", "en") in {(str(note), note.language) for note in notes}


def test_the_report_states_the_rule_and_lists_terms_outside_every_index(settings, told):
    page = told["split"] / "report.html"
    tell(told["split"], drawn(settings, told["split"]), page)
    text = page.read_text(encoding="utf-8")
    assert "computed on terms that are one to one" in text
    assert "<h3>Split (1 into 2)</h3>" in unmarked(text)
    row = '<th scope="row">OLD-B</th><td>FRESH</td><td>class of b1</td><td>class of c1</td>'
    assert f"{row}<td>as decided</td>" in text


def unmarked(text):
    return re.sub("</?data[^>]*>", "", text)


def test_split_and_merged_words_are_both_headed_by_those_of_the_older_edition(settings, told):
    page = told["merged"] / "report.html"
    tell(told["merged"], drawn(settings, told["merged"]), page)
    assert "<h3>Merged (2 into 1)</h3>" in unmarked(page.read_text(encoding="utf-8"))


def test_the_report_says_where_retired_words_lead(settings, told):
    page = told["instead"] / "report.html"
    tell(told["instead"], drawn(settings, told["instead"]), page)
    text = page.read_text(encoding="utf-8")
    row = '<th scope="row">GONE</th><td>class of c1</td><td>Use instead: FRESH'
    assert row in text
    assert "members.csv" in text[text.index(row) :].partition("Read from:")[2].partition("</p>")[0]


def test_a_retired_term_that_leads_nowhere_says_why_not(settings, unrelated):
    notes = graph(unrelated).objects(node(2016, "gone"), SKOS.changeNote)
    assert "its class, 'class of c1', has no heir" in " ".join(map(str, notes))
    assert mapped(unrelated, "gone") == set()
