"""Names, decisions and colours may be spreadsheets, read and refused as sorts are."""

from datetime import datetime

import pytest
from felloe.validation.intake.study import read_study
from openpyxl import Workbook
from study_folder import LIMITS, canonical, faults_of, tables, write_folder, write_rows

NAMES = ("names", "decisions", "colours")


def put_into_a_sheet(folder, name, change=lambda page: None):
    """Replace a table of a study by a spreadsheet of the same cells, then changed."""
    book = Workbook()
    for row in tables()[f"{name}.csv"]:
        book.active.append(row)
    change(book.active)
    book.save(folder / f"{name}.xlsx")
    (folder / f"{name}.csv").unlink()


def with_sheet(folder, name, change=lambda page: None):
    put_into_a_sheet(write_folder(folder), name, change)
    return folder


def only_fault(folder):
    (fault,) = faults_of(folder)
    return fault


def test_the_same_cells_give_the_same_study(tmp_path):
    folder = write_folder(tmp_path / "study")
    before = canonical(folder, tmp_path / "from csv")
    for name in NAMES:
        put_into_a_sheet(folder, name)
    assert canonical(folder, tmp_path / "from sheets") == before


@pytest.mark.parametrize("name", NAMES)
def test_both_forms_of_a_table_are_refused(name, tmp_path):
    folder = with_sheet(tmp_path / "study", name)
    write_rows(folder / f"{name}.csv", tables()[f"{name}.csv"])
    fault = only_fault(folder)
    assert (fault.file, fault.problem) == (f"{name}.xlsx", f"stands beside {name}.csv")
    assert "one of the two" in fault.remedy


def hide_row(page):
    page.row_dimensions[2].hidden = True


def hide_column(page):
    page.column_dimensions["B"].hidden = True


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    ("change", "line", "problem"),
    [
        (lambda page: page.__setitem__("B2", "=A2"), 2, "is a formula"),
        (lambda page: page.__setitem__("B2", True), 2, "is a truth value"),
        (lambda page: page.__setitem__("B2", "#REF!"), 2, "is the error value"),
        (lambda page: page.__setitem__("B2", datetime(2026, 3, 1)), 2, "is a date"),
        (lambda page: page.merge_cells("F3:G4"), 3, "merged cells"),
        (hide_row, 2, "the row is hidden"),
        (hide_column, 0, "column 2 of the sheet is hidden"),
    ],
    ids=["formula", "truth value", "error value", "date", "merged", "hidden row", "hidden column"],
)
def test_what_sorts_may_not_hold_these_may_not_either(name, change, line, problem, tmp_path):
    faults = faults_of(with_sheet(tmp_path / "study", name, change))
    found = [fault for fault in faults if problem in fault.problem]
    assert [(fault.file, fault.line) for fault in found] == [(f"{name}.xlsx", line)]


@pytest.mark.parametrize(
    ("name", "cell", "value", "column", "problem"),
    [
        ("names", "B3", "smok", "anchor", "unknown term"),
        ("decisions", "D2", "27 March", "decided_on", "is no day"),
        ("colours", "C3", "green", "colour", "is no colour"),
    ],
)
def test_a_wrong_cell_is_told_with_its_place(name, cell, value, column, problem, tmp_path):
    fault = only_fault(
        with_sheet(tmp_path / "study", name, lambda page: page.__setitem__(cell, value))
    )
    assert (fault.file, fault.line, fault.column) == (f"{name}.xlsx", int(cell[1:]), column)
    assert fault.problem.startswith(problem)


def test_a_wrong_column_is_told_with_the_one_that_was_meant(tmp_path):
    folder = with_sheet(tmp_path / "study", "names", lambda page: page.__setitem__("C1", "nmae"))
    fault = only_fault(folder)
    assert (fault.file, fault.line, fault.value) == ("names.xlsx", 1, "nmae")
    assert "Did you mean 'name'" in fault.remedy


def test_a_folder_in_place_of_a_sheet_is_refused(tmp_path):
    folder = write_folder(tmp_path / "study", {"names.csv": None})
    (folder / "names.xlsx").mkdir()
    fault = only_fault(folder)
    assert (fault.file, fault.problem) == ("names.xlsx", "is no file")


@pytest.mark.parametrize("name", ["terms", "participants"])
def test_a_table_that_is_read_as_csv_alone_is_told_to_be_saved_so(name, tmp_path):
    folder = with_sheet(tmp_path / "study", name)
    told = [fault for fault in faults_of(folder) if fault.file == f"{name}.xlsx"]
    assert [fault.remedy for fault in told] == [f"Save its sheet as {name}.csv."]


def test_a_misspelt_sheet_is_told_with_the_name_that_was_meant(tmp_path):
    folder = with_sheet(tmp_path / "study", "names")
    (folder / "names.xlsx").rename(folder / "nams.xlsx")
    assert "Did you mean 'names.xlsx'" in only_fault(folder).remedy


def test_a_sheet_is_no_file_that_nobody_reads(tmp_path):
    folder = with_sheet(tmp_path / "study", "colours")
    notes = [note.problem for note in read_study(folder, LIMITS).findings]
    assert "this file is not read" not in notes


def test_what_people_were_sent_from_is_no_stray_file(tmp_path):
    folder = write_folder(tmp_path / "s")
    for name in ("invitations.csv", "consent.md", "consent.de.md", "consents.md"):
        (folder / name).write_text("a\n", encoding="utf-8")
    unread = [
        note.file for note in read_study(folder, LIMITS).findings if "is not read" in note.problem
    ]
    assert unread == ["consents.md"]
