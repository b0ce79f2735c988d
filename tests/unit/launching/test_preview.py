"""A preview: few replicates, in a folder of its own, never over the results of a run."""

import os
import sys
from pathlib import Path

import pytest
from felloe.errors import StudyError
from felloe.launching import launcher, running
from felloe.launching.setup.environment import LaunchError
from felloe.settings import fed_back, read_settings, resolve
from felloe.study_places import START
from study_folder import write_folder


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_folder(tmp_path / "words")
    text = "studies: {brine: words}\ntiers: {classes: 3}\nsensitivity: {linkage: [ward, average]}\n"
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def settings(**overrides):
    return resolve({"studies": {"brine": "words"}, **overrides})


def test_without_the_word_nothing_of_a_preview_is_taken(here):
    assert settings()["bootstrap"]["replicates"] == 10000
    assert settings()["preview"] is False


def test_a_number_becomes_the_smaller_of_both(here):
    quick = {"bootstrap": {"replicates": 200}}
    few = settings(preview=True, quick=quick, bootstrap={"replicates": 150})
    many = settings(preview=True, quick=quick, bootstrap={"replicates": 5000})
    assert few["bootstrap"]["replicates"] == 150
    assert many["bootstrap"]["replicates"] == 200


@pytest.mark.parametrize(
    ("own", "kept"),
    [
        (["ward", "average", "complete"], ["average", "complete"]),
        (["complete"], ["complete"]),
        (["ward", "weighted"], ["ward"]),
    ],
)
def test_of_a_list_what_both_name_stays_or_its_first(here, own, kept):
    quick = {"sensitivity": {"linkage": ["average", "complete"]}}
    found = settings(preview=True, quick=quick, sensitivity={"linkage": own})
    assert found["sensitivity"]["linkage"] == kept


def test_settings_of_a_preview_that_are_fed_back_are_the_same(here):
    once = settings(preview=True, quick={"bootstrap": {"replicates": 2000}})
    again = resolve(fed_back(once, "brine"))
    assert {**again, "bootstrap": {**again["bootstrap"], "parts": None}} == {
        **once,
        "bootstrap": {**once["bootstrap"], "parts": None},
    }


def test_what_a_preview_would_change_is_no_part_of_a_run_that_is_none(here):
    assert "quick" not in fed_back(settings(), "brine")


def test_a_preview_is_quicker_than_the_defaults_and_changes_no_choice(here):
    usual, quick = settings(), settings(preview=True)
    assert quick["bootstrap"]["replicates"] < usual["bootstrap"]["replicates"]
    for block in ("screening", "tiers", "colours", "migration", "intake"):
        assert quick[block] == usual[block]
    assert quick["comparison"]["margins"] == usual["comparison"]["margins"]


def test_what_quick_may_name_is_checked_like_the_setting_itself(here):
    with pytest.raises(StudyError, match="Did you mean 'replicates'"):
        settings(quick={"bootstrap": {"replicate": 200}})
    with pytest.raises(StudyError, match=r"quick\.bootstrap\.replicates"):
        settings(quick={"bootstrap": {"replicates": 5}})


def engine(here, *configfiles):
    return running.Engine(Path(sys.executable), here, list(configfiles), {"PATH": "x"})


def test_a_preview_runs_elsewhere_and_reads_the_same_study(here, monkeypatch):
    found = running.previewing(engine(here, str(here / "mine.yaml")))
    assert found.folder == here / "previews"
    monkeypatch.chdir(found.folder)
    monkeypatch.setenv(START, found.variables[START])
    told = resolve(read_settings(found.configfiles))
    assert Path(told["studies"]["brine"]).resolve() == here / "words"
    assert (told["preview"], told["tiers"]["classes"]) == (True, 3)
    assert told["sensitivity"]["linkage"] == ["average"]
    assert fed_back(told, "brine")["studies"] == {"brine": "words"}  # as the settings name it


def test_a_preview_of_the_demo_finds_its_studies(here, monkeypatch):
    found = running.previewing(engine(here))
    monkeypatch.chdir(found.folder)
    monkeypatch.setenv(START, found.variables[START])
    told = resolve(read_settings(found.configfiles))
    assert all((Path(folder) / "study.yaml").is_file() for folder in told["studies"].values())


def test_a_file_in_the_place_of_the_folder_is_named(here):
    (here / "previews").touch()
    with pytest.raises(LaunchError, match="previews: "):
        running.previewing(engine(here))


def test_the_word_goes_to_the_launcher_and_not_to_the_engine(here, monkeypatch):
    called = {}

    class Asked(Exception):
        pass

    def surveyor(python, configfiles, words, folder, variables):
        called.update(configfiles=configfiles, words=words, folder=folder)
        raise Asked

    monkeypatch.setattr(running, "Surveyor", surveyor)
    monkeypatch.setattr(running, "ensured", lambda root, say: Path(sys.executable))
    typed = ["results/brine/manifest.json", "--quick", "--configfile", "mine.yaml"]
    with pytest.raises(Asked):
        launcher.main([*typed, "--directory", "."])
    assert called["folder"] == here / "previews"
    assert "--quick" not in called["words"]
    assert "results/brine/manifest.json" in called["words"]
    own, added = called["configfiles"]
    assert own == os.fspath(here / "mine.yaml")
    assert read_settings([added]) == {"preview": True}


def test_faulty_settings_stop_a_preview_and_are_named_from_here(here, monkeypatch, capfd):
    (here / "mine.yaml").write_text("sed: 1\n", encoding="utf-8")
    monkeypatch.setattr(running, "ensured", lambda root, say: Path(sys.executable))
    assert launcher.main(["--quick", "--configfile", "mine.yaml", "--directory", "."]) == 1
    said = capfd.readouterr().err
    assert said.startswith("mine.yaml")
    assert "Did you mean 'seed'?" in said
    assert not (here / "previews").exists()
