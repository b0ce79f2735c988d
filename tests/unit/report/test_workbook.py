"""The workbook, opened with a general spreadsheet library."""

import openpyxl
import pytest
from felloe.circle.tables import DIMENSIONS
from felloe.comparison.provisional_words import PROVISIONAL
from felloe.ground.files.tables import Column, write_square
from felloe.ground.many_terms import Limit
from felloe.report.hand_off import workbook
from felloe.report.hand_off.workbook import as_cell, sheet_names, write_workbook
from felloe.validation.tables import EXCLUSIONS, FLOW, SORTS


@pytest.fixture
def study(tmp_path):
    """Return a study's results folder with a few tables."""
    import numpy as np

    rows = [
        {"population": "007", "stage": "received", "n": 12},
        {"population": "makers", "stage": "=1+1", "n": 3},
    ]
    FLOW.write(
        tmp_path / "validation" / "flow.csv",
        [{"lost": 0, **row} for row in rows],
    )
    write_square(tmp_path / "matrices" / "pooled.both.csv", ("apple", "beet"), np.eye(2, dtype=int))
    return tmp_path


def opened(study, *, provisional=False, **how):
    paths = sorted(study.rglob("*.csv"))
    marks = [PROVISIONAL] if provisional else []
    write_workbook(study / "tables.xlsx", paths, study, "brine", 3, marks)
    return openpyxl.load_workbook(study / "tables.xlsx", **how)


def test_every_table_has_a_sheet_after_the_one_that_explains(study):
    assert opened(study).sheetnames == ["columns", "matrices.pooled.both", "validation.flow"]


def test_a_sheet_holds_the_numbers_of_its_table(study):
    rows = list(opened(study)["matrices.pooled.both"].iter_rows(values_only=True))
    assert rows == [("term", "apple", "beet"), ("apple", 1, 0), ("beet", 0, 1)]


def test_text_that_looks_like_a_formula_stays_text(study):
    cell = opened(study)["validation.flow"]["B3"]
    assert (cell.value, cell.data_type) == ("=1+1", "s")


def test_an_identifier_of_digits_keeps_its_zeros(study):
    assert opened(study)["validation.flow"]["A2"].value == "007"


def test_the_first_sheet_explains_every_column_of_the_tables(study):
    rows = list(opened(study)["columns"].iter_rows(values_only=True))[1:]
    named = {(row[1], row[2]) for row in rows}
    expected = {("validation/flow.csv", name) for name in FLOW.names}
    expected |= {("validation/flow.csv", None)}  # what is done with small cells
    expected |= {("matrices/pooled.both.csv", "term"), ("matrices/pooled.both.csv", "(others)")}
    assert named == expected
    assert all(row[4] for row in rows)


def test_what_has_to_be_said_first_stands_above_the_columns(study):
    marks = ["PREVIEW: not for use."]
    write_workbook(study / "t.xlsx", sorted(study.rglob("*.csv")), study, "brine", 3, marks)
    book = openpyxl.load_workbook(study / "t.xlsx")
    assert book["columns"]["A2"].value == marks[0]
    assert book.properties.title == f"Tables of the study brine. {marks[0]}"
    assert opened(study).properties.title == "Tables of the study brine"


def test_cells_of_a_few_people_are_not_in_the_workbook(study):
    FLOW.write(
        study / "validation" / "flow.csv",
        [("panel", "received", 13, 0), ("panel", "valid", 13, 0), ("panel", "analysed", 12, 1)],
    )
    EXCLUSIONS.write(
        study / "validation" / "exclusions.csv", [("panel", "analysed", ("all_apart",), 1)]
    )
    book = opened(study)
    numbers = {
        cell
        for name in ("validation.flow", "validation.exclusions")
        for row in book[name].iter_rows(values_only=True)
        for cell in row
        if isinstance(cell, int | float)
    }
    assert numbers == {12}
    assert book["validation.exclusions"]["C2"].value == "joined"


def test_the_same_tables_give_the_same_bytes(study):
    opened(study)
    first = (study / "tables.xlsx").read_bytes()
    opened(study)
    assert (study / "tables.xlsx").read_bytes() == first


@pytest.fixture
def charted(study):
    """Return the study with a table of its chart."""
    DIMENSIONS.write(study / "circle" / "dimensions.csv", [{"dimensions": 2, "stress_1": 0.1}] * 3)
    return study


def test_a_provisional_chart_is_marked_before_the_explanations_and_in_every_row_of_its_sheets(
    charted,
):
    book = opened(charted, provisional=True)
    first = list(book["columns"].iter_rows(values_only=True))
    assert first[0][:3] == ("sheet", "file", "column")
    assert first[1][0] == PROVISIONAL
    explained = [row for row in first if row[2] == "provisional"]
    assert [row[1] for row in explained] == ["circle/dimensions.csv"]
    rows = list(book["circle.dimensions"].iter_rows(values_only=True))
    assert [row[-1] for row in rows] == ["provisional", "yes", "yes", "yes"]
    assert book["circle.dimensions"].oddHeader.left.text == PROVISIONAL
    assert PROVISIONAL in book.properties.title


def test_tables_that_the_chart_has_no_part_in_carry_no_mark(charted):
    book = opened(charted, provisional=True)
    rows = list(book["validation.flow"].iter_rows(values_only=True))
    assert "provisional" not in rows[0]


def test_a_settled_chart_carries_no_mark(charted):
    book = opened(charted)
    cells = {value for sheet in book for row in sheet.iter_rows(values_only=True) for value in row}
    assert not {"provisional", PROVISIONAL} & cells


def test_a_provisional_workbook_has_the_same_bytes_each_time(charted):
    opened(charted, provisional=True)
    first = (charted / "tables.xlsx").read_bytes()
    opened(charted, provisional=True)
    assert (charted / "tables.xlsx").read_bytes() == first


def test_names_of_sheets_are_short_and_unique():
    names = [f"matrices/{'long' * 9}{ending}.both.csv" for ending in "abcdefghijkl"]
    given = sheet_names(names)
    assert len({name.lower() for name in given.values()}) == len(names)
    assert max(map(len, given.values())) <= 31  # the limit of the file format


def test_what_single_people_did_is_named_but_not_passed_on(study):
    SORTS.write(study / "validation/sorts.csv", [["p1", "beet", 1, None]])
    book = opened(study)
    assert "validation.sorts" not in book.sheetnames
    last = list(book["columns"].iter_rows(values_only=True))[-1]
    assert last[1] == "validation/sorts.csv"
    assert "left out" in last[4]


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("12", 12.0),
        ("-0.5", -0.5),
        ("1e-07", 1e-7),
        ("007", "007"),
        ("nan", "nan"),
        ("1_000", "1_000"),
        ("'=1+1", "=1+1"),
        ("'-3", -3.0),
        ("", ""),
    ],
)
def test_a_cell_is_a_number_only_if_our_tables_write_numbers_so(text, cell):
    assert as_cell(text, Column("n", "number", "a number")) == cell


def test_a_table_that_no_stage_declares_is_refused(study):
    (study / "validation" / "unheard.csv").write_text("term\nbeet\n", encoding="utf-8")
    with pytest.raises(KeyError, match=r"validation/unheard\.csv"):
        opened(study)


def test_a_table_of_too_many_cells_is_named_and_left_out(study, monkeypatch):
    for most, there in ((6, True), (5, False)):
        limit = Limit("sheets", most, "cells", "named")
        monkeypatch.setattr(workbook, "WORKBOOK_CELLS", limit)
        book = opened(study)
        assert ("matrices.pooled.both" in book.sheetnames) is there
        told = [row for row in book["columns"].iter_rows(values_only=True) if "6 cells" in row[4]]
        assert [row[1] for row in told] == ([] if there else ["matrices/pooled.both.csv"])
