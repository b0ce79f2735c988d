"""A word that one population does not know: a run refuses, and the way out that it names works."""

import csv
import json
import zipfile

import pytest
from small_study import PEOPLE, SETTINGS, STUDY, TERMS, sorts, write_small_study
from study_folder import write_rows
from tables_as_text import read_texts
from unmistakable import PLACES
from workflow.conftest import run_felloe, run_through

GONE = "mace"
REASON = "No maker knows the word & none placed it."


@pytest.fixture(scope="module")
def road(tmp_path_factory):
    """The refusal, and the folder after the whole run without the word."""
    home = tmp_path_factory.mktemp("left out") / "a folder"
    folder = home / STUDY
    write_small_study(folder)
    rows = [
        [who, term, "" if term == GONE and PEOPLE[who] == "makers" else pile, at]
        for who, term, pile, at in sorts()
    ]
    write_rows(folder / "sorts.csv", [["participant", "term", "pile", "position"], *rows])
    design = [[who, term, at] for who, term, _, at in rows]
    write_rows(folder / "design.csv", [["participant", "term", "position"], *design])
    (home / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    refused = run_felloe(*PLACES, cwd=home)
    with open(folder / "terms.csv", encoding="utf-8", newline="") as stream:
        head, *words = csv.reader(stream)
    write_rows(folder / "terms.csv", [head, *(row for row in words if row[0] != GONE)])
    own = next(row for row in words if row[0] == GONE)
    write_rows(folder / "left_out.csv", [[*head, "reason"], [*own, REASON]])
    run_through(*PLACES, cwd=home)
    return refused, home


def test_the_refusal_names_the_way_out(road):
    refused, _ = road
    assert refused.returncode == 1
    assert "nobody of 'makers' placed this term" in refused.stderr
    assert "move its row from terms.csv to left_out.csv, with a reason" in refused.stderr


def test_no_table_of_the_results_has_the_term(road):
    results = road[1] / "results" / STUDY
    tables = list(results.rglob("*.csv"))
    assert len(tables) > 30
    for path in tables:
        with open(path, encoding="utf-8", newline="") as stream:
            rows = list(csv.reader(stream))
        assert not [row for row in rows if GONE in row], path
    kept = [row["term"] for row in read_texts(results / "validation" / "terms.csv")]
    assert kept == sorted(set(TERMS) - {GONE})


def test_record_and_report_tell_it_and_the_manifest_has_the_file(road):
    results = road[1] / "results" / STUDY
    about = json.loads((results / "validation" / "study.json").read_text(encoding="utf-8"))
    assert about["left_out"] == [{"term": GONE, "label": TERMS[GONE][0], "reason": REASON}]
    assert "partial" not in about
    page = (results / "report" / "report.html").read_text(encoding="utf-8")
    assert f"Mace (<code>{GONE}</code>): {REASON.replace('&', '&amp;')}" in page
    assert "further term was shown and left out" in page
    assert "piles were made with it on the table" in page
    assert "Each participant sorted the same" in page
    manifest = json.loads((results / "manifest.json").read_text(encoding="utf-8"))
    assert "left_out.csv" in manifest["inputs"]


@pytest.mark.parametrize("words", [("share",), ("archive", STUDY, "--without-people")])
def test_what_is_passed_on_has_the_file_too(road, words):
    run_through(*words, *PLACES, cwd=road[1])
    (path,) = (road[1] / ("shared" if words[0] == "share" else "archives")).glob("*.zip")
    with zipfile.ZipFile(path) as packed:
        names = packed.namelist()
    if words[0] == "archive":
        assert [name for name in names if name.endswith("/left_out.csv")]
    assert not [name for name in names if name.endswith("/sorts.csv")]
