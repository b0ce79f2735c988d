"""What documents tell of the demo, and what the comparison of its editions finds again."""

import csv
import re
from html.parser import HTMLParser

import pytest
from felloe.editions.tables import TERMS
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import read_rows
from felloe.report.catalogue import table_of
from rdflib import RDF, SKOS, Graph
from workflow.conftest import ROOT

STUDIES = ("brine-2016", "brine-2026")
PAIR = "editions/brine-2016--brine-2026"


def dicts_of(path):
    """Return the rows of a table as texts, keyed by column."""
    header, rows = read_rows(path)
    return [dict(zip(header, row, strict=True)) for row in rows]


def test_the_moves_planted_in_the_demo_are_the_robust_ones(demo):
    # demo_data/moved.csv is written by the generator of the invented sorts, not by this pipeline.
    planted = {
        row["term"] for row in dicts_of(ROOT / "demo_data" / "moved.csv") if row["kind"] == "moved"
    }
    rows = TERMS.read(demo / PAIR / "terms.csv")
    assert {row["term"] for row in rows if row["migration"] == "robust"} == planted


@pytest.mark.parametrize("study", STUDIES)
def test_every_concept_of_the_crosswalk_is_in_the_studys_vocabulary(demo, study):
    crosswalk = Graph().parse(demo / PAIR / "crosswalk.ttl")
    vocabulary = Graph().parse(demo / study / "report" / "vocabulary.ttl")
    named = {node for node in crosswalk.subjects(RDF.type, SKOS.Concept) if f":{study}:" in node}
    assert named
    assert named <= set(vocabulary.subjects(RDF.type, SKOS.Concept))


@pytest.mark.parametrize("study", STUDIES)
def test_every_column_of_every_table_is_explained(demo, study):
    mute = []
    for path in sorted((demo / study).rglob("*.csv")):
        name = path.relative_to(demo / study).as_posix()
        with open(path, encoding="utf-8", newline="") as stream:
            header = next(csv.reader(stream))
        mute += [(name, one) for one in header if not table_of(name).column(one).meaning]
    assert mute == []


class Numbers(HTMLParser):
    """Collects the numbers of a report that say in which record they stand."""

    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "data" and re.match(r"[^ ]+\.json: ", attrs["title"]):
            self.found.append((attrs["title"].split(": ", 1), attrs["value"]))


@pytest.mark.parametrize("study", STUDIES)
def test_every_number_of_the_report_stands_in_the_record_it_names(demo, study):
    numbers = Numbers()
    numbers.feed((demo / study / "report" / "report.html").read_text(encoding="utf-8"))
    assert len(numbers.found) > 50
    for (name, key), value in numbers.found:
        found = read_json(demo / study / name)
        for part in key.split("."):
            found = found[int(part)] if isinstance(found, list) else found[part]
        assert str(found) == value, f"{name}: {key}"
