"""Three invented editions by their own settings file: what was planted to happen is found."""

import csv
import json
import shutil

import pytest
from workflow.conftest import ROOT, run_felloe

STUDIES = ("brine-2006", "brine-2016", "brine-2026")
HOME = f"results/editions/{STUDIES[0]}--{STUDIES[-1]}"
OWN = ROOT / "config" / "decades.yaml"
# fewer draws of what no timeline reads
FEWER = "comparison: {permutations: 999, shape_permutations: 199}\nmap: {bootstrap: 10}\n"


def table(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.fixture(scope="module")
def work(tmp_path_factory):
    """The folder in which the timeline was made, and what it reads."""
    folder = tmp_path_factory.mktemp("decades") / "a folder"
    for study in STUDIES:
        shutil.copytree(ROOT / "demo_data" / study, folder / "demo_data" / study)
    (folder / "fewer.yaml").write_text(FEWER, encoding="utf-8")
    finished = run_felloe(
        f"{HOME}/timeline.html", "--configfile", str(OWN), "fewer.yaml", "--directory", ".",
        cwd=folder,
    )  # fmt: skip
    assert finished.returncode == 0, finished.stdout[-3000:] + finished.stderr[-3000:]
    return folder


@pytest.fixture(scope="module")
def paths(work):
    """The path of each term of 2006, by its id there."""
    rows = table(work / HOME / "timeline.csv")
    return {row[f"term:{STUDIES[0]}"]: row for row in rows if row[f"term:{STUDIES[0]}"]}


@pytest.fixture(scope="module")
def kinds():
    """The terms of 2006 by what was planted to become of them until 2016."""
    found = {}
    for row in table(ROOT / "demo_data" / "brine-2006.planted.csv"):
        found.setdefault(row["kind"], set()).add(row["term"])
    return found


def graded(paths, study, *grades):
    """Return the terms whose step to an edition has one of some grades."""
    return {term for term, row in paths.items() if row[f"migration:{study}"] in grades}


def test_moves_planted_until_2016_are_found_and_no_other_is_robust(paths, kinds):
    moved = graded(paths, "brine-2016", "robust", "possible")
    assert kinds["moved"] <= moved
    assert graded(paths, "brine-2016", "robust") <= kinds["moved"]


def test_moves_planted_until_2026_are_found_on_the_same_paths(paths):
    planted = {
        row["term"] for row in table(ROOT / "demo_data" / "moved.csv") if row["kind"] == "moved"
    }
    assert graded(paths, "brine-2026", "robust") == planted & paths.keys()


def test_who_moved_twice_is_told_with_both_moves(paths):
    planted = {"juniper", "celery-leaf", "smoky", "buttermilk"}  # demo_data/README.md
    twice = {term for term, row in paths.items() if row["moves"] == "2"}
    assert planted <= twice
    assert all(paths[term]["surest"] == "robust" for term in planted)


def test_terms_that_were_retired_end_and_those_that_came_back_go_on(paths, kinds):
    assert {paths[term]["last"] for term in kinds["retired"]} == {"brine-2006"}
    back = {term for term, row in paths.items() if row["change:brine-2026"] == "returned"}
    assert back == kinds["returned"]
    assert graded(paths, "brine-2026", "not_compared") == back


def test_classes_joined_and_split_are_the_planted_ones(work, paths, kinds):
    record = json.loads((work / HOME / "timeline.json").read_text(encoding="utf-8"))
    first = record["pairs"][0]
    assert (first["older"], first["newer"], first["found"]) == (*STUDIES[:2], True)
    lines = {one["id"]: one for one in record["classes"] if one["study"] == "brine-2016"}
    split = {paths[term]["class:brine-2016"] for term in kinds["divided"]}
    assert {lines[name]["began"] for name in split} == {"split"}
    older = {one["id"]: one for one in record["classes"] if one["study"] == "brine-2006"}
    joined = {paths[term]["class:brine-2006"] for term in kinds["joined"]}
    assert sorted(older[name]["ended"] for name in joined) == ["continued", "joined"]
