"""The benchmarks compare before they time; nothing here asks how long anything takes."""

import csv
from dataclasses import replace

import numpy as np
import pytest
from benchmarks.side_by_side import in_r
from benchmarks.side_by_side import run_kernels as running
from benchmarks.side_by_side.catalogue import KERNELS, SMALL
from benchmarks.side_by_side.invented_studies import SIZES, study_of
from benchmarks.side_by_side.kernel import (
    OURS,
    Disagreement,
    Kernel,
    R,
    Side,
    checked,
    floor_seconds,
    measured,
    seconds,
)
from benchmarks.side_by_side.machine import RATES
from felloe.launching import launcher
from felloe.launching.benchmark import request
from felloe.launching.setup.environment import WrongCommand

RATE = dict.fromkeys(RATES, 1e9)
ONLY_WHOLE = {"differences"}  # its plain side knows no sorts in parts, and is measured on none
EVERY = [
    pytest.param(name, size, id=f"{name}, {size}")
    for name in KERNELS
    for size in ("tiny", "tiny in parts")
    if size == "tiny" or name not in ONLY_WHOLE
]


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_all_sides_of_a_kernel_agree(name, size):
    kernel = KERNELS[name][0](study_of(size))
    assert len(kernel.sides) >= 2
    assert set(checked(kernel)) == set(kernel.sides) - {OURS}


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_a_floor_is_told_in_rates_that_are_measured(name, size):
    kernel = KERNELS[name][0](study_of(size))
    for way in kernel.floor:
        assert set(way) <= set(RATES)
        assert min(way.values()) >= 0
    assert floor_seconds(kernel.floor, RATE) > 0


def spoiled(result):
    """Return a result that is another in one place."""
    if isinstance(result, tuple):
        return (spoiled(result[0]), *result[1:])
    wrong = np.array(result, dtype=float)
    wrong[(0,) * wrong.ndim] += 1.0
    return wrong


@pytest.mark.parametrize("name", KERNELS)
def test_a_plain_side_that_is_wrong_in_one_place_is_found(name):
    kernel = KERNELS[name][0](study_of("tiny"))
    for other, side in kernel.sides.items():
        if other != OURS:
            wrong = replace(side, work=lambda n, right=side.work: spoiled(right(n)))
            with pytest.raises(Disagreement, match=kernel.name):
                checked(replace(kernel, sides={OURS: kernel.sides[OURS], other: wrong}))


def counts_to(ours, plain):
    """Return a kernel whose sides count to the numbers given."""
    return Kernel(
        name="counting to ten",
        size="ten",
        unit="number",
        sides={OURS: Side(lambda n: ours, 1), "a loop": Side(lambda n: plain, 1)},
        apart=lambda one, other: abs(one - other),
        tolerance=0.0,
        checked=1,
        floor=[{"passes": 10.0}, {"gathers": 5.0}],
        counted="numbers",
    )


@pytest.fixture
def rates(monkeypatch):
    monkeypatch.setattr(running, "measured_rates", lambda: RATE)


@pytest.mark.parametrize("plain", [11.0, float("nan")])
def test_a_disagreement_is_said_and_ends_with_another_status(tmp_path, rates, plain):
    said = []
    right, wrong = lambda study: counts_to(10.0, 10.0), lambda study: counts_to(10.0, plain)
    wanted = {"right": (right, ("tiny",)), "wrong": (wrong, ("tiny",))}
    assert running.run_kernels(wanted, tmp_path, said.append) == 1
    assert any(line.startswith("WRONG") and "a loop differs" in line for line in said)
    with open(tmp_path / "kernels.csv", encoding="utf-8", newline="") as stream:
        assert [row["side"] for row in csv.DictReader(stream)] == [OURS, "a loop"]


def test_what_agrees_ends_with_tables_and_a_figure(tmp_path, rates):
    wanted = {"right": (lambda study: counts_to(10.0, 10.0), ("tiny",))}
    assert running.run_kernels(wanted, tmp_path, lambda line: None) == 0
    assert {path.name for path in tmp_path.iterdir()} == {
        f"kernels.{ending}" for ending in ("csv", "md", "svg", "pdf", "png")
    }
    assert "counting to ten, ten" in (tmp_path / "kernels.md").read_text(encoding="utf-8")


def test_the_cheapest_way_is_the_floor():
    found = measured(counts_to(1.0, 1.0), {"passes": 10.0, "gathers": 1.0}, repeats=1)
    assert found.floor == 1.0  # ten passes in a second, or five gathers in five
    assert floor_seconds([{"passes": 10.0, "gathers": 5.0}], {"passes": 10.0, "gathers": 1.0}) == 6


@pytest.mark.parametrize("name", ["bootstrap", "linkage", "labels"])
def test_the_side_in_r_is_there_where_r_is(name, monkeypatch):
    for found in (None, "/usr/bin/Rscript"):
        monkeypatch.setattr(in_r.shutil, "which", lambda program, found=found: found)
        assert (R in KERNELS[name][0](study_of("tiny")).sides) == bool(found)


def test_without_r_it_is_said_by_name(tmp_path, rates, monkeypatch):
    monkeypatch.setattr(running.shutil, "which", lambda program: None)
    said = []
    running.run_kernels({}, tmp_path, said.append)
    assert any("Rscript is not installed" in line for line in said)


def test_a_side_with_a_clock_of_its_own_is_timed_by_it():
    spent = iter([0.0, 6.0])
    side = Side(lambda n: None, 3, lambda: next(spent))
    assert seconds(side, repeats=1) == 2.0


def test_a_side_with_a_tolerance_of_its_own_is_held_to_it():
    kernel = counts_to(10.0, 10.5)
    loose = replace(kernel.sides["a loop"], tolerance=1.0)
    assert checked(replace(kernel, sides={**kernel.sides, "a loop": loose})) == {"a loop": 0.5}


def test_every_size_is_known_and_the_small_one_is_measured_everywhere():
    for _, sizes in KERNELS.values():
        assert set(sizes) <= set(SIZES)
        assert SMALL in sizes


def test_names_and_folder_are_told_apart(tmp_path):
    assert request(["counting", "ties"], tmp_path, tmp_path) == (["counting", "ties"], tmp_path)
    below = tmp_path / "below"
    below.mkdir()
    assert request(["--directory", "below"], tmp_path, tmp_path) == ([], below)


@pytest.mark.parametrize("typed", [["--quick"], ["--configfile", "mine.yaml"]])
def test_settings_and_options_are_refused(tmp_path, typed):
    (tmp_path / "mine.yaml").write_text("seed: 1\n", encoding="utf-8")
    with pytest.raises(WrongCommand, match="benchmark"):
        request(typed, tmp_path, tmp_path)


def test_a_name_that_is_none_is_named(tmp_path, capfd):
    assert launcher.main(["benchmark", "countin", "--directory", str(tmp_path)]) == 2
    assert "Did you mean counting?" in capfd.readouterr().out
    assert not list(tmp_path.iterdir())
