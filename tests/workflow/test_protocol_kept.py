"""Whole studies: a protocol frozen before the data, kept, departed from, and tried as a preview."""

import hashlib
import html
import re
import shutil

import pytest
from felloe.ground.files.records import read_json
from felloe.report.mark_words import PREVIEW
from openpyxl import load_workbook
from rdflib import SKOS, Graph, Literal
from small_study import SETTINGS, STUDY, write_small_study
from workflow.conftest import run_felloe

LATER = "later"
NOTE = SKOS.editorialNote
STUDIES = f"studies: {{{STUDY}: {STUDY}, {LATER}: {LATER}}}\neditions: [[{STUDY}, {LATER}]]"
TWO_STUDIES = re.sub(r"studies: .*\neditions: .*", STUDIES, SETTINGS)
OPTIONS = ("--configfile", "small.yaml", "--directory", ".", "--cores", "2")


def run(folder, *words):
    """Call the launcher; return what it said, and insist that it went well."""
    finished = run_felloe(*words, *OPTIONS[:4], cwd=folder)
    assert finished.returncode == 0, finished.stdout[-2000:] + finished.stderr[-4000:]
    return finished.stdout


def told(results, study=STUDY):
    """Return the text of a report, without tags and with its blanks made single."""
    page = (results / study / "report" / "report.html").read_text(encoding="utf-8")
    page = re.sub(r"<style.*?</style>|<[^>]*>", " ", page, flags=re.DOTALL)
    return re.sub(r"\s+", " ", html.unescape(page))


@pytest.fixture(scope="module")
def frozen(tmp_path_factory):
    """A study that was frozen before its sorts came, then run; and the hash that was printed."""
    folder = tmp_path_factory.mktemp("frozen here")
    write_small_study(folder / STUDY)
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    (folder / STUDY / "sorts.csv").rename(folder / "sorts.csv")
    said = run(folder, "freeze", STUDY)
    (folder / "sorts.csv").rename(folder / STUDY / "sorts.csv")
    run(folder)
    return folder, re.search(r"SHA-256: (\w+)", said)[1]


def test_a_run_as_frozen_says_so_in_report_and_manifest(frozen):
    folder, sha256 = frozen
    data = (folder / STUDY / "protocol.json").read_bytes()
    assert hashlib.sha256(data).hexdigest() == sha256
    manifest = read_json(folder / "results" / STUDY / "manifest.json")
    expected = {"state": "kept", "sha256": sha256, "data_seen": False, "departures": []}
    assert manifest["protocol"] == expected
    assert manifest["inputs"]["protocol.json"] == sha256
    report = told(folder / "results")
    assert f"protocol {sha256[:12]}\u2026: kept" in report
    assert "The margins were fixed beforehand" in report
    assert f"in the study's folder: {sha256}" in report
    assert "not read" not in report  # protocol.json is no stranger among the study's files


def test_the_auditors_section_names_files_of_the_chain_that_are_there(frozen):
    folder, _ = frozen
    page = (folder / "results" / STUDY / "report" / "report.html").read_text(encoding="utf-8")
    (chain,) = re.findall(r"<p>The chain from sorts to chart.*?</p>", page)
    files = [name for name in re.findall(r"<code>([^<]*)</code>", chain) if "/" in name]
    assert len(files) > 8
    assert [name for name in files if not (folder / "results" / STUDY / name).is_file()] == []


def test_a_changed_setting_is_listed_and_nothing_of_the_chart_is_made_anew(frozen, tmp_path):
    folder = shutil.copytree(frozen[0], tmp_path / "again")
    text = SETTINGS + "report: {few_people: 21}\n"
    (folder / "small.yaml").write_text(text, encoding="utf-8")
    said = run(folder)
    assert "cluster_terms" not in said  # only what tells of it is made anew
    manifest = read_json(folder / "results" / STUDY / "manifest.json")
    change = {"what": "report.few_people", "frozen": 20, "now": 21}
    assert manifest["protocol"]["state"] == "departed"
    assert manifest["protocol"]["departures"] == [change]
    report = told(folder / "results")
    assert "departed from in 1 point" in report
    assert "Departures from the protocol" in report
    assert "report.few_people 20 21" in report


def test_a_protocol_changed_afterwards_stops_the_run(frozen, tmp_path):
    folder = shutil.copytree(frozen[0], tmp_path / "again")
    path = folder / STUDY / "protocol.json"
    before = (folder / "results" / STUDY / "manifest.json").read_bytes()
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    finished = run_felloe(*OPTIONS, cwd=folder)
    assert finished.returncode == 1
    assert "guild/protocol.json: is not in the form" in finished.stderr
    assert "Traceback" not in finished.stderr
    assert (folder / "results" / STUDY / "manifest.json").read_bytes() == before


@pytest.fixture(scope="module")
def preview(frozen, tmp_path_factory):
    """Two editions tried with `--quick`, one of them frozen; the folder of the results."""
    folder = tmp_path_factory.mktemp("tried here")
    shutil.copytree(frozen[0] / STUDY, folder / STUDY)
    write_small_study(folder / LATER)
    (folder / "small.yaml").write_text(TWO_STUDIES, encoding="utf-8")
    run(folder, "--quick")
    assert not (folder / "results").exists()
    return folder / "previews" / "results"


@pytest.mark.parametrize("study", [STUDY, LATER])
def test_every_product_of_a_study_is_marked_as_a_preview(preview, study):
    folder = preview / study
    assert PREVIEW in told(preview, study)
    assert PREVIEW in (folder / "report" / "wheel.html").read_text(encoding="utf-8")
    for name in ("comparison/chart.json", "report/chart.json", "manifest.json"):
        assert read_json(folder / name)["preview"] is True
    assert read_json(folder / "manifest.json")["config"]["preview"] is True
    notes = set(Graph().parse(folder / "report" / "vocabulary.ttl").objects(None, NOTE))
    assert Literal(PREVIEW, lang="en") in notes
    (scheme,) = (
        node
        for node in read_json(folder / "report" / "vocabulary.jsonld")["@graph"]
        if node["@type"] == ["skos:ConceptScheme"]
    )
    assert {"@language": "en", "@value": PREVIEW} in scheme["skos:editorialNote"]
    book = load_workbook(folder / "report" / "tables.xlsx", read_only=True)
    assert PREVIEW in {book["columns"][place].value for place in ("A2", "A3")}


@pytest.mark.parametrize("study", [STUDY, LATER, f"editions/{STUDY}--{LATER}"])
def test_every_figure_is_marked_as_a_preview(preview, study):
    drawings = sorted((preview / study / "figures").glob("*.svg"))
    assert drawings
    # a drawing tells its texts as comments beside their outlines, or its title
    told = re.compile("<!-- .*preview.* -->|<title id=[^>]*>[^<]*(preview|Vorschau)", re.IGNORECASE)
    unmarked = [path.name for path in drawings if not told.search(path.read_text("utf-8"))]
    assert unmarked == []


def test_the_comparison_of_editions_is_marked_as_a_preview(preview):
    folder = preview / "editions" / f"{STUDY}--{LATER}"
    assert read_json(folder / "comparison.json")["preview"] is True
    assert PREVIEW in (folder / "report.html").read_text(encoding="utf-8")
    notes = set(Graph().parse(folder / "crosswalk.ttl").objects(None, NOTE))
    assert Literal(PREVIEW, lang="en") in notes


def test_what_a_preview_lowers_is_told_and_is_no_departure_from_the_protocol(preview):
    protocol = read_json(preview / STUDY / "manifest.json")["protocol"]
    assert (protocol["state"], protocol["departures"]) == ("kept", [])
    lower = protocol["lowered_by_preview"]
    assert lower > 1
    assert f": kept; a preview, {lower} settings lower" in told(preview)
    assert read_json(preview / LATER / "manifest.json")["protocol"]["state"] == "none"
    assert "no protocol was frozen" in told(preview, LATER)


def test_a_run_that_is_no_preview_bears_no_mark(frozen):
    folder = frozen[0] / "results" / STUDY
    assert "PREVIEW" not in told(frozen[0] / "results")
    assert read_json(folder / "manifest.json")["preview"] is False
    assert "PREVIEW" not in (folder / "report" / "vocabulary.ttl").read_text(encoding="utf-8")
    assert "PREVIEW" not in (folder / "figures" / "matrix.svg").read_text(encoding="utf-8")
