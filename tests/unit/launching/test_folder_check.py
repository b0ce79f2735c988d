"""A run that could not write is told so before it starts: where, whose, and what to do."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from felloe.launching.planning import folder_check, preflight
from felloe.launching.planning.folder_check import folder_faults
from study_folder import write_folder

SCRIPTS = Path(__file__).parents[3] / "scripts"
SOMEBODY = 54321  # a user's number that nobody has
AS_SOMEBODY = f"""
import json, os, sys
sys.path.append(sys.argv[1])
from felloe.launching.planning.folder_check import folder_faults
os.setgid({SOMEBODY}); os.setuid({SOMEBODY})
print(json.dumps([str(fault) for fault in folder_faults(sys.argv[2], sys.argv[3:])]))
"""


@pytest.fixture
def made(tmp_path):
    for name in (".snakemake/log", ".snakemake/conda", "results/a/tiers", "results/b"):
        (tmp_path / name).mkdir(parents=True)
    (tmp_path / "results/a/tiers/published.csv").touch()
    return tmp_path


@pytest.fixture
def lock(made, monkeypatch):
    """Return a function that makes places unwritable, also for one whom no mode binds."""

    def locked(*names):
        refused = {str(made / name) for name in names}
        real = os.access
        monkeypatch.setattr(
            folder_check.os,
            "access",
            lambda path, mode: str(path) not in refused and real(path, mode),
        )

    return locked


def places(folder, *results):
    return [fault.file for fault in folder_faults(folder, results)]


def test_what_can_be_written_is_no_fault(made):
    before = sorted(made.rglob("*"))
    assert folder_faults(made, ["a", "b", "new"]) == []
    assert sorted(made.rglob("*")) == before


@pytest.mark.parametrize(
    "name", [".snakemake", ".snakemake/log", "results", "results/a", "results/a/tiers"]
)
def test_a_folder_that_cannot_be_written_is_named(name, made, lock):
    lock(name)
    (fault,) = folder_faults(made, ["a"])
    assert fault.file == name
    assert "cannot be written" in fault.problem
    assert "--directory" in fault.remedy


def test_the_working_folder_is_told_alone(made, lock):
    lock("", "results")
    (made / ".snakemake/log").rmdir()
    (made / ".snakemake/conda").rmdir()
    (made / ".snakemake").rmdir()
    lock(".", "")
    assert places(made) == ["the working folder"]


def test_a_working_folder_in_which_nothing_more_is_made_may_be_closed(made, lock):
    lock("")
    assert places(made, "a") == []


def test_what_another_run_made_beside_this_one_is_not_asked_for(made, lock):
    lock("results/b", ".snakemake/conda")
    assert places(made, "a") == []
    assert places(made, "a", "b") == ["results/b"]


@pytest.mark.parametrize("name", [".snakemake", "results", "results/a"])
def test_a_file_in_place_of_a_folder_is_named(name, tmp_path):
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).touch()
    (fault,) = folder_faults(tmp_path, ["a"])
    assert (fault.file, fault.problem.split(",")[0]) == (name, "is no folder")


def test_a_link_into_nothing_is_no_folder(tmp_path):
    (tmp_path / ".snakemake").symlink_to(tmp_path / "gone")
    assert places(tmp_path) == [".snakemake"]


def test_a_screen_is_not_filled_by_what_one_person_owns(made, lock):
    for at in range(40):
        (made / f"results/a/{at}").mkdir()
    lock(*(f"results/a/{at}" for at in range(40)))
    assert len(places(made, "a")) == folder_check.SHOWN


@pytest.mark.skipif(os.geteuid() != 0, reason="only root can become somebody else")
@pytest.mark.parametrize(
    ("opened", "place"),
    [
        ([], ".snakemake"),
        ([".", ".snakemake", ".snakemake/log"], "results"),
        ([".", ".snakemake", ".snakemake/log", "results"], "results/a"),
        ([".", ".snakemake", ".snakemake/log", "results", "results/a"], "results/a/tiers"),
        (
            [".", ".snakemake", ".snakemake/log", "results", "results/a", "results/a/tiers"],
            "results/a/tiers/published.csv",
        ),
    ],
)
def test_results_of_somebody_else_are_told_with_their_owner(opened, place):
    # pytest's own folders are closed to others, so one beside them is taken
    folder = Path(tempfile.mkdtemp())
    try:
        (folder / ".snakemake/log").mkdir(parents=True)
        (folder / "results/a/tiers").mkdir(parents=True)
        (folder / "results/a/tiers/published.csv").touch()
        folder.chmod(0o755)
        for name in opened:
            (folder / name).chmod(0o777)
        command = [sys.executable, "-c", AS_SOMEBODY, str(SCRIPTS), str(folder), "a"]
        finished = subprocess.run(command, capture_output=True, text=True, check=True)
    finally:
        shutil.rmtree(folder)
    told = json.loads(finished.stdout)
    assert told[0].startswith(f"{place}: belongs to 'root'")
    assert "Run as 'root'" in told[0]


def test_the_preflight_asks_before_anything_is_started(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    write_folder(tmp_path / "small")
    (tmp_path / "s.yaml").write_text("studies: {small: small}\n", encoding="utf-8")
    (tmp_path / ".snakemake").touch()
    assert preflight.main(["s.yaml"]) == 1
    (told,) = capsys.readouterr().err.splitlines()
    assert told.startswith(".snakemake: is no folder")
