"""What may stand after `archive`, and what a folder without people has made anew."""

import json

import pytest
from felloe.launching.archive import request
from felloe.launching.setup.environment import LaunchError, WrongCommand
from felloe.launching.withheld import MARKER, plan_of, words


@pytest.fixture
def here(tmp_path):
    (tmp_path / "s.yaml").write_text("seed: 1\n", encoding="utf-8")
    (tmp_path / "guild").mkdir()
    (tmp_path / "guild" / "study.yaml").touch()
    return tmp_path


@pytest.mark.parametrize(
    "typed",
    [
        [],
        ["guild"],
        ["guild", "--with-people", "--without-people"],
        ["guild", "other", "--with-people"],
        ["--with-people", "s.yaml"],
        ["--with-people", "-n"],
        ["--with-people", "--configfile", "lost.yaml"],
        ["--with-people", "--directory"],
    ],
)
def test_a_command_that_cannot_be_meant_is_refused(typed, here):
    with pytest.raises(WrongCommand) as caught:
        request(typed, here, here)
    assert caught.value.status == 2
    assert len(str(caught.value).splitlines()) <= 2


@pytest.mark.parametrize(
    ("option", "people"), [("--with-people", True), ("--without-people", False)]
)
def test_study_settings_and_folder_are_understood(option, people, here, monkeypatch):
    monkeypatch.chdir(here)
    typed = ["guild", option, "--configfile", "s.yaml", "--directory", "."]
    asked, folder = request(typed, here / "project", here)
    assert folder == here
    assert asked["study"] == "guild"  # though a study's folder of that name lies here
    assert asked["people"] is people
    assert asked["configfiles"] == [str(here / "s.yaml")]
    assert asked["shown"] == ["--configfile", "s.yaml", "--directory", "."]


def test_without_a_study_all_are_meant(here):
    asked, folder = request(["--with-people"], here / "project", here)
    assert (asked["study"], folder) == (None, here / "project")


@pytest.mark.parametrize(
    "behind",
    [
        ["--configfile", "s.yaml", "t.yaml"],
        ["-d", "guild"],
        ["--cores", "2"],
        ["--cores", "all"],
        ["-j2"],
        ["--cores=2"],
    ],
)
def test_a_study_is_found_behind_options(behind, here):
    (here / "t.yaml").touch()
    asked, _ = request(["--with-people", *behind, "guild"], here, here)
    assert asked["study"] == "guild"
    assert request([*behind, "--with-people"], here, here)[0]["study"] is None


def test_a_folder_with_people_is_as_ever(tmp_path):
    assert plan_of(tmp_path) is None


def test_only_what_can_be_made_anew_is_asked_for(tmp_path):
    plan = {"rules": ["cluster_terms"], "targets": ["results/a/x.csv"]}
    (tmp_path / MARKER).write_text(json.dumps(plan), encoding="utf-8")
    asked = words(plan_of(tmp_path), ["--cores", "1"])
    assert asked[:3] == ["results/a/x.csv", "--cores", "1"]
    after = asked[asked.index("--allowed-rules") + 1 :]
    assert after[:2] == ["cluster_terms", "cluster_terms_a"]  # the rule of one study too
    assert words(plan, ["results/a/y.csv"])[0] == "results/a/y.csv"


@pytest.mark.parametrize("text", ["", "[]", "{", '{"rules": 1, "targets": []}'])
def test_a_marker_that_was_changed_is_told(text, tmp_path):
    (tmp_path / MARKER).write_text(text, encoding="utf-8")
    with pytest.raises(LaunchError, match=MARKER):
        plan_of(tmp_path)
