"""From an archive, in a folder of its own and without a history, come the same bytes."""

import hashlib
import json
import shutil
import subprocess
import sys
import zipfile

import pytest
from workflow.conftest import ROOT, run_felloe


@pytest.fixture(scope="module")
def here(small_results, tmp_path_factory):
    """A copy of the folder that the small study ran in, with both archives."""
    copy = tmp_path_factory.mktemp("to be archived") / "here"
    shutil.copytree(small_results.parents[1], copy, ignore=shutil.ignore_patterns(".snakemake"))
    for option in ("--with-people", "--without-people"):
        words = ("archive", "guild", option, "--configfile", "small.yaml", "--directory", ".")
        done = run_felloe(*words, cwd=copy)
        assert done.returncode == 0, done.stdout + done.stderr
    return copy


def unpacked(here, name, folder):
    """Unpack an archive beside nothing else; return its folder, with an environment."""
    with zipfile.ZipFile(here / "archives" / f"{name}.zip") as packed:
        packed.extractall(folder)
    assert [path.name for path in folder.iterdir()] == [name]
    (folder / name / ".venv").symlink_to(ROOT / ".venv")  # made from the same lock
    return folder / name


def rerun(folder, *words):
    """Call the second line of how to rerun."""
    command = [sys.executable, "scripts/run", "--configfile", "settings.yaml", "--directory", "."]
    done = subprocess.run(
        [*command, *words], cwd=folder, capture_output=True, text=True, timeout=900
    )
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-4000:]
    return done.stdout


def changed_files(folder):
    """Return the files that are not as the archive's sums say."""
    lines = (folder / "SHA256SUMS").read_text(encoding="utf-8").splitlines()
    sums = {name: value for value, name in (line.split("  ", 1) for line in lines)}
    assert len(sums) > 300
    return [
        name
        for name, value in sums.items()
        if not (folder / name).is_file()
        or hashlib.sha256((folder / name).read_bytes()).hexdigest() != value
    ]


def test_everything_comes_again_from_the_sorts(here, tmp_path):
    folder = unpacked(here, "guild.with-people", tmp_path / "another machine")
    shutil.rmtree(folder / "results")
    rerun(folder)
    assert changed_files(folder) == []
    done = subprocess.run(
        [
            sys.executable, "scripts/run", "archive", "guild", "--with-people",
            "--configfile", "settings.yaml", "--directory", ".",
        ],
        cwd=folder,
        capture_output=True,
    )  # fmt: skip
    assert done.returncode == 0
    again = folder / "archives" / "guild.with-people.zip"
    assert again.read_bytes() == (here / "archives" / again.name).read_bytes()


def test_what_follows_from_the_counts_comes_again_without_people(here, tmp_path):
    folder = unpacked(here, "guild.without-people", tmp_path)
    plan = json.loads((folder / "WITHOUT-PEOPLE.json").read_text(encoding="utf-8"))
    for name in plan["targets"]:
        (folder / name).unlink()
    assert changed_files(folder) == sorted(plan["targets"])
    said = rerun(folder)
    assert changed_files(folder) == []
    assert all(rule in said for rule in plan["rules"])
    assert {"results/guild/figures/wheel.pdf", "results/guild/clustering/distances.csv"} <= set(
        plan["targets"]
    )


# what reads single people, redraws them, or tells of files that are left out
NEEDS_PEOPLE = {
    "validate_sorts", "count_cooccurrence", "compare_populations", "draw_populations",
    "draw_replicates", "gather_replicates", "explore_universes", "scale_terms", "choose_colours",
    "write_report",
}  # fmt: skip


def test_every_other_step_runs_without_people(here, tmp_path):
    folder = unpacked(here, "guild.without-people", tmp_path)
    plan = json.loads((folder / "WITHOUT-PEOPLE.json").read_text(encoding="utf-8"))
    entries = (folder / "results" / "guild" / "ledger").rglob("*.json")
    steps = {json.loads(path.read_text(encoding="utf-8"))["step"] for path in entries}
    assert len(steps) > 15
    assert steps - set(plan["rules"]) == NEEDS_PEOPLE & steps
