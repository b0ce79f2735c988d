"""How many more people a finished study that cannot tell is told to ask."""

from dataclasses import replace

import numpy as np
import pytest
from felloe.ground.files.records import write_json
from felloe.launching.plan_study.foreseen import how_many_more
from planning_example import (
    planned_brine,
)

WAYS = {
    "only": {"makers": {"more": 14, "share": 0.83, "standard_error": 0.02}, "panel": None},
    "of_each": None,
}
ASKED = {"question": "agreement", "most": 400, "replicates": 400, "enough": 0.8}
CANNOT = {"verdict": "cannot_tell", "populations": ["makers", "panel"]}


@pytest.fixture
def dossier(tmp_path, monkeypatch):
    """Where the dossier of a finished study stands."""
    monkeypatch.chdir(tmp_path)
    return tmp_path / "results" / "brine" / "comparison" / "populations.json"


def test_a_finished_study_that_cannot_tell_says_how_many_more(dossier):
    path = dossier
    write_json(path, {**CANNOT, "plan": {**ASKED, **WAYS}})
    said = how_many_more(planned_brine())
    assert "results/brine/comparison/populations.json" in said
    assert "14 more of Makers alone" in said
    assert "shown as many terms" not in said
    assert max(map(len, said.splitlines())) <= 100
    write_json(path, {"verdict": "pool", "plan": None})
    assert how_many_more(planned_brine()) == ""
    path.unlink()
    assert how_many_more(planned_brine()) == ""


def test_of_a_study_in_parts_new_people_are_shown_as_many_terms(dossier):
    write_json(dossier, {**CANNOT, "plan": {**ASKED, **WAYS}})
    issued = replace(planned_brine(), issued={"m1": np.arange(3)})
    assert "shown as many terms as the others were" in how_many_more(issued)


@pytest.mark.parametrize(
    ("question", "said"),
    [
        ("agreement", "no number up to 400 more people"),
        ("many_named", "More people would not show equivalence"),
        ("unknown", "cannot be said"),
    ],
)
def test_where_more_people_do_not_help_it_is_said_why(dossier, question, said):
    none = {"only": {"makers": None, "panel": None}, "of_each": None}
    write_json(dossier, {**CANNOT, "plan": {**ASKED, **none, "question": question}})
    text = " ".join(how_many_more(replace(planned_brine(), issued={"m1": np.arange(3)})).split())
    assert said in text
    assert "shown as many terms" not in text


@pytest.mark.parametrize(
    "text",
    [
        "", "{", "[]", "null", "{}", '{"verdict": "cannot_tell"}',
        '{"verdict": "cannot_tell", "populations": ["makers"], "plan": {"only": {}}}',
    ],
)  # fmt: skip
def test_a_dossier_of_another_make_is_told_and_stops_nothing(dossier, text):
    dossier.parent.mkdir(parents=True)
    dossier.write_text(text, encoding="utf-8")
    said = how_many_more(planned_brine())
    assert "results/brine/comparison/populations.json" in said
    assert "Run the study again" in said


def test_a_population_that_was_renamed_since_is_told_by_its_old_name(dossier):
    write_json(dossier, {**CANNOT, "plan": {**ASKED, **WAYS}})
    renamed = replace(planned_brine(), populations={"cooks": "Cooks", "panel": "Trained panel"})
    assert "14 more of makers alone" in how_many_more(renamed)
