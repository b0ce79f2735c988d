"""The invented studies of known numbers of classes, and the runs that are kept of them."""

import json

import numpy as np
import pytest
from calibration import run_numbers
from calibration.numbered_classes import (
    GENERATORS,
    LEAST_CLASS,
    LEVELS,
    NUMBERS,
    PEOPLE,
    TERMS,
    draw_study,
)
from felloe.ground.groups.agreement import adjusted_rand


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("generator", GENERATORS)
def test_a_study_has_the_classes_terms_and_people_it_says(generator, level):
    study = draw_study(np.random.default_rng(5), generator, level)
    sizes = np.bincount(study.classes)
    assert NUMBERS[0] <= study.number <= NUMBERS[1]
    assert sizes.min() >= LEAST_CLASS
    assert study.piles.shape == (PEOPLE, sizes.sum())
    assert TERMS[0] <= sizes.sum() <= TERMS[1]


@pytest.mark.parametrize("generator", GENERATORS)
def test_people_agree_with_the_truth_the_less_the_noisier_and_not_at_all_without_it(generator):
    def agreement(level):
        studies = [draw_study(np.random.default_rng(one), generator, level) for one in range(2)]
        return np.mean([adjusted_rand(piles, s.classes) for s in studies for piles in s.piles])

    clear, medium, noisy, none = map(agreement, LEVELS)
    assert clear > medium > noisy > 0.01
    assert abs(none) < 0.01


def test_a_run_that_was_cut_off_is_none_and_spoils_no_other(tmp_path):
    path = tmp_path / "runs.jsonl"
    path.write_text('\n{"study": 0}\n{"study": 1, "ro\n{"study": 2}')
    assert [run["study"] for run in run_numbers.read_runs(path)] == [0, 2]
    assert run_numbers.read_runs(tmp_path / "none.jsonl") == []


@pytest.mark.slow
def test_a_run_is_the_same_when_it_is_drawn_again():
    task = ("nested", "noisy", 3)
    once, again = run_numbers.simulate(task), run_numbers.simulate(task)
    assert json.dumps(once) == json.dumps(again)
    assert [row["n_classes"] for row in once["rows"]] == list(range(NUMBERS[0], NUMBERS[1] + 1))


@pytest.mark.slow
def test_the_rule_of_the_library_is_one_of_those_compared():
    runs = [run_numbers.simulate(("keep or split", "noisy", one)) for one in range(3)]
    same = run_numbers.RULES["raw PAC, gap by size, below_null"]
    for run in runs:
        assert same(run_numbers.completed(run["rows"])) == run_numbers.librarys(run["rows"])
