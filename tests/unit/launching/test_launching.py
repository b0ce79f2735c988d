"""The launcher sorts what was typed and cuts Snakemake's output to one screen."""

import ast
import os
import runpy
import sys
from pathlib import Path

import pytest
from felloe.launching.arguments import cores_given, is_showing, prepared
from felloe.launching.environment import (
    LaunchError,
    ensured,
    environment_variables,
    fingerprint,
    is_current,
)
from felloe.launching.launcher import hinted
from felloe.launching.progress import Watcher, message_of

ROOT = Path(__file__).parents[3]


@pytest.fixture
def here(tmp_path):
    (tmp_path / "my study.yaml").write_text("seed: 1\n", encoding="utf-8")
    return tmp_path


def test_paths_are_relative_to_where_they_were_typed(here):
    configfiles, directory, rest = prepared(
        ["--configfile", "my study.yaml", "--directory", "out", "--cores", "8"], here
    )
    assert configfiles == [str(here / "my study.yaml")]
    assert directory == str(here / "out")
    assert rest == ["--cores", "8"]


def test_a_target_after_a_settings_file_is_not_taken_for_one(here):
    target = "results/a/manifest.json"
    configfiles, _, rest = prepared(["--configfile", "my study.yaml", target, "-n"], here)
    assert configfiles == [str(here / "my study.yaml")]
    assert rest == [target, "-n"]


def test_the_equals_sign_may_be_used(here):
    configfiles, directory, _ = prepared(["--configfile=my study.yaml", "--directory=x"], here)
    assert (configfiles, directory) == ([str(here / "my study.yaml")], str(here / "x"))


def test_a_settings_file_that_is_not_there_is_named(here):
    with pytest.raises(LaunchError, match=r"other\.yaml: this settings file does not exist"):
        prepared(["--configfile", "other.yaml"], here)


def test_an_option_without_its_path_is_named(here):
    with pytest.raises(LaunchError, match="--directory needs a path"):
        prepared(["--directory"], here)


@pytest.mark.parametrize("typed", [["-c1"], ["-c", "2"], ["--cores=4"], ["-j3"], ["--jobs", "2"]])
def test_given_cores_are_noticed(typed):
    assert cores_given(typed)


def test_cores_are_not_taken_from_other_options():
    assert not cores_given(["-n", "--forcerun", "cluster_terms", "--configfile"])


@pytest.mark.parametrize("typed", [["-n"], ["--lint"], ["--summary"], ["--help"]])
def test_what_only_shows_is_shown_as_it_comes(typed):
    assert is_showing(typed)


# Lines as Snakemake 9.27.1 prints them (read off a run of a two-rule example).
OUTPUT = """\
Building DAG of jobs...
[Wed Nov 25 15:02:26 2026]
localrule a:
    input: in.txt
    log: logs/a.log
    jobid: 2
    reason: Missing output files: out/a-x.txt
    wildcards: study=brine
    resources: tmpdir=/tmp
[Wed Nov 25 15:02:27 2026]
Finished jobid: 2 (Rule: a)
1 of 3 steps (33%) done
[Wed Nov 25 15:02:27 2026]
localrule b:
    log: logs/b.log
    jobid: 1
    wildcards: study=brine
RuleException:
CalledProcessError in file "Snakefile", line 12:
Command 'set -euo pipefail;  python b.py' returned non-zero exit status 1.
[Wed Nov 25 15:02:27 2026]
Error in rule b:
    message: None
    jobid: 1
    log: logs/b.log (check log file(s) for error details)
Shutting down, this might take some time.
WorkflowError:
At least one job did not complete successfully.
"""


def watched(tmp_path, capsys, log):
    (tmp_path / "logs").mkdir()
    (tmp_path / "logs" / "b.log").write_text(log, encoding="utf-8")
    watcher = Watcher(tmp_path, terminal=False)
    for line in OUTPUT.splitlines(keepends=True):
        watcher.line(line)
    return watcher, capsys.readouterr().out


def test_progress_names_the_step_and_the_study(tmp_path, capsys):
    _, printed = watched(tmp_path, capsys, "x")
    assert printed == "[1/3] a brine\n"


def test_a_failure_is_the_rule_its_message_and_its_log(tmp_path, capsys):
    watcher, _ = watched(tmp_path, capsys, "sorts.csv, line 3: mend it\n")
    assert watcher.explanation() == "b failed:\nsorts.csv, line 3: mend it\nLog: logs/b.log"


def test_a_traceback_in_a_log_stays_there(tmp_path, capsys):
    watcher, _ = watched(
        tmp_path, capsys, "Traceback (most recent call last):\n  ...\n\nb: ValueError: odd\n"
    )
    assert watcher.explanation() == "b failed:\nb: ValueError: odd\nLog: logs/b.log"


def test_a_failure_fits_one_screen(tmp_path, capsys):
    watcher, _ = watched(tmp_path, capsys, "\n".join(f"fault {n}" for n in range(400)))
    assert len(watcher.explanation().splitlines()) <= 60


def test_a_step_that_was_ended_without_a_word_is_said_to_be(tmp_path):
    assert "ended before" in message_of(tmp_path / "none.log")[0]


def test_a_locked_folder_is_explained():
    assert "--unlock" in hinted("Error: Directory cannot be locked.")


def test_the_environment_is_current_only_if_it_was_finished_from_this_lock(tmp_path):
    python, stamp = tmp_path / "python", tmp_path / "made-from"
    python.touch()
    assert not is_current(stamp, "x", python)
    stamp.write_text("y\n", encoding="utf-8")
    assert not is_current(stamp, "x", python)
    stamp.write_text("x\n", encoding="utf-8")
    assert is_current(stamp, "x", python)


def test_the_environment_depends_on_the_lock(tmp_path):
    lock = tmp_path / "requirements.lock"
    lock.write_text("a==1\n", encoding="utf-8")
    first = fingerprint(tmp_path)
    lock.write_text("a==2\n", encoding="utf-8")
    assert fingerprint(tmp_path) != first


def test_an_environment_that_cannot_be_filled_is_said_in_words_and_not_taken_for_whole(
    tmp_path, monkeypatch
):
    (tmp_path / "requirements.lock").write_text("no-such-thing @ nowhere://x\n", encoding="utf-8")
    said = []
    with pytest.raises(LaunchError, match="Installing the packages failed"):
        ensured(tmp_path, said.append)
    assert not (tmp_path / ".venv" / "made-from").exists()
    assert "takes about a minute" in said[0]


def test_a_variable_of_the_users_python_does_not_leak_in(monkeypatch):
    monkeypatch.setenv("PYTHONPATH", "somewhere")
    monkeypatch.delenv("HOME", raising=False)
    variables = environment_variables(ROOT)
    assert "PYTHONPATH" not in variables
    assert variables["HOME"]
    assert variables["OMP_NUM_THREADS"] == "1"


def test_the_command_can_be_read_by_a_python_that_is_too_old():
    ast.parse((ROOT / "scripts" / "run").read_text(encoding="utf-8"), feature_version=(3, 4))


def test_a_python_that_is_too_old_is_told_so(monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", (3, 9, 2))
    with pytest.raises(SystemExit) as stopped:
        runpy.run_path(str(ROOT / "scripts" / "run"), run_name="__main__")
    assert stopped.value.code == 1
    assert "needs Python 3.11 or newer; this is Python 3.9" in capsys.readouterr().err


def test_the_lock_names_no_host_and_hashes_everything():
    text = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert "://" not in text
    pinned = [line for line in text.splitlines() if line and line[0].isalnum()]
    assert len(pinned) > 20
    blocks = text.split("\n" + pinned[1].split("==")[0])[0]
    assert "--hash=sha256:" in blocks
    assert all("==" in line for line in pinned)
    assert text.count("--hash=sha256:") >= len(pinned)
    assert os.path.isfile(ROOT / "requirements.in")
