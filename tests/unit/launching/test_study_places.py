"""Studies are found from any folder, and the settings that a manifest holds can be fed back."""

import os

import pytest
import yaml
from felloe import study_places
from felloe.errors import Fault, StudyError
from felloe.settings import fed_back, resolve
from felloe.study_places import PROJECT, as_typed, joined_studies
from study_folder import write_folder


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_folder(tmp_path / "data" / "small")
    (tmp_path / "tries" / "ward").mkdir(parents=True)
    return tmp_path


def test_the_demo_is_found_from_any_folder(here):
    studies = resolve({})["studies"]
    for name, place in studies.items():
        assert os.path.samefile(place, PROJECT / "demo_data" / name)


@pytest.mark.parametrize("study", ["brine-2016", "brine-2026"])
def test_the_settings_of_the_demo_can_be_fed_back(here, study):
    kept = fed_back(resolve({}), study)
    again = resolve(yaml.safe_load(yaml.safe_dump(kept)))
    assert again == resolve({})
    assert kept["studies"] == {name: f"demo_data/{name}" for name in ("brine-2016", "brine-2026")}
    assert fed_back(again, study) == kept


def test_a_study_of_ones_own_is_named_as_it_was(here):
    settings = resolve({"studies": {"small": "data/small"}, "seed": 4})
    kept = fed_back(settings, "small")
    assert kept["studies"] == {"small": "data/small"}
    assert kept["seed"] == 4
    assert "parts" not in kept["bootstrap"]
    assert fed_back(resolve(kept), "small") == kept


def test_an_absolute_folder_is_named_from_where_one_works(here):
    settings = resolve({"studies": {"small": str(here / "data" / "small")}})
    assert fed_back(settings, "small")["studies"] == {"small": "data/small"}


def test_a_run_elsewhere_reads_the_same_studies_and_names_them_alike(here, monkeypatch):
    kept = fed_back(resolve({"studies": {"small": "data/small"}}), "small")
    monkeypatch.chdir(here / "tries" / "ward")
    monkeypatch.setenv(study_places.START, "../..")
    elsewhere = resolve({"studies": {"small": "data/small"}})
    assert os.path.samefile(elsewhere["studies"]["small"], here / "data" / "small")
    assert fed_back(elsewhere, "small") == kept


def test_a_folder_of_ones_own_with_the_demos_name_is_ones_own(here):
    write_folder(here / "demo_data" / "brine-2016")
    own = resolve({"studies": {"brine-2016": "demo_data/brine-2016"}})
    assert os.path.samefile(own["studies"]["brine-2016"], here / "demo_data" / "brine-2016")


def test_pairs_join_studies_over_others():
    pairs = [["a", "b"], ["b", "c"], ["x", "y"]]
    assert joined_studies("c", pairs) == ["a", "b", "c"]
    assert joined_studies("y", pairs) == ["x", "y"]
    assert joined_studies("z", pairs) == ["z"]


def test_a_message_of_a_run_elsewhere_names_files_as_the_settings_do(here, monkeypatch):
    monkeypatch.setenv(study_places.START, "..")
    elsewhere = here / "previews"
    (elsewhere / "results/mine/logs").mkdir(parents=True)
    (here / "mine").mkdir()
    monkeypatch.chdir(elsewhere)
    found = StudyError([Fault("../mine/terms.csv", 2, problem="x")], "results/mine/logs/faults.csv")
    assert found.told(as_typed).splitlines() == [
        "mine/terms.csv, line 2: x.",
        "It is listed in previews/results/mine/logs/faults.csv",
    ]
    assert StudyError("no file is named").told(as_typed) == "no file is named"
    assert as_typed("the settings") == "the settings"


def test_a_message_of_a_run_in_its_own_folder_names_files_as_they_are(here):
    assert as_typed("mine/terms.csv") == "mine/terms.csv"
