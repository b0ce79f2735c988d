"""Tables: written as declared, and read back as what was there."""

import math

import pytest
from felloe.ground.files.tables import Column, Table, guarded, read_rows, unguarded
from hypothesis import given
from hypothesis import strategies as st

TABLE = Table(
    "room/things.csv",
    "Things.",
    (
        Column("term", "id", "term"),
        Column("label", "text", "wording"),
        Column("others", "ids", "further terms"),
        Column("kept", "yes/no", "whether it stays"),
        Column("people", "count", "people", unit="participants"),
        Column("share", "share", "share of them"),
    ),
    others=Column("*", "count", "one per term"),
)
ROW = {
    "term": "salt", "label": "Salt", "others": ("brine", "sea"), "kept": True, "people": 3,
    "share": 0.1 + 0.2,
}  # fmt: skip
TEXTS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r\x00"))


def test_a_row_comes_back_as_it_was(tmp_path):
    TABLE.write(tmp_path / "t.csv", [ROW])
    assert TABLE.read(tmp_path / "t.csv") == [ROW]


def test_a_row_may_be_a_sequence_and_has_further_columns(tmp_path):
    TABLE.write(tmp_path / "t.csv", [(*ROW.values(), 7)], further=["dill"])
    assert TABLE.read(tmp_path / "t.csv") == [{**ROW, "dill": 7}]


def test_absent_values_come_back_as_absent(tmp_path):
    absent = dict.fromkeys(ROW, None) | {"term": "x", "others": ()}
    TABLE.write(tmp_path / "t.csv", [absent])
    (row,) = TABLE.read(tmp_path / "t.csv")
    assert (row["label"], row["others"], row["kept"], row["people"]) == ("", (), None, None)
    assert math.isnan(row["share"])


@pytest.mark.parametrize("odd", [{**ROW, "odd": 1}, {"term": "x"}])
def test_a_row_of_other_columns_is_refused(tmp_path, odd):
    with pytest.raises(ValueError, match="differ in columns"):
        TABLE.write(tmp_path / "t.csv", [odd])
    assert not (tmp_path / "t.csv").exists()


def test_a_sequence_of_another_length_is_refused(tmp_path):
    with pytest.raises(ValueError, match="a row of 1 cells, 6 columns"):
        TABLE.write(tmp_path / "t.csv", [("x",)])


def test_a_file_of_other_columns_is_refused(tmp_path):
    (tmp_path / "t.csv").write_text("term,label\n")
    with pytest.raises(ValueError, match="has the columns"):
        TABLE.read(tmp_path / "t.csv")


def test_a_cell_of_another_kind_is_refused(tmp_path):
    (tmp_path / "t.csv").write_text("term,label,others,kept,people,share\nx,X,,maybe,1,1\n")
    with pytest.raises(KeyError, match="maybe"):
        TABLE.read(tmp_path / "t.csv")


@pytest.mark.parametrize("text", ["=x", "'=x", "''=x", "'", "'x", "+1", "-1", "@a", "\t", "it's"])
def test_text_that_looks_like_a_formula_comes_back_as_it_was(text, tmp_path):
    TABLE.write(tmp_path / "t.csv", [{**ROW, "label": text}])
    _, rows = read_rows(tmp_path / "t.csv")
    assert not next(rows)[1].startswith(("=", "+", "-", "@", "\t"))
    assert TABLE.read(tmp_path / "t.csv")[0]["label"] == text


@given(TEXTS, TEXTS)
def test_two_texts_are_never_written_alike(one, other):
    assert unguarded(guarded(one)) == one
    assert (guarded(one) == guarded(other)) == (one == other)


def test_a_number_keeps_its_digits(tmp_path):
    TABLE.write(tmp_path / "t.csv", [ROW])
    assert "0.30000000000000004" in (tmp_path / "t.csv").read_text()


@pytest.mark.parametrize(("path", "fits"), [("m/a.both.csv", True), ("m/a.together.csv", False)])
def test_a_path_with_a_star_is_that_of_several_files(path, fits):
    assert Table("m/*.both.csv", "", ()).fits(path) == fits


@pytest.mark.parametrize("every", [1, 2, 3, 7, 20])
def test_some_rows_are_read_from_the_first_one_on(every, tmp_path):
    table = Table("t.csv", "numbers", (Column("n", "count", "a number", unit="number"),))
    table.write(tmp_path / "t.csv", [[number] for number in range(10)])
    assert [row["n"] for row in table.read(tmp_path / "t.csv", every)] == list(range(0, 10, every))
