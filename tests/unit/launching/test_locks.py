"""One run in a folder at a time; a lock goes with its owner, however that died."""

import json
import os
import shlex
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from felloe.launching.engine import locks
from felloe.launching.engine.locks import HOME, NOTE, REMOVED, held, is_locked, owner, unlocking
from felloe.launching.running import PREVIEWS, Engine
from felloe.launching.setup.environment import LaunchError

ROOT = Path(__file__).parents[3]
HOLDING = """
import sys, time
from pathlib import Path
sys.path.insert(0, {scripts!r})
from felloe.launching.engine.locks import held
with held(Path({folder!r}), print):
    print("held", flush=True)
    time.sleep(60)
"""


def lock(folder):
    """Leave the lock that the engine leaves (file names of Snakemake 9.27.1)."""
    place = folder / HOME / "locks"
    place.mkdir(parents=True)
    (place / "0.output.lock").write_text("out.txt\n", encoding="utf-8")


def note(folder, **changes):
    (folder / HOME / NOTE).write_text(json.dumps({**owner(), **changes}), encoding="utf-8")


def dead():
    """Return the number of a process that has ended."""
    process = subprocess.Popen([sys.executable, "-c", ""])
    process.wait()
    return process.pid


@pytest.fixture
def other(tmp_path):
    """Another launcher at work in the folder."""
    program = HOLDING.format(scripts=str(ROOT / "scripts"), folder=str(tmp_path))
    process = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, text=True)
    assert process.stdout.readline() == "held\n"
    yield process
    process.kill()
    process.wait()
    process.stdout.close()


def test_a_folder_in_which_a_run_is_at_work_is_refused_with_its_process(tmp_path, other):
    named = pytest.raises(LaunchError, match=rf"Another run .* \(process {other.pid}\)")
    with named, held(tmp_path, pytest.fail):
        pass


def test_a_lock_whose_owner_was_killed_is_removed_and_it_is_said(tmp_path, other):
    lock(tmp_path)
    os.kill(other.pid, signal.SIGKILL)
    other.wait()
    said = []
    with held(tmp_path, said.append):
        assert not is_locked(tmp_path)
    assert said == [REMOVED]


def test_a_lock_from_before_the_last_boot_is_removed(tmp_path):
    lock(tmp_path)
    note(tmp_path, process=1, boot="another")  # process 1 lives, but it is not that one
    said = []
    with held(tmp_path, said.append):
        assert not is_locked(tmp_path)
    assert said == [REMOVED]


def test_a_lock_of_another_host_stays(tmp_path):
    lock(tmp_path)
    note(tmp_path, process=dead(), host="elsewhere", boot="another")
    with held(tmp_path, pytest.fail):
        assert is_locked(tmp_path)
    assert is_locked(tmp_path)


def test_a_lock_without_a_note_stays(tmp_path):
    lock(tmp_path)
    for _ in range(2):  # nor does one that tries become its owner
        with held(tmp_path, pytest.fail):
            assert is_locked(tmp_path)
    assert is_locked(tmp_path)


def test_a_lock_that_the_engine_leaves_goes_with_the_run(tmp_path):
    def interrupted():
        lock(tmp_path)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt), held(tmp_path, pytest.fail):
        interrupted()
    assert not is_locked(tmp_path)


def test_a_run_of_several_rounds_holds_the_folder_throughout(tmp_path):
    with held(tmp_path, pytest.fail) as inherited:
        with held(tmp_path, pytest.fail) as again:
            assert again == inherited
        assert json.loads((tmp_path / HOME / NOTE).read_text())["process"] == os.getpid()


def test_a_run_that_ended_leaves_no_note(tmp_path):
    with held(tmp_path, pytest.fail):
        assert json.loads((tmp_path / HOME / NOTE).read_text())["process"] == os.getpid()
    assert (tmp_path / HOME / NOTE).read_text() == ""
    lock(tmp_path)  # of an engine that was started by hand since
    with held(tmp_path, pytest.fail):
        assert is_locked(tmp_path)


def test_an_engine_that_outlives_its_launcher_is_waited_for(tmp_path):
    # the descriptor keeps the folder; half a second after its launcher the engine ends too
    with held(tmp_path, print) as inherited:
        engine = subprocess.Popen(["sleep", "0.5"], pass_fds=inherited)
        text = (tmp_path / HOME / NOTE).read_text()
    (tmp_path / HOME / NOTE).write_text(text.replace(str(os.getpid()), str(dead())))
    with held(tmp_path, print):
        assert engine.poll() is not None
    engine.wait()


def test_a_file_system_without_locks_keeps_nobody_from_running(tmp_path, monkeypatch):
    def refuse(*_):
        raise OSError(95, "not supported")

    monkeypatch.setattr("fcntl.flock", refuse)
    lock(tmp_path)
    (tmp_path / HOME / NOTE).write_text(json.dumps({**owner(), "process": dead()}))
    with held(tmp_path, pytest.fail):  # nobody can tell whether its owner lives
        assert is_locked(tmp_path)


def test_a_folder_that_cannot_be_written_in_is_left_to_the_engine(tmp_path):
    (tmp_path / HOME).write_text("no folder")
    with held(tmp_path, pytest.fail) as inherited:
        assert inherited == ()


def test_the_advice_is_a_command_for_the_very_study(tmp_path, monkeypatch):
    folder = tmp_path / "our study"
    folder.mkdir()
    monkeypatch.chdir(folder)
    words = shlex.split(unlocking(ROOT, [str(folder / "my study.yaml")], folder))
    assert words[0] == "python3"
    assert os.path.samefile(words[1], ROOT / "scripts" / "run")
    assert words[2:] == ["--unlock", "--configfile", "my study.yaml", "--directory", "."]
    assert shlex.split(unlocking(ROOT, [], ROOT))[2:] == ["--unlock"]


def test_a_note_that_was_half_written_is_no_owner(tmp_path):
    (tmp_path / HOME).mkdir()
    (tmp_path / HOME / NOTE).write_text('{"proce')
    with held(tmp_path, pytest.fail):
        pass
    assert locks.is_of_this_system({}) is False


def test_the_advice_for_a_preview_names_the_study_and_not_the_previews_own_folder(
    tmp_path, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    folder = tmp_path / PREVIEWS
    files = [str(tmp_path / "mine.yaml"), str(folder / "preview.yaml")]
    advice = Engine(Path("python"), folder, files, {}, preview=True).unlock
    assert advice.endswith("--unlock --configfile mine.yaml --directory . --quick")
