"""The launcher sorts what was typed and makes the environment."""

import ast
import os
import runpy
import sys
from pathlib import Path

import pytest
from felloe.launching import launcher, running
from felloe.launching.arguments import cores_given, is_showing, prepared
from felloe.launching.setup.environment import LaunchError, environment_variables

ROOT = Path(__file__).parents[3]


@pytest.fixture
def here(tmp_path):
    (tmp_path / "my study.yaml").write_text("seed: 1\n", encoding="utf-8")
    (tmp_path / "out").mkdir()
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
    configfiles, directory, _ = prepared(["--configfile=my study.yaml", "--directory=out"], here)
    assert (configfiles, directory) == ([str(here / "my study.yaml")], str(here / "out"))


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


def test_faulty_settings_are_told_before_the_engine_is_started(here, monkeypatch, capfd):
    (here / "mine.yaml").write_text("clusterign: {linkage: ward}\n", encoding="utf-8")
    monkeypatch.chdir(here)
    monkeypatch.setattr(running, "ensured", lambda root, say: Path(sys.executable))
    status = launcher.main(["--configfile", "mine.yaml", "--directory", "."])
    assert status == 1
    captured = capfd.readouterr()
    assert "mine.yaml" in captured.err
    assert "did you mean 'clustering'" in captured.err.lower()
    assert captured.out == ""


def test_a_variable_of_the_users_python_does_not_leak_in(monkeypatch):
    for name in ("PYTHONPATH", "PYTHONHOME", "PYTHONINSPECT", "MATPLOTLIBRC"):
        monkeypatch.setenv(name, "somewhere")
    monkeypatch.delenv("HOME", raising=False)
    variables = environment_variables(ROOT)
    assert "somewhere" not in variables.values()
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
