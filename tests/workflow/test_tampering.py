"""Nothing says that it is up to date when it is not; what was touched is made anew."""

import json
import os
import re
import shutil

import pytest
import yaml
from small_study import STUDY
from ten_terms import bare_snakemake
from workflow.conftest import run_felloe
from workflow.test_demo import hashes

TYPED = ["--configfile", "small.yaml", "--directory", "."]


def run(folder, *more):
    """Run the study; return what it said."""
    finished = run_felloe(*TYPED, *more, cwd=folder)
    assert finished.returncode == 0, finished.stdout[-3000:] + finished.stderr[-3000:]
    return finished.stdout


def jobs(said):
    """Return the steps that ran."""
    return re.findall(r"^\[ *\d+/\d+\] (?!about)(\w+)", said, re.MULTILINE)


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


def test_a_copy_without_the_engines_notes_is_known_to_be_up_to_date(small_copy):
    assert "Nothing to do: every result is up to date." in run(small_copy)


@pytest.mark.parametrize("case", TOUCHED)
def test_what_was_touched_is_named_and_made_anew_and_nothing_is_built_upon_it(
    case, small_copy, small_run
):
    touch, lines = TOUCHED[case]
    touch(small_copy)
    said = run(small_copy)
    for line in lines:
        assert line in said
    assert hashes(small_copy / "results") == hashes(small_run / "results")
    assert len(jobs(said)) < 10  # and not all that wait for it
    assert "Nothing to do" in run(small_copy)


def test_a_pile_changed_under_an_old_age_is_noticed(small_copy, small_run):
    path = small_copy / STUDY / "sorts.csv"
    age = path.stat()
    lines = path.read_text(encoding="utf-8").splitlines()
    lines[1] = re.sub(r",(\d+),", ",9,", lines[1])
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    os.utime(path, ns=(age.st_atime_ns, age.st_mtime_ns))
    assert "study/sorts.csv is another than it read" in run(small_copy, "-n")
    run(small_copy)
    was, now = hashes(small_run / "results"), hashes(small_copy / "results")
    assert was["guild/validation/sorts.csv"] != now["guild/validation/sorts.csv"]
    manifest = json.loads((results(small_copy) / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["inputs"]["sorts.csv"] == hashes(small_copy / STUDY)["sorts.csv"]


def test_another_linkage_is_noticed_where_results_were_copied_to(small_copy):
    with open(small_copy / "small.yaml", "a", encoding="utf-8") as stream:
        stream.write("sensitivity: {linkage: [average]}\n")
    said = run(small_copy, "-n")
    assert "Nothing" not in said
    assert "explore_universes guild" in said


def test_a_study_that_was_renamed_is_made_under_its_name(small_copy):
    text = (small_copy / "small.yaml").read_text(encoding="utf-8")
    (small_copy / "small.yaml").write_text(
        text.replace("guild: guild", "club: guild"), encoding="utf-8"
    )
    said = run(small_copy, "-n")
    assert "validate_sorts club: was never made" in said


def test_a_label_reruns_what_shows_labels_and_no_computation(small_copy, small_run):
    path = small_copy / STUDY / "terms.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Ginger", "Ginger root", 1), encoding="utf-8")
    ran = set(jobs(run(small_copy)))
    computing = {
        "compare_populations", "cluster_terms", "draw_replicates", "gather_replicates",
        "price_moves", "scale_terms", "order_circle", "choose_colours", "explore_universes",
    }  # fmt: skip
    assert not ran & computing
    assert {"validate_sorts", "draw_wheel", "write_report", "write_hand_off"} <= ran
    report = (results(small_copy) / "report" / "report.html").read_text(encoding="utf-8")
    assert "Ginger root" in report


def test_the_settings_of_a_manifest_give_the_same_results_when_they_are_fed_back(
    small_copy, small_run
):
    manifest = json.loads((results(small_copy) / "manifest.json").read_text(encoding="utf-8"))
    text = yaml.safe_dump(manifest["config"], allow_unicode=True)
    (small_copy / "small.yaml").write_text(text, encoding="utf-8")
    shutil.rmtree(small_copy / "results")
    run(small_copy)
    assert hashes(small_copy / "results") == hashes(small_run / "results")


def test_a_job_that_reads_what_was_touched_in_mid_run_refuses_it(small_copy):
    # bare Snakemake does not look at contents; the step itself does
    figure = results(small_copy) / "report" / "chart.json"
    figure.write_text(figure.read_text(encoding="utf-8") + " ", encoding="utf-8")
    (results(small_copy) / "figures" / "wheel.svg").unlink()
    typed = [*TYPED[:2], "--cores", "1", "results/guild/figures/wheel.svg"]
    finished = bare_snakemake(*typed, cwd=small_copy)
    assert finished.returncode != 0
    log = results(small_copy) / "logs" / "draw_wheel.log"
    assert "chart.json is not what its step wrote" in log.read_text(encoding="utf-8")
