"""Steps as jobs of a real Slurm, which is started and stopped here: the same bytes as at home."""

import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
from called import called
from slurm_cluster import job_states, jobs, slurm, why_not
from small_study import SETTINGS, STUDY, write_small_study
from study_folder import write_rows
from workflow.conftest import RUN

AT_HOME = ["--configfile", "small.yaml", "--directory", "."]
TYPED = ["--cluster", "slurm", *AT_HOME, "--seconds-between-status-checks", "1"]
MADE = f"results/{STUDY}/clustering/linkage.csv"  # and all that it is made from
UNSTABLE = {"logs", "benchmarks"}
PATIENCE = 150.0  # seconds


@pytest.fixture(scope="module")
def cluster():
    """The variables of who submits to a Slurm of our own; skipped as `browser` is."""
    if missing := why_not():
        say = pytest.fail if os.environ.get("FELLOE_SLURM") == "required" else pytest.skip
        say(missing)
    home = Path(tempfile.mkdtemp(prefix="slurm-"))
    with slurm(home) as variables:
        yield variables
        wait_until(lambda: not jobs(variables), "jobs are left")
    shutil.rmtree(home)


def new_study(folder):
    """Write the small study into a new folder."""
    write_small_study(folder / STUDY)
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    return folder


def started(folder, variables, *more):
    """Start a run; what it says goes to a file."""
    variables = {name: value for name, value in variables.items() if name != "PYTHONPATH"}
    with open(folder / "said.txt", "w", encoding="utf-8") as said:
        return subprocess.Popen(
            [sys.executable, str(RUN), *TYPED, *more],
            cwd=folder,
            env=variables,
            stdout=said,
            stderr=subprocess.STDOUT,
        )


def numbers(variables):
    """Return the numbers of the jobs that there have been."""
    return {number for number, *_ in job_states(variables)}


def bytes_at(path):
    return path.read_bytes()


def said_in(folder):
    return (folder / "said.txt").read_text(encoding="utf-8")


def wait_until(holds, otherwise):
    """Wait until something holds."""
    until = time.monotonic() + PATIENCE
    while not holds():
        assert time.monotonic() < until, otherwise
        time.sleep(0.1)


SLOW = {  # what Slurm's programs do before they do as ever
    "scontrol": ': > "{folder}/asked"; sleep 5',  # tells late of a job, and that it was asked
    "sbatch": 'for script; do :; done; sed -i "1a sleep 600" "$script"',  # a job does not end
}


def slowed(folder, variables):
    """Return variables with a Slurm that takes its time."""
    there = folder / "slow"
    there.mkdir()
    for name, first in SLOW.items():
        real = shutil.which(name, path=variables["PATH"])
        program = there / name
        program.write_text(
            f'#!/bin/sh\n{first.format(folder=folder)}\nexec "{real}" "$@"\n', encoding="utf-8"
        )
        program.chmod(0o755)
    return {**variables, "PATH": os.pathsep.join([str(there), variables["PATH"]])}


def running_job(variables, run, folder, without=()):
    """Wait for a job at work that is none of some; return its number."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        assert run.poll() is None, said_in(folder)
        for number, _, state, _ in job_states(variables):
            if state == "RUNNING" and number not in without:
                return number
        time.sleep(0.1)
    raise TimeoutError(said_in(folder))


def test_a_run_on_slurm_makes_the_same_bytes_and_a_killed_job_is_submitted_again(
    cluster, tmp_path, small_results
):
    folder = new_study(tmp_path / "our study")
    before = numbers(cluster)
    run = started(folder, cluster, MADE)
    first = running_job(cluster, run, folder, before)
    subprocess.run(["scancel", first], env=cluster, check=True)
    assert run.wait(timeout=600) == 0, said_in(folder)
    # every step was a job, the killed one was two, and asked for more the second time
    steps = re.findall(r"^\[ *\d+/(\d+)\]", said_in(folder), re.M)
    told = [each for each in job_states(cluster) if each[0] not in before]
    assert len(told) == int(steps[-1]) + 1 == len(steps) + 1
    assert {state for number, _, state, _ in told if number != first} == {"COMPLETED"}
    ((name, killed),) = [(name, mem) for number, name, _, mem in told if number == first]
    again = [mem for number, other, _, mem in told if other == name and number != first]
    assert again == [2 * killed]
    # what was made is what a run without Slurm makes, its entries in the ledger too
    made = folder / "results" / STUDY
    files = [path.relative_to(made) for path in made.rglob("*") if path.is_file()]
    files = [path for path in files if not UNSTABLE & set(path.parts)]
    assert Path("clustering/linkage.csv") in files
    assert Path("ledger/cluster_terms.json") in files
    others = [path for path in files if bytes_at(made / path) != bytes_at(small_results / path)]
    assert others == []
    # and nobody need make it again, at home either
    looked = called(RUN, *AT_HOME, "-n", MADE, cwd=folder, timeout=100)
    assert looked.stdout.startswith("Nothing would run")


def test_ctrl_c_cancels_what_was_submitted_while_the_engine_asks_for_it_too(cluster, tmp_path):
    folder = new_study(tmp_path / "stopped")
    before = numbers(cluster)
    run = started(folder, slowed(folder, cluster), MADE)
    number = running_job(cluster, run, folder, before)
    wait_until((folder / "asked").exists, "the engine never asked")
    run.send_signal(signal.SIGINT)
    assert run.wait(timeout=PATIENCE) == 130
    assert "Stopped (SIGINT)." in said_in(folder)
    wait_until(lambda: not jobs(cluster), "jobs are left")  # one that is told to has a moment
    assert "CANCELLED" in [state for each, _, state, _ in job_states(cluster) if each == number]


def test_a_step_that_fails_there_is_told_on_one_screen_as_at_home(cluster, tmp_path):
    folder = new_study(tmp_path / "faulty")
    rows = [["participant", "term", "pile"], ["nobody", "ash", 1]]
    write_rows(folder / STUDY / "sorts.csv", rows)
    run = started(folder, cluster, "--retries", "0", MADE)
    assert run.wait(timeout=300) == 1
    there = said_in(folder)
    here = called(RUN, *AT_HOME, MADE, cwd=folder, timeout=300)
    assert here.returncode == 1
    assert here.stderr.strip() in there
    assert "Log: results" in here.stderr
