"""Where steps run: a name among our profiles, or anybody's folder with one."""

import os
import shlex
from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from felloe.launching import clusters, launcher
from felloe.launching.clusters import Cluster, cluster_for, profile_of, taken
from felloe.launching.complaints import WrongCommand
from felloe.launching.running import ROOT, Engine

SLURM = ROOT / "workflow" / "profiles" / "slurm"
ENGINE = Engine(Path("python"), Path("folder"), ["mine.yaml"], {})


@pytest.fixture
def own(tmp_path):
    """A folder with a profile that needs no plugin of its own."""
    folder = tmp_path / "our cloud"
    folder.mkdir()
    (folder / "config.yaml").write_text("executor: dryrun\n", encoding="utf-8")
    return folder


@pytest.mark.parametrize("typed", ["--cluster slurm", "--cluster=slurm"])
def test_a_name_is_that_of_our_profile_and_other_words_stay(typed, tmp_path):
    words = ["all", *shlex.split(typed), "--quick", "--cores", "2"]
    assert taken(words, tmp_path, ROOT) == (SLURM, ["all", "--quick", "--cores", "2"])
    assert taken(["all"], tmp_path, ROOT) == (None, ["all"])


def test_a_path_is_that_of_ones_own_from_where_it_was_typed(own):
    assert profile_of("our cloud", own.parent, ROOT) == own
    assert profile_of(str(own), Path("/"), ROOT) == own


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("--cluster", "takes one of slurm, or a folder"),
        ("--cluster --quick", "takes one of slurm, or a folder"),
        ("--cluster slrum", "Did you mean slurm?"),
        ("--cluster default", "no such profile"),  # which every run has
    ],
)
def test_what_is_no_profile_is_told_before_anything_is_made(typed, said, monkeypatch, capsys):
    monkeypatch.setattr(launcher, "engine_for", lambda *_: pytest.fail("went on"))
    assert launcher.main(shlex.split(typed)) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("command", ["verify", "try mine", "archive", "freeze guild"])
def test_a_command_that_takes_no_cluster_says_so(command, capsys):
    assert launcher.main(shlex.split(f"{command} --cluster slurm")) == 2
    assert "--cluster is no option of this command." in capsys.readouterr().err


def test_the_clusters_profile_goes_over_the_usual_one_and_says_how_many_jobs(own):
    at_home = ENGINE.words(["all"])
    assert at_home[-2:] == ["--cores", "all"]
    words = replace(ENGINE, cluster=Cluster(own, None)).words(["all"])
    assert words[words.index("--profile") + 1].endswith("/profiles/default")
    assert words[words.index("--workflow-profile") + 1] == str(own)
    assert "--cores" not in words


def test_programs_and_plugins_of_a_profile_are_in_reach(own):
    variables = Cluster(own, own / "plugins").variables({"PATH": "/bin", "HOME": "/h"})
    assert variables == {"PATH": f"{own}:/bin", "HOME": "/h", "PYTHONPATH": f"{own}/plugins"}


def test_what_an_engine_left_behind_is_cancelled_and_nobody_elses_jobs(tmp_path):
    folder, programs = tmp_path / "our study", tmp_path / "programs"
    for each in (folder, programs):
        each.mkdir()
    listed = [
        f"7 {folder}/.snakemake/tmp.ab/snakejob.a.1.sh",
        f"8 {folder}/mine.sh",
        f"9 {tmp_path}/.snakemake/tmp.ab/snakejob.a.1.sh",
        f"10 {folder}/.snakemake/tmp.cd/snakejob.b.2.sh",
    ]
    (programs / "list").write_text("\n".join(listed) + "\n", encoding="utf-8")
    for name, does in (("squeue", f"cat '{programs}/list'"), ("scancel", 'echo "$@" >> cancelled')):
        (programs / name).write_text(f"#!/bin/sh\n{does}\n", encoding="utf-8")
        (programs / name).chmod(0o755)
    cluster = Cluster(SLURM, None)
    cluster.cancel_left(folder, cluster.variables({"PATH": f"{programs}:{os.defpath}"}))
    assert (folder / "cancelled").read_text(encoding="utf-8").split() == ["7", "10"]


def test_a_profile_without_a_program_for_it_cancels_nothing_more(own):
    Cluster(own, None).cancel_left(own, {})


def test_without_a_lock_nothing_is_installed(own, monkeypatch):
    monkeypatch.setattr(clusters, "install", lambda *_: pytest.fail("installed"))
    assert cluster_for(own, Path("python"), ROOT, print) == Cluster(own, None)


def test_what_a_profile_needs_is_installed_once_beside_the_environments_own(own, monkeypatch):
    python, calls = own / "venv" / "bin" / "python", []
    (own / "requirements.lock").write_text("a==1 --hash=sha256:0\n", encoding="utf-8")

    def install(lock, plugins, *_):
        calls.append(lock)
        plugins.mkdir(parents=True)

    monkeypatch.setattr(clusters, "install", install)
    cluster = cluster_for(own, python, own, print)
    assert cluster_for(own, python, own, print) == cluster
    assert calls == [own / "requirements.lock"]
    assert cluster.plugins.parent == own / "venv" / "clusters"
    (own / "requirements.lock").write_text("a==2 --hash=sha256:1\n", encoding="utf-8")
    assert cluster_for(own, python, own, print).plugins != cluster.plugins


def test_a_lock_that_cannot_be_fetched_leaves_nothing_behind(own, monkeypatch):
    (own / "requirements.lock").write_text("no-such==1\n", encoding="utf-8")
    monkeypatch.setattr(clusters, "run_logged", lambda *_: False)
    with pytest.raises(clusters.LaunchError, match="our cloud failed"):
        cluster_for(own, own / "venv" / "bin" / "python", own, print)
    assert not list((own / "venv").rglob("*/*"))


def test_our_profiles_name_no_place_and_every_package_by_its_hash():
    for folder in (ROOT / clusters.PROFILES).iterdir():
        for path in folder.iterdir():
            assert "://" not in path.read_text(encoding="utf-8")
        lock = folder / clusters.LOCK
        if lock.is_file():
            text = lock.read_text(encoding="utf-8")
            assert text.count("==") == text.count("--hash=sha256:") > 0
    assert issubclass(WrongCommand, clusters.LaunchError)


def test_no_command_of_the_profile_is_made_a_path_which_a_blank_would_break():
    # the engine makes a path of every setting of a profile that is the name of a file beside it
    settings = yaml.safe_load((SLURM / "config.yaml").read_text(encoding="utf-8"))
    commands = [value for name, value in settings.items() if name.endswith("-cmd")]
    assert len(commands) == 3
    assert not [value for value in commands if (SLURM / value).exists()]
