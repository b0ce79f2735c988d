"""Results are said to be the same, or what is not is named with its cause; nothing is guessed."""

import re
import shutil

import pytest
from small_study import STUDY
from workflow.conftest import run_felloe
from workflow.test_demo import hashes
from workflow.test_tampering import edited, figure_swapped, removed, results, verdict_turned

TYPED = ["--configfile", "small.yaml", "--directory", "."]


def call(folder, *words):
    """Call a command; return its exit status and what it said."""
    finished = run_felloe(*words, *TYPED, cwd=folder)
    said = finished.stdout + finished.stderr
    assert "Traceback" not in said
    told = [line for line in said.splitlines() if not re.match(r"\[ *\d+/\d+\] ", line)]
    assert len(told) < 50, told  # one screen, beside a line for each job
    return finished.returncode, said


def everything_in(folder):
    """Return the bytes of all files and None for each folder, by path."""
    return {path: path.read_bytes() if path.is_file() else None for path in folder.rglob("*")}


def config_edited(folder):
    with open(folder / "small.yaml", "a", encoding="utf-8") as stream:
        stream.write("wheel: {bleed_mm: 3.0}\n")


def input_edited(folder):
    path = folder / STUDY / "terms.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("As of Elm.", "Of elms."), "utf-8")


def input_removed(folder):
    (folder / STUDY / "names.csv").unlink()


def file_added(folder):
    (results(folder) / "figures" / "mine.png").write_bytes(b"mine")


def version_edited(folder):
    """Write another version of a package into manifest and ledger, as a run under it would."""
    import felloe.ledger as ledger
    from felloe.ground.files.hashes import sha256_of
    from felloe.versions import package_versions

    old = f'"numpy": "{package_versions()["numpy"]}"'
    for path in [results(folder) / "manifest.json", *(results(folder) / "ledger").rglob("*.json")]:
        path.write_text(path.read_text("utf-8").replace(old, '"numpy": "1.0.0"'), "utf-8")
    sums = results(folder) / "SHA256SUMS"
    new = sha256_of(results(folder) / "manifest.json")
    sums.write_text(re.sub(r"\w{64}(?=  manifest)", new, sums.read_text("utf-8")), "utf-8")
    home = results(folder) / "ledger" / "write_report.json"
    entry = ledger.read_entry(home)
    entry.outputs["results/guild/manifest.json"] = new
    entry.outputs["results/guild/SHA256SUMS"] = sha256_of(sums)
    ledger.write_entry(home, entry)


def version_in_ledger_edited(folder):
    path = results(folder) / "ledger" / "order_circle.json"
    path.write_text(re.sub(r'"numpy": "[^"]*"', '"numpy": "1.0"', path.read_text("utf-8")), "utf-8")


TOUCHED = {
    "checked sorts removed": (removed("validation"), ["Missing", "validation/analysed.csv"]),
    "counts removed": (removed("matrices"), ["matrices/pooled.both.csv"]),
    "the print removed": (removed("figures/wheel.pdf"), ["figures/wheel.pdf"]),
    "the verdict turned": (verdict_turned, ["Changed since", "comparison/populations.json"]),
    "a cell edited": (edited("tiers/published.csv", "Trees", "Forests"), ["tiers/published.csv"]),
    "a figure swapped": (figure_swapped, ["figures/wheel.png"]),
    "the manifest edited": (edited("manifest.json", "guild", "gilde"), ["manifest.json"]),
    "a ledger entry edited": (version_in_ledger_edited, ["ledger"]),
    "an input edited": (input_edited, ["own files", "terms.csv"]),
    "an input removed": (input_removed, ["own files", "names.csv"]),
    "the settings edited": (config_edited, ["Settings", "wheel.bleed_mm: 0.0 -> 3.0"]),
    "a file added": (file_added, ["not in the manifest", "figures/mine.png"]),
    "another version": (version_edited, ["Packages", "numpy: 1.0.0 ->"]),
}


def test_a_quick_look_finds_a_copy_the_same(small_copy):
    status, said = call(small_copy, "verify", "--quick")
    assert (status, said.splitlines()[0]) == (0, "The same: 1 folder of results.")


@pytest.mark.parametrize("case", TOUCHED)
def test_a_quick_look_names_what_is_not_the_same(case, small_copy):
    touch, words = TOUCHED[case]
    touch(small_copy)
    before = hashes(small_copy / "results")
    status, said = call(small_copy, "verify", STUDY, "--quick")
    assert status == 1
    for word in words:
        assert word in said
    assert hashes(small_copy / "results") == before


def test_a_clean_folder_is_reproduced_and_left_as_it_was(small_copy):
    before = everything_in(small_copy)
    assert len([data for data in before.values() if data]) > 100
    status, said = call(small_copy, "verify")
    assert status == 0
    assert "Reproduced" in said
    assert everything_in(small_copy) == before


def test_a_tampered_cell_is_named_with_what_stands_there_and_what_should(small_copy):
    edited("tiers/published.csv", "Trees", "Forests")(small_copy)
    figure_swapped(small_copy)
    status, said = call(small_copy, "verify", STUDY)
    assert status == 1
    assert "tiers/published.csv" in said
    assert "Forests" in said
    assert "Trees" in said
    assert "figures/wheel.png" in said
    assert "report/chart.json" not in said  # what was not touched is the same


def test_another_setting_is_named_as_the_cause(small_copy):
    config_edited(small_copy)
    status, said = call(small_copy, "verify", STUDY)
    assert status == 1
    assert "wheel.bleed_mm" in said
    assert "figures/wheel" in said


def test_an_edited_input_is_named_as_the_cause(small_copy):
    input_edited(small_copy)
    status, said = call(small_copy, "verify", STUDY)
    assert status == 1
    assert "terms.csv" in said
    assert "Of elms." in said


def test_a_file_that_no_manifest_lists_is_a_difference(small_copy):
    file_added(small_copy)
    status, said = call(small_copy, "verify", STUDY)
    assert status == 1
    assert "files that no manifest lists" in said
    assert "figures/mine.png" in said
    assert "Reproduced" not in said


def test_a_study_that_there_is_not_is_refused(small_copy):
    status, said = call(small_copy, "verify", "guidl")
    assert status == 2
    assert "Did you mean 'guild'?" in said


def test_a_try_leaves_the_results_alone_and_says_what_follows(small_copy):
    (small_copy / "swap.yaml").write_text(
        "clustering: {linkage: complete}\ntiers: {unfit_names: propose}\n", encoding="utf-8"
    )
    before = hashes(small_copy / "results")
    words = ["try", "complete", "--configfile", "small.yaml", "swap.yaml", "--directory", "."]
    finished = run_felloe(*words, cwd=small_copy)
    assert finished.returncode == 0, finished.stdout + finished.stderr
    assert hashes(small_copy / "results") == before
    made = hashes(small_copy / "tries" / "complete" / "results")
    assert made["guild/matrices/pooled.both.csv"] == before["guild/matrices/pooled.both.csv"]
    assert made["guild/clustering/linkage.csv"] != before["guild/clustering/linkage.csv"]
    assert "clustering.linkage" in finished.stdout
    assert "average" in finished.stdout
    assert "complete" in finished.stdout
    assert not re.search(r"\] (validate_sorts|count_cooccurrence)", finished.stdout)
    page = (small_copy / "tries" / "complete" / "runs-side-by-side.html").read_text("utf-8")
    assert "clustering.linkage" in page
    assert str(small_copy) not in page
    again = run_felloe(*words, cwd=small_copy)
    assert "Nothing to do" in again.stdout


def test_two_runs_that_are_the_same_have_no_difference(small_copy, tmp_path):
    shutil.copytree(small_copy / "results", tmp_path / "b" / "results")
    finished = run_felloe("compare-runs", "results", tmp_path / "b", cwd=small_copy)
    assert finished.returncode == 0, finished.stdout + finished.stderr
    edited("tiers/published.csv", "Trees", "Forests")(small_copy)
    finished = run_felloe("compare-runs", "results", tmp_path / "b", cwd=small_copy)
    assert finished.returncode == 1
    assert "Forests" in finished.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["compare-runs", "results"], "Two folders"),
        (["compare-runs", "results", "nowhere"], "nowhere"),
        (["try"], "needs a name"),
        (["try", "../x", "--configfile", "small.yaml"], "needs a name"),
        (["try", "x"], "needs the settings"),
        (["verify", "guild", "other"], "One study"),
        (["verify", "--quik"], "--quik"),
    ],
)
def test_a_command_that_can_not_be_meant_so_is_refused(words, said, small_copy):
    finished = run_felloe(*words, cwd=small_copy)
    assert finished.returncode == 2, finished.stdout + finished.stderr
    assert said in finished.stderr
    assert len(finished.stderr.splitlines()) <= 4
