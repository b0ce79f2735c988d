"""Runs are kept one by one, and only missing ones are run."""

import json

import pytest
from calibration import run_operating
from calibration.cells import cells

CELLS = cells()[:2]


@pytest.fixture
def ran(monkeypatch):
    """Replace the simulation by a cheap one that notes what was asked of it."""
    asked = []

    class OneProcess:
        def Pool(self, processes):
            return self

        def __enter__(self):
            return self

        def __exit__(self, *error):
            pass

        def imap_unordered(self, function, tasks):
            return map(function, tasks)

    def simulate(task):
        cell, run, code = task
        asked.append((cell.name, run))
        return {"source": cell.source, "cell": cell.name, "run": run, "code": code}

    monkeypatch.setattr(run_operating, "get_context", lambda method: OneProcess())
    monkeypatch.setattr(run_operating, "simulate", simulate)
    return asked


def test_finished_runs_are_not_run_again(tmp_path, ran):
    path = tmp_path / "runs" / "kept.jsonl"
    run_operating.run_missing(run_operating.tasks(CELLS, 2), path, 1)
    run_operating.run_missing(run_operating.tasks(CELLS, 3), path, 1)
    assert sorted(ran) == sorted((cell.name, run) for cell in CELLS for run in range(3))


def test_a_line_that_was_cut_off_is_run_again_and_spoils_no_other(tmp_path, ran):
    path = tmp_path / "kept.jsonl"
    every = run_operating.tasks(CELLS, 2)
    run_operating.run_missing(every, path, 1)
    text = path.read_text(encoding="utf-8")
    path.write_text(text[:-20], encoding="utf-8")
    ran.clear()
    run_operating.run_missing(every, path, 1)
    assert ran == [(CELLS[1].name, 1)]
    assert sum(len(rows) for rows in run_operating.records_of(every, path).values()) == 4


def test_runs_of_other_code_are_run_again_and_stand_in_no_table(tmp_path, ran):
    path = tmp_path / "kept.jsonl"
    run_operating.run_missing(
        [(cell, run, "old") for cell, run, _ in run_operating.tasks(CELLS, 2)], path, 1
    )
    every = run_operating.tasks(CELLS, 2)
    assert not run_operating.records_of(every, path)
    run_operating.run_missing(every, path, 1)
    assert len(ran) == 8


def test_every_run_has_a_line_of_its_own(tmp_path, ran):
    path = tmp_path / "kept.jsonl"
    run_operating.run_missing(run_operating.tasks(CELLS, 2), path, 1)
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line]
    assert [json.loads(line)["run"] for line in lines] == [0, 0, 1, 1]
