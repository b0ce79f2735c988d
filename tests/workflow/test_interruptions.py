"""A run that is stopped in any way goes on with the same command, to the same bytes."""

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from felloe.launching.engine.interrupts import members
from felloe.launching.engine.locks import REMOVED
from small_study import SETTINGS, STUDY, write_small_study
from workflow.conftest import RUN, run_felloe

TYPED = ["--configfile", "small.yaml", "--directory", ".", "--cores", "2"]
UNSTABLE = {"logs", "benchmarks", "environment.json"}  # they tell of times and of the machine
RULES = Path(__file__).parents[2] / "workflow" / "rules"
OF_ONE_STUDY = {  # rules that are made for each study, and called by it too
    name
    for path in RULES.glob("*.smk")
    for name in re.findall(r'^ +f"(\w+)_\{study\}"$', path.read_text("utf-8"), re.MULTILINE)
}
NEEDS_PROC = pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="no /proc to look into")


def new_study(folder):
    write_small_study(folder / STUDY)
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    return folder


def started(folder, *more):
    """Start a run as a shell does: at the head of a group, its output in a file."""
    with open(folder / "said.txt", "w", encoding="utf-8") as said:
        return subprocess.Popen(
            [sys.executable, str(RUN), *TYPED, *more],
            cwd=folder,
            stdout=said,
            stderr=subprocess.STDOUT,
            process_group=0,
        )


def said_in(folder):
    return (folder / "said.txt").read_text(encoding="utf-8")


def wait_for_step(folder, run, done):
    """Wait until a run has ended so many steps."""
    until = time.monotonic() + 120
    while len(re.findall(r"^\[ *[1-9]", said_in(folder), re.M)) < done:
        assert run.poll() is None, said_in(folder)
        assert time.monotonic() < until
        time.sleep(0.01)


def contents(results):
    """Return the bytes of every file of a study's results that are to be the same."""
    return {
        path.relative_to(results).as_posix(): path.read_bytes()
        for path in sorted(results.rglob("*"))
        if path.is_file() and not UNSTABLE & set(path.relative_to(results).parts)
    }


def assert_same(folder, small_results):
    """Assert that a folder holds the results of a run that nobody stopped, and nothing else."""
    made, expected = contents(folder / "results" / STUDY), contents(small_results)
    assert made.keys() == expected.keys()
    assert [name for name in made if made[name] != expected[name]] == []


def engine_of(run):
    """Return the session of a launcher's engine; none if it has none."""
    for place in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = place.read_text(errors="replace").rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[1]) == run.pid and int(fields[3]) == int(place.parent.name):
            return int(place.parent.name)
    return None


def steps_at_work(session):
    """Return the rules whose steps run in a session, by the names of the scripts."""
    rules = set()
    for pid, _ in members(session):
        try:
            words = Path(f"/proc/{pid}/cmdline").read_bytes().decode().split("\0")
        except OSError:
            continue
        rules |= {found[1] for word in words if (found := re.search(r"/tmp\w+\.(\w+)\.py$", word))}
    return rules


ENDS = [  # what is signalled, whom, the exit status that shells give it
    (signal.SIGTERM, "launcher"),
    (signal.SIGINT, "launcher"),
    (signal.SIGTERM, "group"),
    (signal.SIGINT, "group"),
    (signal.SIGHUP, "group"),
]


@NEEDS_PROC
def test_a_run_that_is_told_to_end_does_and_goes_on_to_the_same_bytes(tmp_path, small_results):
    folder = new_study(tmp_path / "our study")
    for done, (number, whom) in enumerate(ENDS, start=1):
        run = started(folder)
        wait_for_step(folder, run, done)
        session = engine_of(run)
        (os.kill if whom == "launcher" else os.killpg)(run.pid, number)
        assert run.wait(timeout=60) == 128 + number
        assert said_in(folder).splitlines()[-1].startswith(f"Stopped ({number.name}).")
        assert list(members(session)) == []
        assert not (folder / ".snakemake" / "locks").exists()
    run = started(folder)
    wait_for_step(folder, run, 2)
    run.kill()  # the engine is not told, sees it, and ends; the next run waits for that
    run.wait()
    run = started(folder)
    assert run.wait(timeout=300) == 0, said_in(folder)
    assert_same(folder, small_results)


def killed_in_new_step(folder, run, known):
    """Kill a run without a word in a step of a rule not yet known; return the rules at work."""
    began = time.time()
    seen = set()
    while run.poll() is None:
        logs = folder / "results" / STUDY / "logs"
        for log in logs.rglob("*.log"):
            try:
                begun = log.stat().st_mtime >= began - 0.01
            except OSError:  # removed between two looks
                continue
            rule = log.relative_to(logs).parts[0].removesuffix(".log")
            if rule in known | seen or not begun:
                continue
            seen.add(rule)
            session = engine_of(run)
            if session and rule in (at_work := steps_at_work(session)):
                run.kill()
                os.killpg(session, signal.SIGKILL)
                run.wait()
                return at_work
        time.sleep(0.005)
    return set()


@NEEDS_PROC
def test_a_run_killed_in_every_step_in_turn_goes_on_to_the_same_bytes(tmp_path, small_results):
    folder = new_study(tmp_path / "our study")
    rules = {path.stem for path in (small_results / "logs").iterdir()}
    killed, more = set(), []
    for _ in range(2 * len(rules)):
        run = started(folder, *more)
        at_work = killed_in_new_step(folder, run, killed)
        if killed:  # the run before this one left its lock
            assert REMOVED in said_in(folder) or more
        killed |= at_work
        assert at_work or run.returncode == 0, said_in(folder)
        if killed >= rules:
            break
        # what was over before it was seen is made once more
        left = [f"{name}_{STUDY}" if name in OF_ONE_STUDY else name for name in rules - killed]
        more = [] if at_work else ["--forcerun", *left]
    assert killed >= rules
    run = started(folder)
    assert run.wait(timeout=300) == 0, said_in(folder)
    assert_same(folder, small_results)


def test_of_two_runs_at_once_one_works_and_the_other_says_so(tmp_path, small_results):
    folder = new_study(tmp_path / "our study")
    command = [sys.executable, str(RUN), *TYPED]
    runs = [
        subprocess.Popen(
            command, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        for _ in range(2)
    ]
    said = [run.communicate(timeout=300)[0] for run in runs]
    assert sorted(run.returncode for run in runs) == [0, 1], said
    refused = next(text for run, text in zip(runs, said, strict=True) if run.returncode)
    worked = next(run for run in runs if not run.returncode)
    assert f"Another run is at work in this folder (process {worked.pid})" in refused
    assert_same(folder, small_results)


def test_the_advice_for_a_lock_of_an_engine_started_by_hand_works(tmp_path):
    folder = new_study(tmp_path / "our study")
    target = f"results/{STUDY}/validation/study.json"
    locks = folder / ".snakemake" / "locks"
    locks.mkdir(parents=True)
    (locks / "0.output.lock").write_text(f"{target}\n", encoding="utf-8")
    refused = run_felloe(*TYPED, target, cwd=folder)
    assert refused.returncode == 1
    assert "Another run is at work in this folder, or one was killed" in refused.stderr
    advice = shlex.split(refused.stderr.splitlines()[-1])
    assert advice[0] == "python3"
    unlocked = subprocess.run([sys.executable, *advice[1:]], cwd=folder, capture_output=True)
    assert unlocked.returncode == 0, unlocked.stderr
    assert run_felloe(*TYPED, target, cwd=folder).returncode == 0


@pytest.fixture
def small_disk(tmp_path):
    """A disk too small for the results; calling it makes it large."""
    place = tmp_path / "disk"
    place.mkdir()
    mount = shutil.which("mount")
    size = ["-o", "size=1m"]
    words = [mount or "", "-t", "tmpfs", *size, "none", str(place)]
    if mount is None or os.geteuid() or subprocess.run(words, capture_output=True).returncode:
        pytest.skip("no small disk can be mounted here")
    yield place, lambda: subprocess.run([mount, "-o", "remount,size=100m", str(place)], check=True)
    subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk_is_told_and_with_room_the_run_goes_on(small_disk, small_results):
    place, enlarge = small_disk
    folder = new_study(place / "our study")
    full = run_felloe(*TYPED, cwd=folder)
    assert full.returncode == 1
    assert "No space left on device" in full.stderr
    assert "Traceback" not in full.stdout + full.stderr
    enlarge()
    finished = run_felloe(*TYPED, cwd=folder)
    assert finished.returncode == 0, finished.stdout + finished.stderr
    assert_same(folder, small_results)
