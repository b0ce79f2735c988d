"""What is set for one study alone: taken there and nowhere else, and refused where it is wrong."""

from pathlib import Path

import pytest
from felloe.errors import StudyError
from felloe.settings import fed_back, resolve
from felloe.settings_merged import of_study

STUDIES = {"old": "old", "new": "new", "other": "other"}
COMPLETE = {"old": {"clustering": {"linkage": "complete"}, "tiers": {"classes": 4}}}


@pytest.fixture(autouse=True)
def folders(tmp_path, monkeypatch):
    for name in STUDIES:
        (tmp_path / name).mkdir()
    monkeypatch.chdir(tmp_path)


def settings(per_study=COMPLETE, **further):
    return resolve(
        {"studies": STUDIES, "editions": [["old", "new"]], "per_study": per_study, **further},
        "mine.yaml",
    )


def refusal(per_study):
    with pytest.raises(StudyError) as caught:
        settings(per_study)
    return str(caught.value)


def test_a_study_has_its_own_settings_and_the_others_those_of_all():
    found = settings()
    assert of_study(found, "old")["clustering"]["linkage"] == "complete"
    assert of_study(found, "old")["tiers"]["classes"] == 4
    assert of_study(found, "new")["clustering"] == found["clustering"]
    assert found["clustering"]["linkage"] == "average"


def test_what_is_not_named_is_inherited():
    found = settings(clustering={"tie_orders": 7})
    assert of_study(found, "old")["clustering"]["tie_orders"] == 7


def test_nothing_set_for_one_study_is_what_all_have():
    found = settings({})
    alone = {key: value for key, value in found.items() if key not in ("per_study", "crosswalks")}
    assert of_study(found, "old") == alone


def test_a_preview_lowers_what_is_set_for_one_study_too():
    own = {"old": {"clustering": {"tie_orders": 500}}}
    found = settings(own, preview=True)
    lowest = found["quick"]["clustering"]["tie_orders"]
    assert of_study(found, "old")["clustering"]["tie_orders"] == lowest


def test_a_manifest_tells_what_is_set_for_the_editions_that_it_concerns():
    found = settings()
    assert fed_back(found, "new")["per_study"] == COMPLETE
    assert "per_study" not in fed_back(found, "other")


def test_what_a_manifest_tells_is_resolved_to_the_same():
    found = settings()
    again = resolve(fed_back(found, "new"))
    assert of_study(again, "old")["clustering"] == of_study(found, "old")["clustering"]
    assert of_study(again, "new")["clustering"] == of_study(found, "new")["clustering"]


@pytest.mark.parametrize(
    ("own", "told"),
    [
        ({"others": {}}, ["'others'", "is no study", "Did you mean 'other'?"]),
        ({"old": {"wheel": {}}}, ["per_study.old", "'wheel'", "screening, clustering, tiers"]),
        (
            {"old": {"clustering": {"linkge": "complete"}}},
            ["per_study.old.clustering", "'linkge'", "Did you mean 'linkage'?"],
        ),
        ({"old": {"clustering": {"linkage": "median"}}}, ["per_study.old.clustering.linkage"]),
        ({"old": {"tiers": {"classes_range": [9, 3]}}}, ["per_study.old.tiers.classes_range"]),
        (
            {"old": {"screening": {"drop_outliers": True}}},
            ["per_study.old.screening", "never left out for disagreeing"],
        ),
        ({"old": {"clustering": None}}, ["per_study.old.clustering"]),
        ({"old": None}, ["per_study.old"]),
    ],
)
def test_what_can_not_be_meant_is_refused_with_its_place(own, told):
    message = refusal(own)
    for words in told:
        assert words in message
    assert message.count("mine.yaml") == 1  # once, and not for every study


def test_the_crosswalk_of_a_study_is_named_and_fed_back_with_it():
    Path(STUDIES["new"], "crosswalk-draft.csv").touch()
    found = settings({}, crosswalks={"new": "crosswalk-draft.csv"})
    assert fed_back(found, "new")["crosswalks"] == {"new": "crosswalk-draft.csv"}
    assert "crosswalks" not in fed_back(found, "other")
    assert of_study(found, "new")["crosswalk"] == "crosswalk-draft.csv"
    assert resolve(fed_back(found, "new"))["crosswalks"] == found["crosswalks"]


@pytest.mark.parametrize(
    ("named", "told"),
    [
        ({"others": "crosswalk-draft.csv"}, ["'others'", "Did you mean 'other'?"]),
        (
            {"new": "crosswalk-gone.csv"},
            ["crosswalks.new", "is not in the folder", "mend its name"],
        ),
        ({"new": "draft.csv"}, ["crosswalks.new", "'draft.csv'"]),
        ({"new": "../crosswalk.csv"}, ["crosswalks.new", "'../crosswalk.csv'"]),
    ],
)
def test_a_crosswalk_that_cannot_be_meant_is_refused(named, told):
    with pytest.raises(StudyError) as caught:
        settings({}, crosswalks=named)
    for words in told:
        assert words in str(caught.value)


def test_without_a_named_crosswalk_settings_are_as_they_were_frozen_before_there_was_one():
    for found in (settings({}), fed_back(settings({}), "new")):
        assert not {"crosswalk", "crosswalks"} & set(of_study(found, "new"))
