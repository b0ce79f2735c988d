"""Spreadsheets and wording that mean harm: nothing is run, all is named, results are safe."""

import csv
import zipfile
from datetime import datetime

import pytest
from felloe.errors import StudyError
from felloe.settings import resolve
from felloe.validation.canonical import write_faults
from felloe.validation.intake import bounds
from felloe.validation.intake.raw import spreadsheet
from felloe.validation.intake.study import read_study
from felloe.validation.tables import TERMS
from openpyxl import Workbook
from openpyxl.worksheet.formula import ArrayFormula
from study_folder import LIMITS, canonical, faults_of, long_rows, tables, write_folder, write_rows

SHEET = "xl/worksheets/sheet1.xml"
RUN_BY_SPREADSHEETS = ("=", "+", "-", "@", "\t", "\r")


@pytest.fixture
def sheet(tmp_path):
    """Return a function that puts the sorts into a spreadsheet, changed, and returns its faults."""

    def made(change, book_change=None):
        folder = write_folder(tmp_path / "study")
        (folder / "sorts.csv").unlink()
        book = Workbook()
        for row in long_rows():
            book.active.append([int(text) if text.isdigit() else text for text in row])
        change(book.active)
        if book_change:
            book_change(book)
        book.save(folder / "sorts.xlsx")
        return folder

    return made


def only_fault(folder):
    (fault,) = faults_of(folder)
    return fault


def set_cell(place, value):
    return lambda sheet: sheet.__setitem__(place, value)


def set_text(place, text):
    def change(sheet):
        sheet[place] = text
        sheet[place].data_type = "s"  # text, though it looks like a formula

    return change


def test_the_spreadsheet_without_changes_has_no_fault(sheet):
    assert faults_of(sheet(lambda _: None)) == ()


CELLS = {
    "a formula": (set_cell("C5", "=1+1"), 5, "pile", "=1+1", "is a formula"),
    "a formula over a block": (
        set_cell("C5", ArrayFormula("C5:C5", "=SUM(A1:A2)")),
        *(5, "pile", "=SUM(A1:A2)", "is a formula"),
    ),
    "a formula in a position": (set_cell("D5", "=ROW()"), 5, "position", "=ROW()", "is a formula"),
    "a link as a formula": (
        set_cell("B5", '=HYPERLINK("http://example.org","dill")'),
        *(5, "term", "=HYPERLINK", "is a formula"),
    ),
    "a formula in the header": (set_cell("D1", "=A1"), 1, "", "=A1", "is a formula"),
    "text that looks like a formula": (set_text("C5", "=1+1"), 5, "pile", "=1+1", "is no pile"),
    "a number with an exponent for a name": (
        set_cell("B5", 1e5),
        *(5, "term", "100000", "the spreadsheet holds a number there"),
    ),
    "a fraction for a pile": (set_cell("C5", 1.5), 5, "pile", "1.5", "no whole number"),
    "a date for a name": (
        set_cell("B5", datetime(2026, 3, 1)),
        5,
        "term",
        "2026-03-01",
        "is a date",
    ),
    "a date for a pile": (
        set_cell("C5", datetime(2026, 3, 1)),
        5,
        "pile",
        "2026-03-01",
        "is a date",
    ),
    "a truth value": (set_cell("C5", True), 5, "pile", "True", "is a truth value"),
    "an error value": (set_cell("C5", "#N/A"), 5, "pile", "#N/A", "is the error value"),
    "markup": (set_cell("C5", "<script>x</script>"), 5, "pile", "<script>", "is no pile"),
    "a command": (set_text("C5", "@SUM(1)"), 5, "pile", "@SUM(1)", "is no pile"),
}


@pytest.mark.parametrize("case", CELLS)
def test_a_spreadsheet_is_refused_for(case, sheet):
    change, line, column, value, problem = CELLS[case]
    faults = faults_of(sheet(change))
    found = [fault for fault in faults if problem in fault.problem]
    assert [(fault.file, fault.line, fault.column) for fault in found] == [
        ("sorts.xlsx", line, column)
    ]
    assert found[0].value.startswith(value)


def test_merged_cells_are_refused(sheet):
    fault = only_fault(sheet(lambda page: page.merge_cells("F3:G4")))
    assert (fault.line, fault.value, fault.problem) == (3, "F3:G4", "merged cells")


def test_a_hidden_row_is_refused(sheet):
    def hide(page):
        page.row_dimensions[7].hidden = True

    fault = only_fault(sheet(hide))
    assert (fault.line, fault.problem) == (7, "the row is hidden")


def test_a_hidden_column_is_refused(sheet):
    def hide(page):
        page.column_dimensions["D"].hidden = True

    assert only_fault(sheet(hide)).problem == "column 4 of the sheet is hidden"


def test_unused_rows_and_columns_may_be_hidden(sheet):
    def hide(page):
        page.row_dimensions[80].hidden = True
        page.column_dimensions["H"].hidden = True

    assert faults_of(sheet(hide)) == ()


def test_a_hidden_first_sheet_is_refused(sheet):
    def hide(book):
        book.create_sheet("shown")
        book.worksheets[0].sheet_state = "hidden"
        book.active = 1

    assert only_fault(sheet(lambda _: None, hide)).problem == "the first sheet is hidden"


def test_further_sheets_are_noted(sheet):
    folder = sheet(lambda _: None, lambda book: book.create_sheet("notes"))
    notes = [note.problem for note in read_study(folder, LIMITS).findings]
    assert "only the first of 2 sheets was read" in notes


def edited(folder, name, old, new):
    """Replace bytes of one part of the spreadsheet's archive."""
    path = folder / "sorts.xlsx"
    with zipfile.ZipFile(path) as archive:
        parts = {part: archive.read(part) for part in archive.namelist()}
    assert old in parts[name]
    parts[name] = parts[name].replace(old, new, 1)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for part, data in parts.items():
            archive.writestr(part, data)
    return folder


def test_a_cell_of_a_megabyte_is_refused_and_shortened_on_the_screen(sheet):
    folder = sheet(set_cell("B5", "marker"))
    edited(folder, SHEET, b"marker", b"x" * 1_000_000)
    faults = faults_of(folder)
    assert "is longer than 64 characters" in faults[0].problem
    assert len(str(faults[0])) < 300


def test_an_entity_that_names_a_file_is_not_followed(sheet, tmp_path):
    (tmp_path / "secret").write_text("garlic", encoding="utf-8")
    folder = sheet(set_cell("B5", "marker"))
    edited(folder, SHEET, b"marker", b"&secret;")
    declared = f'<!DOCTYPE worksheet [<!ENTITY secret SYSTEM "file://{tmp_path}/secret">]><worksheet'.encode()
    edited(folder, SHEET, b"<worksheet", declared)
    assert "can't be opened as a spreadsheet" in only_fault(folder).problem


def test_entities_that_grow_without_end_are_refused(sheet):
    folder = sheet(set_cell("B5", "marker"))
    edited(folder, SHEET, b"marker", b"&a9;")
    lines = "".join(f'<!ENTITY a{i} "{f"&a{i - 1};" * 10}">' for i in range(1, 10))
    declared = f'<!DOCTYPE worksheet [<!ENTITY a0 "{"x" * 10}">{lines}]><worksheet'.encode()
    edited(folder, SHEET, b"<worksheet", declared)
    assert "can't be opened as a spreadsheet" in only_fault(folder).problem


def test_a_spreadsheet_that_unpacks_to_too_much_is_refused_unread(sheet, monkeypatch):
    monkeypatch.setattr(bounds, "LARGEST_FILE", 10_000)
    monkeypatch.setattr(spreadsheet, "opened", None)
    problem = only_fault(sheet(lambda _: None)).problem
    assert problem.startswith("unpacks to")
    assert problem.endswith("the most is 1 MB")


@pytest.mark.parametrize(
    "data", [b"", b"PK\x03\x04", b"participant,term\n", b"\xd0\xcf\x11\xe0" * 99]
)
def test_a_file_that_is_no_spreadsheet_is_refused(data, sheet):
    folder = sheet(lambda _: None)
    (folder / "sorts.xlsx").write_bytes(data)
    assert "can't be opened as a spreadsheet" in only_fault(folder).problem


def test_a_spreadsheet_cut_off_in_the_middle_is_refused(sheet):
    folder = sheet(lambda _: None)
    data = (folder / "sorts.xlsx").read_bytes()
    (folder / "sorts.xlsx").write_bytes(data[: len(data) // 2])
    assert "can't be opened as a spreadsheet" in only_fault(folder).problem


def test_an_empty_sheet_is_refused(sheet):
    folder = sheet(lambda page: page.delete_rows(1, 100))
    assert only_fault(folder).problem == "the first sheet is empty"


HOSTILE = ("=1+1", "+1", "-1", "@SUM(A1)", "<script>alert(1)</script>", "=cmd|' /C calc'!A0")


@pytest.fixture
def hostile_labels(tmp_path):
    rows = tables()["terms.csv"]
    for row, label in zip(rows[1:], HOSTILE, strict=True):
        row[1] = label
    return write_folder(tmp_path / "study", {"terms.csv": rows})


def test_hostile_labels_are_warned_of_one_by_one(hostile_labels):
    warnings = [n for n in read_study(hostile_labels, LIMITS).findings if n.severity == "warning"]
    assert sorted(warning.line for warning in warnings) == [2, 3, 4, 5, 6, 7]


def test_no_cell_of_the_canonical_tables_is_run_by_a_spreadsheet(hostile_labels, tmp_path):
    canonical(hostile_labels, tmp_path / "out")
    for path in sorted((tmp_path / "out").glob("*.csv")):
        with open(path, encoding="utf-8", newline="") as stream:
            cells = [cell for row in csv.reader(stream) for cell in row]
        assert not [cell for cell in cells if cell.startswith(RUN_BY_SPREADSHEETS)], path.name


def test_hostile_labels_reach_later_steps_as_they_were_written(hostile_labels, tmp_path):
    canonical(hostile_labels, tmp_path / "out")
    labels = [row["label"] for row in TERMS.read(tmp_path / "out" / "terms.csv")]
    assert labels == list(HOSTILE)


def test_no_cell_of_the_list_of_faults_is_run_by_a_spreadsheet(tmp_path):
    rows = [[*row[:2], f"=CMD({n})", row[3]] for n, row in enumerate(long_rows())]
    rows[0] = long_rows()[0]
    write_faults(tmp_path / "f.csv", faults_of(write_folder(tmp_path / "s", {"sorts.csv": rows})))
    with open(tmp_path / "f.csv", encoding="utf-8", newline="") as stream:
        values = [row["value"] for row in csv.DictReader(stream)]
    assert values
    assert not [value for value in values if value.startswith(RUN_BY_SPREADSHEETS)]


@pytest.mark.parametrize("name", ["../outside", "/etc", "a/b", "..", "a b", ""])
def test_a_study_name_can_not_leave_the_results_folder(name):
    with pytest.raises(StudyError):
        resolve({"studies": {name: "."}})


@pytest.mark.parametrize("name", ["../outside", "/etc/passwd", "a/b", "..", "con\x00"])
@pytest.mark.parametrize(
    ("file", "column"),
    [
        ("participants.csv", "population"),
        ("participants.csv", "participant"),
        ("terms.csv", "term"),
    ],
)
def test_an_identifier_can_not_be_a_path(name, file, column, tmp_path):
    rows = tables()[file]
    rows[2][rows[0].index(column)] = name
    folder = write_folder(tmp_path / "study")
    write_rows(folder / file, rows)
    assert any(fault.file == file for fault in faults_of(folder))


def test_a_link_in_a_study_folder_is_read_like_a_file(tmp_path):
    folder = write_folder(tmp_path / "study")
    (folder / "names.csv").rename(tmp_path / "elsewhere.csv")
    (folder / "names.csv").symlink_to(tmp_path / "elsewhere.csv")
    assert faults_of(folder) == ()


def test_a_folder_in_place_of_a_file_is_refused(tmp_path):
    folder = write_folder(tmp_path / "study", {"names.csv": None})
    (folder / "names.csv").mkdir()
    assert only_fault(folder).problem == "is no file"
