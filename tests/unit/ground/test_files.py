"""Every file format survives a round trip, and no file is ever half there."""

import csv
import math
import os
import stat

import numpy as np
import pytest
from felloe.ground.files.records import read_json, write_json
from felloe.ground.files.tables import Column, Table, read_square, write_square
from felloe.ground.files.writing import open_atomic, write_bytes, write_text
from tables_as_text import read_texts

LABELS = Table("t.csv", "Labels.", (Column("label", "text", "label"),))
NUMBERS = Table("t.csv", "Numbers.", (Column("x", "number", "number"),))
EVERYTHING = Table(
    "t.csv",
    "A column of each kind.",
    (
        Column("text", "text", "words"),
        Column("share", "share", "share"),
        Column("yes", "yes/no", "whether"),
        Column("n", "count", "how many"),
    ),
)
FORMULAS = ["=1+1", "+1", "-cmd", "@SUM(A1)", "\tx"]


def test_a_table_survives_a_round_trip(tmp_path):
    rows = [["a", 0.1 + 0.2, True, None], ['he said "x", twice\nand left', math.nan, False, 7]]
    EVERYTHING.write(tmp_path / "t.csv", rows)
    first, second = EVERYTHING.read(tmp_path / "t.csv")
    assert first["share"] == 0.1 + 0.2
    assert (first["yes"], first["n"]) == (True, None)
    assert second["text"] == 'he said "x", twice\nand left'
    assert math.isnan(second["share"])
    assert b"\r" not in (tmp_path / "t.csv").read_bytes()


@pytest.mark.parametrize("text", FORMULAS)
def test_text_that_a_spreadsheet_would_run_is_written_as_text(tmp_path, text):
    LABELS.write(tmp_path / "t.csv", [[text]])
    with open(tmp_path / "t.csv", encoding="utf-8", newline="") as stream:
        written = list(csv.reader(stream))[1][0]
    assert written.startswith("'")
    assert LABELS.read(tmp_path / "t.csv") == [{"label": text}]


def test_carriage_returns_within_a_cell_become_line_feeds(tmp_path):
    LABELS.write(tmp_path / "t.csv", [["a\r\nb\rc"]])
    assert LABELS.read(tmp_path / "t.csv") == [{"label": "a\nb\nc"}]


def test_negative_numbers_stay_numbers(tmp_path):
    NUMBERS.write(tmp_path / "t.csv", [[-0.5], [-3]])
    assert [row["x"] for row in read_texts(tmp_path / "t.csv")] == ["-0.5", "-3"]


@pytest.mark.parametrize("kind", [int, float])
def test_a_square_matrix_survives_a_round_trip(tmp_path, kind):
    matrix = (np.random.default_rng(1).random((4, 4)) * 9).astype(kind)
    write_square(tmp_path / "m.csv", ("a", "b", "c", "d"), matrix)
    terms, read = read_square(tmp_path / "m.csv")
    assert terms == ("a", "b", "c", "d")
    assert read.dtype.kind == np.dtype(kind).kind
    assert (read == matrix).all()


def test_a_record_survives_a_round_trip_and_nan_is_absent(tmp_path):
    record = {
        "r": np.float64(0.1),
        "n": np.int64(3),
        "yes": np.bool_(True),
        "none": math.nan,
        "rows": np.eye(2),
    }
    write_json(tmp_path / "r.json", record)
    assert read_json(tmp_path / "r.json") == {
        "r": 0.1,
        "n": 3,
        "yes": True,
        "none": None,
        "rows": [[1.0, 0.0], [0.0, 1.0]],
    }


def test_a_file_that_fails_half_way_is_not_there_and_the_old_one_is(tmp_path):
    write_text(tmp_path / "t.txt", "old")

    def write_and_fail():
        with open_atomic(tmp_path / "t.txt") as stream:
            stream.write("new")
            raise RuntimeError("interrupted")

    with pytest.raises(RuntimeError):
        write_and_fail()
    assert (tmp_path / "t.txt").read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["t.txt"]


@pytest.mark.parametrize(("umask", "mode"), [(0o022, 0o644), (0o077, 0o600), (0o002, 0o664)])
def test_who_may_read_a_file_is_up_to_the_umask(tmp_path, umask, mode):
    before = os.umask(umask)
    try:
        write_text(tmp_path / "t.txt", "one")
        write_bytes(tmp_path / "t.bin", b"one")
    finally:
        os.umask(before)
    modes = {stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()}
    assert modes == {mode}


def test_what_a_killed_attempt_left_goes_with_the_next_one(tmp_path):
    with open_atomic(tmp_path / "t.txt"):
        (left,) = tmp_path.iterdir()
        copy = left.read_bytes()
    left.write_bytes(copy + b"half")
    other = tmp_path / left.name.replace("t.txt", "other.txt")
    other.write_text("of another file", encoding="utf-8")
    write_text(tmp_path / "t.txt", "whole")
    assert {path.name for path in tmp_path.iterdir()} == {"t.txt", other.name}
