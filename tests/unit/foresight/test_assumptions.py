"""What a plan rests on, and what cannot be assumed."""

import copy
from pathlib import Path

import numpy as np
import pytest
from felloe.errors import StudyError
from felloe.foresight.assumptions import even_truth
from felloe.foresight.reading import assumed_for
from felloe.ground.files.records import write_json
from felloe.ground.people.sorts import Sorts
from felloe.ground.terms import Terms
from felloe.settings import resolve
from felloe.tiers.tables import DATA_ONLY
from felloe.validation.analysed import write_analysed
from planning_example import (
    SETTINGS,
    STREAMS,
    changed,
)


def test_what_is_left_open_comes_from_the_tiers():
    assert assumed_for(SETTINGS, 99, STREAMS).truth.numbers == (9, 27)  # middles: 9, 25
    assert assumed_for(changed(classes=4, subclasses_per_class=2), 20, STREAMS).truth.numbers == (
        4,
        8,
    )


@pytest.mark.parametrize(
    ("assumptions", "key", "cure"),
    [
        ({"classes": 10, "subclasses_per_class": 3}, "design.assumptions", "smaller numbers"),
        ({"people": [20], "smaller_population": 0.1}, "assumptions.people", "Name more people"),
    ],
)
def test_what_cannot_be_assumed_of_these_terms_is_refused(assumptions, key, cure):
    with pytest.raises(StudyError) as error:
        assumed_for(changed(**assumptions), 24, STREAMS)
    assert key in str(error.value)
    assert cure in str(error.value)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("classes", 1), ("subclasses_per_class", 0), ("astray", 1.0), ("astray", -0.1),
        ("coarse", 1.5), ("smaller_population", 0.6), ("smaller_population", 0),
        ("people", []), ("people", [4]), ("people", [3000]), ("terms_per_person", [2]),
        ("carelessness", 0.3),
    ],
)  # fmt: skip
def test_bad_assumptions_are_refused_with_their_key(key, value):
    with pytest.raises(StudyError) as error:
        resolve({"design": {"assumptions": {key: value}}}, "mine.yaml")
    assert key in str(error.value)
    assert "mine.yaml" in str(error.value)


def test_a_pilot_that_is_not_there_is_named_with_a_cure():
    settings = copy.deepcopy(SETTINGS)
    settings["design"]["pilot"] = "nowhere"
    with pytest.raises(StudyError, match=r"design\.pilot: 'nowhere'.*write null"):
        assumed_for(settings, 40, STREAMS)


def test_groups_of_a_plan_are_those_of_the_pilot(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    truth = even_truth(20, 4, 2)
    terms = [f"t{n:02}" for n in range(20)]
    piles = np.tile(truth.subclasses, (8, 1))
    names = tuple(f"p{n}" for n in range(8))
    write_analysed("old/validation/analysed.csv", Sorts(names, ("a",) * 8, Terms(terms), piles))
    write_json("old/validation/study.json", {})
    blank = dict.fromkeys(DATA_ONLY.names, "")
    DATA_ONLY.write(
        "old/tiers/data_only.csv",
        [
            {**blank, "term": term, "class": terms[first], "subclass": terms[own]}
            for term, first, own in zip(
                terms,
                (truth.classes * 5).tolist(),
                [int(np.flatnonzero(truth.subclasses == one)[0]) for one in truth.subclasses],
            )
        ],
    )
    settings = copy.deepcopy(SETTINGS)
    settings["design"]["pilot"] = "old"
    assumed = assumed_for(settings, 40, STREAMS)
    assert assumed.truth.numbers == (4, 8)
    assert np.bincount(assumed.truth.classes).tolist() == [10, 10, 10, 10]
    assert assumed.habits.coarse == 0.0
    assert assumed.habits.astray < 0.01  # everybody sorted alike
    with pytest.raises(StudyError, match=r"design\.pilot"):
        assumed_for(settings, 7, STREAMS)
    write_analysed("old/validation/analysed.csv", Sorts(names[:3], "aaa", Terms(terms), piles[:3]))
    with pytest.raises(StudyError, match="3 people; how far people agree takes 4"):
        assumed_for(settings, 40, STREAMS)
    write_analysed("old/validation/analysed.csv", Sorts(names, ("a",) * 8, Terms(terms), piles))
    for name in ("tiers/data_only.csv", "validation/analysed.csv", "validation/study.json"):
        whole = Path("old", name).read_text(encoding="utf-8")
        for part in ("", whole[: len(whole) // 2], "[]"):
            Path("old", name).write_text(part, encoding="utf-8")
            with pytest.raises(StudyError, match=r"design\.pilot: .*Run the pilot again"):
                assumed_for(settings, 40, STREAMS)
        Path("old", name).write_text(whole, encoding="utf-8")
