"""A command line that cannot be meant so is told in one line, and nothing is made."""

import subprocess
import sys
from pathlib import Path

import pytest
from felloe.launching.arguments import is_answer, is_overridden, prepared, told_apart
from felloe.launching.setup.environment import LaunchError, WrongCommand

RUN = Path(__file__).parents[3] / "scripts" / "run"


@pytest.fixture
def here(tmp_path):
    (tmp_path / "s.yaml").write_text("seed: 1\n", encoding="utf-8")
    (tmp_path / "our words").mkdir()
    (tmp_path / "study").mkdir()
    (tmp_path / "study" / "study.yaml").touch()
    return tmp_path


def refusal(typed, here):
    before = sorted(here.rglob("*"))
    with pytest.raises(WrongCommand) as caught:
        prepared(typed, here)
    assert sorted(here.rglob("*")) == before
    assert caught.value.status == 2
    return str(caught.value)


@pytest.mark.parametrize(
    "typed",
    [["s.yaml"], ["-n", "s.yaml"], ["--cores", "2", "s.yaml"], ["all", "s.yaml"], ["-F", "s.yaml"]],
)
def test_a_settings_file_without_its_option_is_told_how_it_is_given(typed, here):
    told = refusal(typed, here)
    assert told == "s.yaml is a settings file: python3 scripts/run --configfile s.yaml"


def test_a_path_with_a_blank_is_quoted_in_what_is_to_be_typed(here):
    (here / "our words" / "s.yaml").touch()
    assert refusal(["our words/s.yaml"], here).endswith("--configfile 'our words/s.yaml'")


def test_a_settings_file_without_its_option_that_is_not_there_is_told_too(here):
    assert refusal(["t.yaml"], here).startswith("t.yaml looks like a settings file")


def test_a_study_folder_in_place_of_a_settings_file_is_told(here):
    assert "study is a study's folder" in refusal(["study"], here)


@pytest.mark.parametrize(
    "typed",
    [
        ["results/a/report/chart.yaml"],
        ["--report-stylesheet", "s.yaml"],
        ["--config", "a=1", "b=s.yaml"],
        ["all"],
    ],
)
def test_results_and_values_of_options_are_no_settings_files(typed, here):
    assert sorted(prepared(typed, here)[2]) == sorted(typed)


def test_a_folder_that_is_not_there_is_told_with_what_makes_it(here):
    told = refusal(["--directory", "new/one"], here)
    assert "does not exist" in told
    assert told.endswith("mkdir -p new/one")
    assert "Did you mean" not in told


@pytest.mark.parametrize("typed", [["--directory", "our word"], ["--directory=our word/"]])
def test_a_mistyped_folder_is_told_with_the_one_that_was_meant(typed, here):
    assert "Did you mean our words?" in refusal(typed, here)


def test_the_folder_that_was_meant_may_lie_elsewhere(here):
    assert "Did you mean ../x/words?" in refusal(
        ["-d", "../x/wrods"], (here / "x" / "words").mkdir(parents=True) or here / "study"
    )


@pytest.mark.parametrize("typed", [["--directory="], ["-d", ""]])
def test_no_folder_is_not_taken_for_the_root(typed, here):
    assert "needs a path" in refusal(typed, here)


def test_a_file_in_place_of_the_folder_is_told(here):
    assert "needs a folder" in refusal(["--directory", "s.yaml"], here)


@pytest.mark.parametrize("name", ["x" * 5000, "a\x1b[31m"])
def test_no_name_of_a_folder_breaks_the_telling(name, here):
    told = refusal(["--directory", name], here)
    assert len(told) < 700
    assert "\x1b" not in told


def test_a_folder_that_may_not_be_entered_is_told(here, monkeypatch):
    monkeypatch.setattr("os.access", lambda *_: False)
    with pytest.raises(LaunchError, match="may not enter") as caught:
        prepared(["--directory", "study"], here)
    assert caught.value.status == 1


@pytest.mark.parametrize(
    "typed", [["-dstudy"], ["-d", "study"], ["-d=study"], ["--directory=study"]]
)
def test_a_folder_may_be_given_in_every_way_that_the_engine_takes(typed, here):
    assert prepared(typed, here)[1] == str(here / "study")


@pytest.mark.parametrize(
    ("word", "whole"), [("--dir", "--directory"), ("--configf=s.yaml", "--configfile")]
)
def test_a_shortened_option_is_not_passed_over(word, whole, here):
    # the engine would take it, and then the project's own folder instead
    assert f"write {whole} in full" in refusal([word, "study"], here)


def test_options_that_only_begin_alike_are_let_through(here):
    typed = ["--config", "seed=2"]
    assert prepared(typed, here)[2] == typed
    assert is_overridden(typed)
    assert not is_overridden(["--configfile", "s.yaml"])


def test_settings_are_not_asked_for_by_what_needs_none():
    assert is_answer(["--help"])
    assert not is_answer(["-n"])


@pytest.mark.parametrize("typed", [["s.yaml"], ["--directory", "nowhere"]])
def test_the_command_ends_with_status_2(typed, here):
    command = [sys.executable, str(RUN), *typed]
    finished = subprocess.run(command, cwd=here, capture_output=True, text=True)
    assert (finished.returncode, finished.stdout) == (2, "")
    assert len(finished.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    "typed",
    [
        ["study", "--mine", "--cores", "2", "--configfile", "s.yaml", "-d", "our words"],
        ["--configfile", "s.yaml", "--cores", "2", "-d=our words", "--mine", "study"],
        ["--mine", "--directory", "our words", "study", "--configfile=s.yaml", "--cores", "2"],
    ],
)
def test_the_words_of_a_command_are_told_apart_in_any_order(typed, here):
    apart = told_apart(typed, {"--mine", "--other"}, "usage", here)
    assert (apart.words, apart.flags, apart.cores) == (["study"], {"--mine"}, ["--cores", "2"])
    assert apart.configfiles == [str(here / "s.yaml")]
    assert apart.directory == str(here / "our words")


def test_a_number_behind_another_word_is_no_number_of_cores(here):
    apart = told_apart(["--cores", "2", "3", "-c4", "5"], set(), "usage", here)
    assert (apart.words, apart.cores) == (["3", "5"], ["--cores", "2", "-c4"])


@pytest.mark.parametrize("typed", [["--quik"], ["study", "-n"], ["--config", "a=1"], ["s.yaml"]])
def test_what_a_command_does_not_take_is_told_with_its_usage(typed, here):
    with pytest.raises(WrongCommand) as caught:
        told_apart(typed, {"--quick"}, "usage", here)
    told = str(caught.value)
    assert told.endswith("\nusage")
    assert any(told.startswith(word) for word in typed)
