"""A study whose populations nobody can tell apart or alike: every product of its chart says so."""

import csv
import json
import re
from random import Random

import openpyxl
import pytest
from pypdf import PdfReader
from small_study import SETTINGS, STUDY, write_small_study
from workflow.conftest import run_felloe

LATER, STOPPED = "later", "stop.yaml"
STUDIES = f"studies: {{{STUDY}: {STUDY}, {LATER}: {LATER}}}\neditions: [[{STUDY}, {LATER}]]"
NOISE = re.sub(r"studies: .*\neditions: .*", STUDIES, SETTINGS) + "figures: {pdf: true}\n"
# what is made before, or beside, the question of the chart
NOT_OF_THE_CHART = {f"figures/{name}" for name in ("granularity", "stability", "populations")}
DRAWINGS, TEXTS = (".svg", ".pdf", ".png"), (".html", ".ttl", ".jsonld", ".gpl")
DATA = (".csv", ".json", ".nwk")  # tables and records: the workbook, chart.json and manifest say it


def shuffle_sorts(folder):
    """Deal everybody's piles at random to the terms, so that no two people agree."""
    path = folder / "sorts.csv"
    with open(path, encoding="utf-8", newline="") as stream:
        header, *rows = csv.reader(stream)
    dealt = Random(3)
    for person in sorted({row[0] for row in rows}):
        own = [row for row in rows if row[0] == person]
        piles = [row[2] for row in own]
        dealt.shuffle(piles)
        for row, pile in zip(own, piles, strict=True):
            row[2] = pile
    with open(path, "w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([header, *rows])


@pytest.fixture(scope="module")
def noise(tmp_path_factory):
    """Two editions of people who agree on nothing; the folder they were run in."""
    folder = tmp_path_factory.mktemp("nobody can tell")
    for study in (STUDY, LATER):
        write_small_study(folder / study)
        shuffle_sorts(folder / study)
        for name in ("names.csv", "decisions.csv"):  # they fit another tree
            (folder / study / name).unlink()
    (folder / "noise.yaml").write_text(NOISE, encoding="utf-8")
    (folder / STOPPED).write_text(
        NOISE.replace("comparison: {", "comparison: {cannot_tell: stop, "), encoding="utf-8"
    )
    finished = run_felloe("--configfile", "noise.yaml", "--directory", ".", cwd=folder)
    assert finished.returncode == 0, finished.stdout[-2000:] + finished.stderr[-4000:]
    return folder


def record(path):
    return json.loads(path.read_text(encoding="utf-8"))


def carries_the_mark(path):
    """Return whether a product says that its chart is provisional."""
    content = path.read_bytes()
    if path.suffix == ".xlsx":
        first = openpyxl.load_workbook(path).worksheets[0]
        return any("PROVISIONAL" in str(cell.value) for row in first["A1:B6"] for cell in row)
    marks = (b"provisional", "vorl\u00e4ufig".encode(), "vorl\u00e4ufig".encode("latin-1"))
    if path.suffix == ".svg":  # letters are outlines: their text stands in remarks, or in the title
        told = re.findall(rb"<!-- .*? -->|<title id=.*?</title>", content, re.DOTALL)
        content = b" ".join(told)
    if path.suffix == ".pdf":
        content = PdfReader(path).metadata.title.encode()
    return any(mark in content.lower() for mark in marks)


def products(noise):
    """Return every file that the rules made, by its path below the results of its study."""
    for study in (STUDY, LATER):
        results = noise / "results" / study
        for name in record(results / "manifest.json")["outputs"]:
            yield name, results / name
    pair = noise / "results" / "editions" / f"{STUDY}--{LATER}"
    for name in record(pair / "manifest.json")["outputs"]:
        yield f"editions/{name}", pair / name


def test_the_chart_of_noise_is_provisional(noise):
    for study in (STUDY, LATER):
        chart = record(noise / "results" / study / "comparison" / "chart.json")
        assert (chart["source"], chart["provisional"]) == ("pooled", True)


def test_every_product_that_shows_the_chart_carries_the_mark(noise):
    shown = [
        (name, path)
        for name, path in products(noise)
        if path.suffix not in DATA and name.removesuffix(path.suffix) not in NOT_OF_THE_CHART
    ]
    assert {path.suffix for _, path in shown} == {*DRAWINGS, *TEXTS, ".xlsx"}
    assert [name for name, path in shown if not carries_the_mark(path)] == []


def test_what_the_chart_has_no_part_in_carries_no_mark(noise):
    beside = [path for name, path in products(noise) if name.split(".")[0] in NOT_OF_THE_CHART]
    assert len(beside) == 2 * 3 * 3
    assert [path for path in beside if carries_the_mark(path)] == []


def test_records_of_the_chart_say_it_by_a_key(noise):
    results = noise / "results"
    assert record(results / STUDY / "report" / "chart.json")["provisional"] is True
    assert record(results / STUDY / "manifest.json")["pooling"]["provisional"] is True
    pair = record(results / "editions" / f"{STUDY}--{LATER}" / "comparison.json")
    assert [pair[side]["provisional"] for side in ("older", "newer")] == [True, True]


def test_every_sheet_of_the_chart_has_the_mark_in_its_last_column(noise):
    book = openpyxl.load_workbook(noise / "results" / STUDY / "report" / "tables.xlsx")
    marked = {
        sheet.title for sheet in book if sheet.cell(1, sheet.max_column).value == "provisional"
    }
    stages = {title.split(".")[0] for title in marked}
    assert stages == {"clustering", "tiers", "sensitivity", "circle"}
    assert {sheet.title for sheet in book if sheet.title.split(".")[0] in stages} == marked


def test_the_own_charts_stand_directly_below_the_provisional_wheel(noise):
    text = (noise / "results" / STUDY / "report" / "report.html").read_text(encoding="utf-8")
    wheel, own, next_section = (
        text.index(mark)
        for mark in ('id="figure-wheel"', 'id="figure-own_charts"', '<h2 id="decide"')
    )
    assert wheel < own < next_section


def test_a_study_that_is_to_stop_leaves_its_dossier_and_says_where(noise):
    fresh = noise.parent / "stopped here"
    fresh.mkdir()
    for name in (STUDY, LATER):
        (fresh / name).symlink_to(noise / name)
    (fresh / STOPPED).write_text((noise / STOPPED).read_text(encoding="utf-8"), encoding="utf-8")
    finished = run_felloe("--configfile", STOPPED, "--directory", ".", cwd=fresh)
    said = finished.stdout + finished.stderr
    assert finished.returncode == 1
    assert "comparison.cannot_tell is 'stop'" in said
    assert "Traceback" not in said
    stopped = [name for name in (STUDY, LATER) if f"results/{name}/comparison" in said]
    assert stopped
    for name in stopped:
        results = fresh / "results" / name
        assert record(results / "comparison" / "populations.json")["verdict"] == "cannot_tell"
        assert (results / "comparison" / "consequence.csv").is_file()
        assert not (results / "comparison" / "chart.json").exists()
        assert not (results / "clustering").exists()
