"""How stages grow: limits, slopes, tables; nothing here asks how long anything takes."""

import csv
import sys

import numpy as np
import pytest
from benchmarks.growth import run_growth as running
from benchmarks.growth.limited_cells import FAILED, MEMORY, TIME, Cell, limited, measured_cell
from benchmarks.growth.slopes import PEOPLE, TERMS, slope, verdict
from benchmarks.growth.stages import STAGES, Stage
from benchmarks.side_by_side.invented_studies import invented

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="limits are those of POSIX")
TINY = 30, 40, 20
NAMES = [stage.name for stage in STAGES]


@pytest.mark.parametrize("stage", STAGES, ids=NAMES)
def test_every_stage_runs_on_a_tiny_study(stage):
    assert stage.prepared(invented(*TINY))() is not None


def spin():
    while True:
        pass


def eat():
    return float(np.ones(2**31).sum())  # 16 GB


def lie():
    raise ValueError("no such thing")


@pytest.mark.parametrize(
    ("work", "stopped"),
    [(spin, TIME.format(1)), (eat, MEMORY.format(4)), (lie, f"{FAILED}: no such thing")],
)
def test_what_is_over_its_limits_is_stopped_and_said(work, stopped):
    assert limited(work, seconds=1) == (None, stopped)


def test_what_is_within_its_limits_is_returned():
    assert limited(lambda: (1.5, "a")) == ((1.5, "a"), "")


@pytest.mark.parametrize("power", [0.5, 1.0, 2.0])
def test_the_slope_of_a_power_is_its_exponent(power):
    sizes = np.array([50, 100, 400, 1000])
    assert slope(sizes, 3 * (sizes / 50) ** power) == pytest.approx(power)


def test_what_is_constant_at_small_sizes_leaves_the_slope_alone():
    sizes = np.array([10, 20, 50, 100, 200])
    seconds = np.maximum(1.0, (sizes / 50.0) ** 2)  # first what does not grow
    assert slope(sizes, seconds) == pytest.approx(2.0)
    assert np.isnan(slope([10], [1.0]))


@pytest.mark.parametrize(("power", "steep"), [(1.0, False), (1.2, False), (1.5, True)])
def test_a_slope_beyond_what_is_claimed_is_said(power, steep):
    cells = [Cell("x", PEOPLE, 10, n, (n / 50) ** power, 1.0) for n in (50, 100, 200)]
    assert ("steeper than claimed" in verdict(cells, PEOPLE)) == steep


STUCK = Stage("stuck", "one", lambda study: lie if study.n_terms > 30 else (lambda: 1))
EASY = Stage("easy", "one", lambda study: lambda: 1, of_people=False)


def test_a_stage_that_stops_is_not_begun_on_larger_studies(tmp_path):
    said = []
    sizes = {TERMS: [(30, 40), (35, 40), (40, 40)], PEOPLE: [(30, 40), (30, 45)]}
    assert running.run_growth(tmp_path, said.append, sizes, (STUCK, EASY)) == 1
    with open(tmp_path / "growth.csv", encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    stuck = [row["not_measured"] for row in rows if (row["axis"], row["stage"]) == (TERMS, "stuck")]
    assert [bool(words) for words in stuck] == [False, True, True]
    assert stuck[1] == f"{FAILED}: no such thing"
    assert stuck[2].startswith("not begun")
    assert {row["stage"] for row in rows if row["axis"] == PEOPLE} == {"stuck"}
    assert {path.suffix for path in tmp_path.iterdir()} == {".csv", ".md", ".svg", ".pdf", ".png"}


def test_a_stage_over_its_limits_is_no_failure(tmp_path, monkeypatch):
    def over(stage, axis, study):
        return Cell(stage.name, axis, study.n_terms, study.n_people, stopped=TIME.format(1))

    monkeypatch.setattr(running, "measured_cell", over)
    sizes = {TERMS: [(30, 40), (35, 40)]}
    assert running.run_growth(tmp_path, lambda line: None, sizes, (EASY,)) == 0
    assert "over 1 s" in (tmp_path / "growth.md").read_text(encoding="utf-8")


def test_a_cell_knows_its_study_and_its_memory():
    cell = measured_cell(EASY, TERMS, invented(*TINY))
    assert (cell.stage, cell.axis, cell.terms, cell.people) == ("easy", TERMS, 30, 40)
    assert cell.seconds > 0
    assert cell.megabytes > 1
    assert not cell.stopped
