"""Two invented editions with a known history, compared through their result files."""

from pathlib import Path

import numpy as np
import pytest
from compare_editions import main as compare
from draw_editions import main as draw
from felloe.editions.edition import common_terms, read_edition
from felloe.errors import StudyError
from felloe.ground.counts import count_cooccurrence
from felloe.ground.distances import dissimilarity
from felloe.ground.records import read_json, write_json
from felloe.ground.sorts import Sorts
from felloe.ground.tables import read_table, write_square, write_table
from felloe.validation.tables import write_analysed
from report_editions import main as report

CLASSES = {
    "2016": {"a": "a1 a2 a3 a4 a5", "b": "b1 b2 b3 b4 old-b mover", "c": "c1 c2 c3 c4 gone"},
    "2026": {"a": "a1 a2 a3 a4 a5 mover", "b": "b1 b2 b3 b4 new-b", "c": "c1 c2 c3 c4 fresh"},
}
RENAMED = {"new-b": "old-b"}
NAMES = ("published", "data_only")


def write_edition(folder, year):
    """Write what a study's results tell of an edition whose people sort with a little noise."""
    home = {term: name for name, terms in CLASSES[year].items() for term in terms.split()}
    terms = tuple(sorted(home))
    rng = np.random.default_rng(int(year))
    numbers = np.array([list(CLASSES[year]).index(home[term]) for term in terms])
    strays = rng.random((24, len(terms))) < 0.08
    piles = np.where(strays, rng.integers(3, size=(24, len(terms))), numbers)
    people = tuple(f"p{i:02}" for i in range(24))
    write_analysed(folder / "analysed.csv", Sorts(people, ("all",) * 24, terms, piles))
    apart = dissimilarity(*count_cooccurrence(piles))
    write_square(folder / "distances.csv", terms, apart)
    write_tree(folder / "linkage.csv", apart)
    about = {
        "title": f"Words of {year}",
        "edition": year,
        "instruction": "Sort.",
        "populations": {},
    }
    write_json(folder / "study.json", about)
    columns = ["term", "label", "definition", "renamed_from"]
    rows = [[term, term.upper(), f"About {term[:1]}.", RENAMED.get(term)] for term in terms]
    write_table(folder / "terms.csv", columns, rows)
    first = {name: min(members.split()) for name, members in CLASSES[year].items()}
    for name in NAMES:
        write_tiers(folder / f"{name}.csv", terms, [first[home[term]] for term in terms])
    order = sorted(terms, key=lambda term: (home[term], term))
    write_table(folder / "order.csv", ["term"], [[term] for term in order])
    return [str(path) for path in sorted(folder.iterdir())]


def write_tree(path, apart):
    from scipy.cluster.hierarchy import linkage
    from scipy.spatial.distance import squareform

    write_table(path, ["left", "right", "height", "size"], linkage(squareform(apart), "average"))


def write_tiers(path, terms, classes):
    columns = "term class subclass class_name home_probability rival_class status".split()
    rows = [[t, c, c, f"class of {c}", 0.95, None, "firm"] for t, c in zip(terms, classes)]
    write_table(path, columns, rows)


def outputs_in(folder):
    return {
        "comparison": folder / "comparison.json",
        "terms": folder / "terms.csv",
        "crosswalk": folder / "crosswalk.ttl",
    }


@pytest.fixture(scope="module")
def inputs(tmp_path_factory):
    folder = tmp_path_factory.mktemp("editions")
    return {year: write_edition(folder / year, year) for year in CLASSES}


@pytest.fixture(scope="module")
def settings(inputs):
    return {
        "older_results": inputs["2016"],
        "newer_results": inputs["2026"],
        "older": "guild-2016",
        "newer": "guild-2026",
        "settings": {
            "seed": 1,
            "bounds": {"robust": 0.75, "possible": 0.5},
            "permutations": 199,
            "redraws": 50,
            "halves": 20,
        },
    }


@pytest.fixture(scope="module")
def compared(settings, tmp_path_factory):
    folder = tmp_path_factory.mktemp("compared")
    compare(**settings, **outputs_in(folder))
    return folder


def fate(folder):
    return {row["term"]: row for row in read_table(folder / "terms.csv")}


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


def test_an_edition_compared_with_itself_is_the_same(settings, tmp_path):
    same = {"newer_results": settings["older_results"], "newer": "guild-again"}
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


def test_comparing_twice_gives_the_same_bytes(settings, compared, tmp_path):
    compare(**settings, **outputs_in(tmp_path))
    for path in outputs_in(tmp_path).values():
        assert path.read_bytes() == (compared / path.name).read_bytes()


def drawn(settings, compared):
    figures = [
        [compared / "figures" / f"{name}.{kind}" for kind in ("svg", "pdf", "png")]
        for name in ("migration", "distances")
    ]
    distances = [
        next(path for path in settings[side] if path.endswith("distances.csv"))
        for side in ("older_results", "newer_results")
    ]
    names = outputs_in(compared)
    draw(
        comparison=names["comparison"],
        terms=names["terms"],
        older_distances=distances[0],
        newer_distances=distances[1],
        migration=figures[0],
        distances=figures[1],
    )
    return [path for paths in figures for path in paths if path.suffix != ".pdf"]


def test_the_report_names_the_mover_and_its_classes(settings, compared):
    figures = drawn(settings, compared)
    page = compared / "report.html"
    report(**outputs_in(compared), figures=figures, report=page, folder=compared)
    text = page.read_text(encoding="utf-8")
    assert '<th scope="row">MOVER</th><td>class of b1</td><td>class of a1</td>' in text


def edition_with(inputs, tmp_path, **renamed):
    folder = tmp_path / "changed"
    folder.mkdir()
    for path in inputs["2026"]:
        (folder / Path(path).name).write_bytes(Path(path).read_bytes())
    rows = read_table(folder / "terms.csv")
    for row in rows:
        row["renamed_from"] = renamed.get(row["term"].replace("-", "_"), row["renamed_from"])
    write_table(folder / "terms.csv", list(rows[0]), rows)
    return read_edition([str(path) for path in sorted(folder.iterdir())], "guild-2026")


def test_a_term_renamed_from_an_unknown_one_is_refused_with_a_hint(inputs, tmp_path):
    newer = edition_with(inputs, tmp_path, new_b="old-bb")
    with pytest.raises(StudyError, match="did you mean 'old-b'"):
        common_terms(read_edition(inputs["2016"], "guild-2016"), newer)


def test_a_term_renamed_from_one_that_is_still_there_is_refused(inputs, tmp_path):
    newer = edition_with(inputs, tmp_path, fresh="a1")
    with pytest.raises(StudyError, match="already the former id of another term"):
        common_terms(read_edition(inputs["2016"], "guild-2016"), newer)


def test_editions_without_common_terms_are_refused(inputs):
    older = read_edition(inputs["2016"], "guild-2016")
    newer = read_edition(inputs["2026"], "guild-2026")
    for term in list(newer.terms):
        newer.terms[f"x-{term}"] = newer.terms.pop(term) | {"renamed_from": ""}
    with pytest.raises(StudyError, match="share 0 term"):
        common_terms(older, newer)


def test_drawing_and_telling_twice_gives_the_same_bytes(settings, compared):
    page = compared / "again.html"
    told = []
    for _ in range(2):
        figures = drawn(settings, compared)
        report(**outputs_in(compared), figures=figures, report=page, folder=compared)
        told.append([path.read_bytes() for path in [*figures, page]])
    assert told[0] == told[1]
