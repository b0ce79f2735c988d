"""Nothing says that it is up to date when it is not; what was touched is made anew."""

import json
import os
import re
import shutil

import pytest
import yaml
from small_study import SETTINGS, STUDY, write_small_study
from workflow.conftest import run_felloe
from workflow.test_bad_input import bare_snakemake
from workflow.test_demo import hashes

TYPED = ["--configfile", "small.yaml", "--directory", "."]


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """A small study that was run by the launcher."""
    folder = tmp_path_factory.mktemp("whole") / "a folder"
    write_small_study(folder / STUDY)
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    run(folder)
    return folder


@pytest.fixture
def here(whole, tmp_path):
    """A copy of it, as it would come to another machine: without the engine's own notes."""
    copy = tmp_path / "copy"
    shutil.copytree(whole, copy, ignore=shutil.ignore_patterns(".snakemake"))
    return copy


def run(folder, *more):
    """Run the study; return what it said."""
    finished = run_felloe(*TYPED, *more, cwd=folder)
    assert finished.returncode == 0, finished.stdout[-3000:] + finished.stderr[-3000:]
    return finished.stdout


def jobs(said):
    """Return the steps that ran."""
    return re.findall(r"^\[ *\d+/\d+\] (\w+)", said, re.MULTILINE)


def results(folder):
    return folder / "results" / STUDY


def removed(*names):
    def touch(folder):
        for name in names:
            path = results(folder) / name
            shutil.rmtree(path) if path.is_dir() else path.unlink()

    return touch


def edited(name, old, new):
    def touch(folder):
        path = results(folder) / name
        age = path.stat()
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        os.utime(path, ns=(age.st_atime_ns, age.st_mtime_ns))

    return touch


def verdict_turned(folder):
    path = results(folder) / "comparison" / "populations.json"
    record = json.loads(path.read_text(encoding="utf-8"))
    record["verdict"] = "keep_apart" if record["verdict"] != "keep_apart" else "pool"
    path.write_text(json.dumps(record, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")


def figure_swapped(folder):
    figures = results(folder) / "figures"
    shutil.copy(figures / "map.png", figures / "wheel.png")


TOUCHED = {
    "checked sorts removed": (
        removed("validation"),
        ["results/guild/validation/sorts.csv is miss"],
    ),
    "counts removed": (removed("matrices"), ["results/guild/matrices/pooled.both.csv is missing"]),
    "the print removed": (
        removed("figures/wheel.pdf"),
        ["results/guild/figures/wheel.pdf is miss"],
    ),
    "the verdict turned": (
        verdict_turned,
        ["comparison/populations.json is not as it was written"],
    ),
    "a cell of the chart edited": (
        edited("tiers/published.csv", "Trees", "Forests"),
        ["tiers/published.csv is not as it was written"],
    ),
    "a figure swapped": (figure_swapped, ["figures/wheel.png is not as it was written"]),
    "the manifest edited": (
        edited("manifest.json", '"seed"', '"sead"'),
        ["manifest.json is not as it was written"],
    ),
}


def test_a_copy_without_the_engines_notes_is_known_to_be_up_to_date(here):
    assert "Nothing to do: every result is up to date." in run(here)


@pytest.mark.parametrize("case", TOUCHED)
def test_what_was_touched_is_named_and_made_anew_and_nothing_is_built_upon_it(case, here, whole):
    touch, lines = TOUCHED[case]
    touch(here)
    said = run(here)
    for line in lines:
        assert line in said
    assert hashes(here / "results") == hashes(whole / "results")
    assert len(jobs(said)) < 10  # and not all that wait for it
    assert "Nothing to do" in run(here)


def test_a_pile_changed_under_an_old_age_is_noticed(here, whole):
    path = here / STUDY / "sorts.csv"
    age = path.stat()
    lines = path.read_text(encoding="utf-8").splitlines()
    lines[1] = re.sub(r",(\d+),", ",9,", lines[1])
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    os.utime(path, ns=(age.st_atime_ns, age.st_mtime_ns))
    assert "study/sorts.csv is another than it read" in run(here, "-n")
    run(here)
    was, now = hashes(whole / "results"), hashes(here / "results")
    assert was["guild/validation/sorts.csv"] != now["guild/validation/sorts.csv"]
    manifest = json.loads((results(here) / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["inputs"]["sorts.csv"] == hashes(here / STUDY)["sorts.csv"]


def test_another_linkage_is_noticed_where_results_were_copied_to(here):
    with open(here / "small.yaml", "a", encoding="utf-8") as stream:
        stream.write("sensitivity: {linkage: [average]}\n")
    said = run(here, "-n")
    assert "Nothing" not in said
    assert "explore_universes guild" in said


def test_a_study_that_was_renamed_is_made_under_its_name(here):
    text = (here / "small.yaml").read_text(encoding="utf-8")
    (here / "small.yaml").write_text(text.replace("guild: guild", "club: guild"), encoding="utf-8")
    said = run(here, "-n")
    assert "validate_sorts club: was never made" in said


def test_a_label_reruns_what_shows_labels_and_no_computation(here, whole):
    path = here / STUDY / "terms.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Ginger", "Ginger root", 1), encoding="utf-8")
    ran = set(jobs(run(here)))
    computing = {
        "count_cooccurrence", "measure_stability", "compare_populations", "cluster_terms",
        "draw_replicates", "gather_replicates", "audit_ties", "extract_tiers", "scale_terms",
        "explore_universes", "gather_universes",
    }  # fmt: skip
    assert not ran & computing
    assert {"validate_sorts", "draw_wheel", "write_report", "write_vocabulary"} <= ran
    report = (results(here) / "report" / "report.html").read_text(encoding="utf-8")
    assert "Ginger root" in report


def test_the_settings_of_a_manifest_give_the_same_results_when_they_are_fed_back(here, whole):
    manifest = json.loads((results(here) / "manifest.json").read_text(encoding="utf-8"))
    text = yaml.safe_dump(manifest["config"], allow_unicode=True)
    (here / "small.yaml").write_text(text, encoding="utf-8")
    shutil.rmtree(here / "results")
    run(here)
    assert hashes(here / "results") == hashes(whole / "results")


def test_a_job_that_reads_what_was_touched_in_mid_run_refuses_it(here):
    # bare Snakemake does not look at contents; the step itself does
    figure = results(here) / "report" / "chart.json"
    figure.write_text(figure.read_text(encoding="utf-8") + " ", encoding="utf-8")
    (results(here) / "figures" / "wheel.svg").unlink()
    typed = [*TYPED[:2], "--cores", "1", "results/guild/figures/wheel.svg"]
    finished = bare_snakemake(*typed, cwd=here)
    assert finished.returncode != 0
    log = results(here) / "logs" / "draw_wheel.log"
    assert "chart.json is not what its step wrote" in log.read_text(encoding="utf-8")
