"""What is too large is refused by its size, before anything is unpacked or built from it."""

import zipfile

import pytest
from felloe.validation.intake import bounds
from felloe.validation.intake.raw import csv_reader, spreadsheet
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.raw.spreadsheet import read_xlsx
from openpyxl import Workbook
from study_folder import LIMITS, faults_of, long_rows, write_folder

SHEET = "xl/worksheets/sheet1.xml"
COLUMNS = ("participant", "term", "pile")
END = b"</sheetData>"


@pytest.fixture
def text(tmp_path):
    """Return a function that reads bytes as `sorts.csv`."""

    def read(data):
        (tmp_path / "sorts.csv").write_bytes(data)
        return read_csv(tmp_path / "sorts.csv", "sorts.csv", COLUMNS)

    return read


@pytest.fixture
def sheet(tmp_path):
    """Return a function that reads a spreadsheet of sorts with some of its parts changed."""
    book = Workbook()
    for row in long_rows():
        book.active.append(row)
    book.save(tmp_path / "whole.xlsx")
    with zipfile.ZipFile(tmp_path / "whole.xlsx") as archive:
        whole = {part: archive.read(part) for part in archive.namelist()}

    def read(parts, old=None, new=b""):
        changed = {**whole, **parts}
        if old is not None:
            assert old in whole[SHEET]
            changed[SHEET] = whole[SHEET].replace(old, new, 1)
        with zipfile.ZipFile(tmp_path / "sorts.xlsx", "w", zipfile.ZIP_DEFLATED) as archive:
            for part, data in changed.items():
                archive.writestr(part, data)
        return read_xlsx(tmp_path / "sorts.xlsx", "sorts.xlsx")

    return read


def only_fault(table):
    (fault,) = table.faults
    assert table.partial
    assert len(table) == 0
    return fault


def header(columns):
    return ",".join([*COLUMNS, *(f"c{at}" for at in range(columns - len(COLUMNS)))]).encode()


def test_a_table_of_100_000_columns_is_refused_with_the_most_there_may_be(text):
    fault = only_fault(text(header(100_000) + b"\n"))
    assert fault.problem == "has 100,000 columns, the most is 2,000"
    assert "Delete" in fault.remedy


def test_as_many_columns_as_are_allowed_are_read(text):
    table = text(header(bounds.MOST_COLUMNS) + b"\n" + b",".join([b"x"] * bounds.MOST_COLUMNS))
    assert (table.faults, len(table)) == ([], 1)


def test_empty_columns_that_a_spreadsheet_left_at_the_end_do_not_count(text):
    table = text(header(3) + b"," * 5000 + b"\np0,brine,1" + b"," * 5000 + b"\n")
    assert (table.faults, list(table.columns)) == ([], list(COLUMNS))


def test_every_study_that_the_settings_allow_is_narrow_enough():
    # the wide layout has a column for each term, one for the participant
    assert LIMITS.maximum_terms + 1 < bounds.MOST_COLUMNS


def test_a_row_of_a_million_cells_is_one_fault(text):
    (fault,) = text(header(3) + b"\np0,brine,1" + b"," * 1_000_000 + b"x\n").faults
    assert (fault.line, fault.value) == (2, "x")
    assert "1000003 cells" in fault.problem


def test_a_first_line_that_is_no_header_is_refused(text):
    fault = only_fault(text(b"\xef\xbb\xbf" + b"x" * (bounds.LARGEST_HEADER + 5)))
    assert fault.problem == "the first line has more than 1 MB"


def test_long_files_of_short_lines_are_read(text):
    assert text(header(3) + b"\n" + b"p0,brine,1\n" * 100_000).faults == []


def test_a_cell_of_ten_million_letters_is_told_by_its_length(tmp_path):
    folder = write_folder(tmp_path / "study")
    rows = (folder / "sorts.csv").read_bytes().replace(b"p0,crisp", b"p0," + b"x" * 10_000_000)
    (folder / "sorts.csv").write_bytes(rows)
    told = [str(fault) for fault in faults_of(folder)]
    assert any("line 3" in line and "longer than 64" in line for line in told)
    assert max(map(len, told)) < 400


def test_a_quotation_mark_left_open_over_a_whole_file_is_told_with_its_line(text):
    (fault,) = text(header(3) + b'\np0,"brine,1\n' + b"p0,dill,1\n" * 100_000).faults
    assert fault.line == 2
    assert "quotation marks" in fault.remedy


def test_a_file_that_is_too_large_is_not_read(text, monkeypatch):
    monkeypatch.setattr(bounds, "LARGEST_FILE", 10)
    monkeypatch.setattr(csv_reader, "check_text", None)
    fault = only_fault(text(header(3) + b"\np0,brine,1\n"))
    assert fault.problem == "has 1 MB, the most is 1 MB"


def test_the_sheet_without_changes_has_no_fault(sheet):
    assert sheet({}).faults == []


def unread(monkeypatch):
    monkeypatch.setattr(spreadsheet, "opened", None)  # it would be called, and fail


@pytest.mark.parametrize(
    ("part", "size", "problem"),
    [
        (SHEET, (257 << 20) - 100_000, "unpacks to 257 MB, the most is 256 MB"),
        (SHEET, 20 << 20, "unpacks to more than 200 times its size"),
        ("xl/sharedStrings.xml", 33 << 20, "xl/sharedStrings.xml unpacks to 33 MB, the most is 32"),
        ("xl/styles.xml", 9 << 20, "xl/styles.xml unpacks to 9 MB, the most is 8 MB"),
        ("xl/media/picture.png", 20 << 20, "unpacks to more than 200 times its size"),
    ],
)
def test_a_part_that_unpacks_to_too_much_is_refused_unread(part, size, problem, sheet, monkeypatch):
    unread(monkeypatch)
    assert problem in only_fault(sheet({part: b" " * size})).problem


def test_a_great_many_parts_are_refused_unread(sheet, monkeypatch):
    unread(monkeypatch)
    fault = only_fault(sheet({f"xl/worksheets/{at}.xml": b"" for at in range(1001)}))
    assert fault.problem.endswith("parts, the most is 1,000")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("part", ["xl/workbook.xml", "xl/sharedStrings.xml", "_rels/.rels"])
def test_declared_entities_are_refused_in_every_part(part, encoding, sheet, monkeypatch):
    unread(monkeypatch)
    declared = " " * (bounds.WINDOW - 3) + '<!DOCTYPE w [<!ENTITY a "aaaa">]><w>&a;</w>'
    monkeypatch.setattr(bounds, "LARGEST_RATIO", 10_000)
    problem = only_fault(sheet({part: declared.encode(encoding)})).problem
    assert problem == f"can't be opened as a spreadsheet: its part {part} declares entities"


def test_a_row_far_below_is_not_reached_by_counting_blank_ones(sheet, monkeypatch):
    monkeypatch.setattr(bounds, "MOST_ROWS", 1000)
    far = b'<row r="99999999999"><c r="A99999999999"><v>1</v></c></row>'
    assert "more than 1,000 rows" in only_fault(sheet({}, END, far + END)).problem


def test_cells_far_to_the_right_are_not_reached_by_filling_up(sheet, monkeypatch):
    monkeypatch.setattr(bounds, "MOST_CELLS", 100_000)
    far = b"".join(b'<row r="%d"><c r="XFD%d"/></row>' % (at, at) for at in range(60, 80))
    assert "more than 100,000 cells" in only_fault(sheet({}, END, far + END)).problem


def test_a_header_far_to_the_right_is_too_wide(sheet):
    assert (
        "16,384 columns"
        in only_fault(
            sheet(
                {}, b'<row r="1">', b'<row r="1"><c r="XFD1" t="str"><v>x</v></c></row><row r="2">'
            )
        ).problem
    )
