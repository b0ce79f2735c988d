"""Three small editions followed through all rules: planted moves, classes and paths are found."""

import json
import math
import shutil
import zipfile

import pytest
import yaml
from felloe.timeline.tables import TIMELINE
from jsonschema import Draft202012Validator
from timeline_study import CLASSES, home_of, write_three
from workflow.conftest import ROOT, run_felloe

HOME = "results/editions/w-2006--w-2026"
FILES = [f"timeline.{kind}" for kind in ("csv", "json", "svg", "pdf", "png", "html")]
COMPARED = ["comparison.json", "terms.csv", "report.html"]
OF_RUN = ["manifest.json", "SHA256SUMS", "environment.json"]
STUDIES = list(CLASSES)


@pytest.fixture(scope="module")
def work(tmp_path_factory):
    """A working folder in which the three were run by the launcher."""
    folder = tmp_path_factory.mktemp("three") / "a folder"
    write_three(folder)
    done = run_felloe("--configfile", "three.yaml", "--directory", ".", cwd=folder)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-3000:]
    return folder


@pytest.fixture(scope="module")
def paths(work):
    return {row["path"]: row for row in TIMELINE.read(work / HOME / "timeline.csv")}


@pytest.fixture(scope="module")
def record(work):
    return json.loads((work / HOME / "timeline.json").read_text(encoding="utf-8"))


def test_timeline_and_the_comparison_of_its_ends_lie_in_one_folder_under_one_manifest(work):
    home = work / HOME
    for name in [*FILES, *COMPARED, *OF_RUN]:
        assert (home / name).stat().st_size > 0
    manifest = json.loads((home / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["timeline"] == STUDIES
    assert set(FILES) | set(COMPARED) <= set(manifest["outputs"])
    assert {"trace_timeline", "draw_timeline", "compare_editions"} <= set(manifest["graph"])
    assert {"editions/w-2006--w-2016", "editions/w-2016--w-2026"} <= set(manifest["other_studies"])
    sums = (home / "SHA256SUMS").read_text(encoding="utf-8")
    assert all(f"  {name}\n" in sums for name in FILES)
    schema = ROOT / "workflow/schemas/records/editions.manifest.schema.yaml"
    rules = yaml.safe_load(schema.read_text(encoding="utf-8"))
    assert not list(Draft202012Validator(rules).iter_errors(manifest))


def test_the_pairs_of_a_list_are_compared_and_their_manifests_know_no_timeline(work):
    for pair in ("w-2006--w-2016", "w-2016--w-2026"):
        manifest = json.loads((work / f"results/editions/{pair}/manifest.json").read_text())
        assert "timeline" not in manifest
        assert not set(FILES) & set(manifest["outputs"])


def test_the_record_keeps_to_its_schema(record):
    schema = ROOT / "workflow/schemas/records/timeline.timeline.schema.yaml"
    rules = yaml.safe_load(schema.read_text(encoding="utf-8"))
    assert not list(Draft202012Validator(rules).iter_errors(record))


def test_planted_moves_are_found_with_their_edition_and_nothing_else_has_moved(paths):
    moved = {
        row["term"]: [row[f"migration:{study}"] for study in STUDIES[1:]]
        for row in paths.values()
        if row["moves"]
    }
    assert moved == {"mover": ["robust", "none"], "rover": ["robust", "robust"]}


def test_paths_are_the_planted_ones(paths):
    assert "r-old > r-mid > r-mid" in paths
    assert "once > _ > _" in paths
    assert "_ > f1 > _" in paths
    came_back = paths["leek > _ > leek"]
    assert came_back["change:w-2026"] == "returned"
    assert came_back["migration:w-2026"] == "not_compared"
    every = {term for study in CLASSES for term in home_of(study)}
    assert {term for name in paths for term in name.split(" > ")} - {"_"} == every


def test_classes_joined_born_split_and_gone_are_the_planted_ones(record):
    first, second = record["pairs"]
    assert first["classes"] == {"born": 1, "split": 0, "gone": 0, "joined": 1}
    assert second["classes"] == {"born": 0, "split": 1, "gone": 1, "joined": 0}
    began = {(one["study"], one["id"]): (one["began"], one["ended"]) for one in record["classes"]}
    assert began["w-2006", "e1"] == ("first", "joined")
    assert began["w-2016", "f1"] == ("born", "gone")
    assert began["w-2026", "e1"] == ("split", "last")


def test_who_moved_has_more_entropy_between_editions_than_who_stayed(paths):
    # a sure move after one of three editions: the entropy of thirds
    thirds = -(1 / 3 * math.log(1 / 3) + 2 / 3 * math.log(2 / 3))
    assert paths["mover > mover > mover"]["entropy_editions"] == pytest.approx(thirds, abs=0.15)
    assert paths["a1 > a1 > a1"]["entropy_editions"] < 0.05


def test_the_page_tells_every_path_and_needs_no_network(work, paths):
    page = (work / HOME / "timeline.html").read_text(encoding="utf-8")
    assert page.count("<tr>") >= len(paths)
    assert 'src="http' not in page
    assert 'src="data:image/' in page
    assert "Mover" in page


def test_results_are_as_their_manifests_say(work):
    done = run_felloe(
        "verify", "--quick", "--configfile", "three.yaml", "--directory", ".", cwd=work
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "w-2006--w-2026: as its manifest says." in done.stdout


def test_the_study_in_the_middle_is_shared_with_the_timeline(work):
    done = run_felloe("share", "w-2016", "--folder", "--configfile", "three.yaml",
                      "--directory", ".", cwd=work)  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    shared = work / "shared/w-2016"
    assert (shared / HOME / "timeline.html").is_file()
    told = (shared / "README.txt").read_text(encoding="utf-8")
    assert f"{HOME}/timeline.html: every term through all editions" in told


def test_an_archive_of_one_study_holds_all_that_the_lists_join_to_it(work):
    words = ("archive", "w-2016", "--without-people", "--configfile", "three.yaml")
    done = run_felloe(*words, "--directory", ".", cwd=work)
    assert done.returncode == 0, done.stdout + done.stderr
    (archive,) = (work / "archives").glob("*.zip")
    with zipfile.ZipFile(archive) as held:
        names = held.namelist()
    for path in (f"{HOME}/timeline.html", f"{HOME}/report.html", "results/w-2026/manifest.json"):
        assert any(name.endswith(path) for name in names)


def test_two_runs_are_compared_down_to_the_cells_of_the_timeline(work, tmp_path):
    other = tmp_path / "results"
    shutil.copytree(work / "results", other)
    table = other / "editions/w-2006--w-2026/timeline.csv"
    table.write_text(table.read_text(encoding="utf-8").replace("Mover", "Moved"), encoding="utf-8")
    words = ("compare-runs", "results", other, "--directory", ".")
    done = run_felloe(*words, cwd=work)
    assert done.returncode == 1, done.stdout + done.stderr
    assert "timeline.csv" in done.stdout


def test_the_same_again_runs_nothing(work):
    done = run_felloe("-n", "--configfile", "three.yaml", "--directory", ".", cwd=work)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "trace_timeline" not in done.stdout
