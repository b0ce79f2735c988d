"""An open sort as large as is taken: whole, in four gigabytes for all that is at work together."""

import csv
import json
import subprocess
import sys

import numpy as np
import openpyxl
import pytest
from felloe.ground.groups.agreement import adjusted_rand
from large_study import CLASSES, SUBCLASSES, write_large_study
from memory_limit import run_limited
from small_study import FEW
from workflow.conftest import RUN

STUDY = "open-sort"
TERMS, PEOPLE, SHOWN = 1000, 10_000, 100
DRAWN = 1000  # people drawn for tests of people, by the settings' default
LIMIT = 4 * 2**30
SETTINGS = f"studies: {{{STUDY}: {STUDY}}}\neditions: []\n{FEW}"


@pytest.fixture(scope="module")
def ended(tmp_path_factory):
    """What the run said, the memory that it took, and its results."""
    folder = tmp_path_factory.mktemp("large")
    write_large_study(folder / STUDY, TERMS, PEOPLE, SHOWN)
    (folder / "settings.yaml").write_text(SETTINGS, encoding="utf-8")
    command = [sys.executable, str(RUN), "--configfile", "settings.yaml", "--directory", "."]
    finished, largest = run_limited(
        [*command, "--cores", "2"],
        LIMIT,
        processes=2,
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    return finished, largest, folder / "results" / STUDY


@pytest.fixture(scope="module")
def results(ended):
    finished, _, folder = ended
    assert finished.returncode == 0, finished.stdout[-3000:]
    return folder


def rows_of(path):
    with path.open(encoding="utf-8", newline="") as lines:
        yield from csv.DictReader(lines)


def test_the_run_ends_well_in_four_gigabytes_and_says_how_long_it_takes(ended):
    finished, largest, _ = ended
    assert finished.returncode == 0, finished.stdout[-3000:]
    assert largest is None or largest <= LIMIT
    assert " left" in finished.stdout


def test_planted_classes_come_back(results):
    published = list(rows_of(results / "tiers" / "published.csv"))
    planted = np.array([int(row["term"][1:]) % SUBCLASSES % CLASSES for row in published])
    names = sorted({row["class"] for row in published})
    found = np.array([names.index(row["class"]) for row in published])
    assert len(published) == TERMS
    assert adjusted_rand(planted, found) > 0.95


def test_everybody_is_counted_and_the_people_drawn_are_told(results):
    analysed = sum(1 for _ in rows_of(results / "validation" / "analysed.csv"))
    assert analysed > 0.95 * PEOPLE
    record = json.loads((results / "comparison" / "populations.json").read_text("utf-8"))
    assert sum(record["sample"]["drawn"].values()) == DRAWN
    assert sum(record["sample"]["of"].values()) == analysed
    page = (results / "report" / "report.html").read_text(encoding="utf-8")
    assert f"{DRAWN:,}" in page


def test_the_workbook_says_which_tables_were_left_out(results):
    book = openpyxl.load_workbook(results / "report" / "tables.xlsx", read_only=True)
    first = book.worksheets[0]
    text = " ".join(str(cell) for row in first.iter_rows(values_only=True) for cell in row if cell)
    assert "distances" in text
    assert "clustering.distances" not in book.sheetnames


def test_square_tables_and_tables_of_people_can_be_read(results):
    with (results / "clustering" / "distances.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.reader(lines))
    assert len(rows) == TERMS + 1
    assert {len(row) for row in rows} == {TERMS + 1}
    assert sum(1 for _ in rows_of(results / "validation" / "participants.csv")) == PEOPLE


@pytest.mark.parametrize("name", ["dendrogram", "matrix", "map", "ring", "wheel", "sensitivity"])
def test_every_figure_is_drawn(results, name):
    assert (results / "figures" / f"{name}.svg").stat().st_size > 1000
