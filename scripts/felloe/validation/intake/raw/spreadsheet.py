"""Somebody else's spreadsheet (XLSX): the first sheet as text, with everything hostile named."""

import re
import warnings
import zipfile
from collections.abc import Callable, Collection, Iterator, Sized
from datetime import date, datetime, time
from pathlib import Path
from typing import Any, TypeVar

from felloe.errors import Fault
from felloe.validation.intake.bounds import TooLarge, bounded_rows, check_archive, check_width
from felloe.validation.intake.raw.characters import cleaned
from felloe.validation.intake.raw.raw_table import RawTable, TableBuilder

LISTED = 20  # hidden rows and merged blocks named one by one
HIDDEN = re.compile(rb"""<(?:\w+:)?(row|col)\b[^>]*\bhidden=["'](?:1|true)["'][^>]*>""")
MERGED = re.compile(rb"""<(?:\w+:)?mergeCell\b[^>]*\bref=["']([A-Z0-9:]+)["']""")
PLACE = re.compile(rb"""\b(?:r|min)=["'](\d+)["']""")
WINDOW = 1 << 20  # bytes of the sheet scanned at a time
OVERLAP = 4096
T = TypeVar("T")


def read_xlsx(path: str | Path, file: str) -> RawTable:
    """
    Read the first sheet.

    Parameters
    ----------
    path : str or Path
    file : str
        Its name in messages.

    Returns
    -------
    RawTable
        Lines are the sheet's rows. Formulas, dates, truth values and error values in cells,
        merged cells, hidden rows and hidden columns are faults.
    """
    remedy = "Save it anew as .xlsx without a password, or as CSV in UTF-8."
    found = read_from(Path(path), file, lambda book: opened(book, Path(path), file), remedy)
    return RawTable(file, faults=[found], partial=True) if isinstance(found, Fault) else found


def read_from(path: Path, file: str, read: Callable[[Any], T], remedy: str) -> T | Fault:
    """
    Return what is read from a workbook, or why it can't be read.

    Parameters
    ----------
    path : Path
    file : str
        Its name in messages.
    read : callable
        Takes the opened workbook, which is closed afterwards.
    remedy : str
        For a file that is no workbook, or a broken one.
    """
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of decorations that are not read anyway
        try:
            check_archive(path)
            workbook = load_workbook(path, read_only=True, data_only=False, keep_links=False)
            try:
                return read(workbook)
            finally:
                workbook.close()
        except TooLarge as error:
            problem, remedy = error.args
        # the reader's own errors are of a dozen kinds: any of them means an unreadable file
        except Exception:
            problem = "can't be opened as a spreadsheet"
    return Fault(file, problem=problem, remedy=remedy)


def opened(workbook: Any, path: Path, file: str) -> RawTable:
    """Return the table of a spreadsheet that can be opened."""
    sheet = workbook.worksheets[0]
    sheet.reset_dimensions()
    table = table_of(sheet, file)
    if sheet.sheet_state != "visible":
        remedy = "Show it, or make the sheet with the table the first one."
        table.fault(0, "", sheet.title, "the first sheet is hidden", remedy)
    if len(workbook.sheetnames) > 1:
        table.note(0, "", f"only the first of {len(workbook.sheetnames)} sheets was read")
    report_layout(path, sheet, table)
    return table


def table_of(sheet: Any, file: str, dates: Collection[str] = ()) -> RawTable:
    """Return the cells of a sheet as a table of text; columns of `dates` may hold days."""
    rows = bounded_rows(sheet.iter_rows())
    faults: list[Fault] = []
    numbers: dict[str, set[int]] = {}
    header: list[str] = []
    line = 0
    for line, row in enumerate(rows, 1):
        header = [cleaned(text_of(cell, line, "", file, faults, numbers)) for cell in row]
        if any(header):
            break
    if not any(header):
        remedy = "Write the header and the rows."
        return RawTable(
            file, faults=[Fault(file, problem="the first sheet is empty", remedy=remedy)]
        )
    check_width(header)
    builder = TableBuilder(file, header, line)
    builder.table.faults.extend(faults)
    width = len(builder.names)
    texts, lines = [], []
    for line, row in enumerate(rows, builder.table.header_line + 1):
        names = [*builder.names, *[""] * len(row)]
        cells = [
            (day_of(cell) if name in dates else "")
            or text_of(cell, line, name, file, builder.table.faults, numbers)
            for cell, name in zip(row, names, strict=False)
        ]
        texts.append(cells + [""] * (width - len(cells)))
        lines.append(line)
    builder.add(texts, lines)
    table = builder.finished(numbers)
    table.told.update((fault.line, fault.column) for fault in table.faults if fault.column)
    table.note(0, "", f"{len(table)} row(s) under the header of the sheet '{sheet.title}'")
    if not len(table) and not table.faults:
        table.fault(0, "", "", "has a header and no rows", "Add the rows.")
    return table


def day_of(cell: Any) -> str:
    """Return the day that a cell holds as a date, or an empty text."""
    value = cell.value
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else ""
    return value.isoformat() if isinstance(value, date) else ""


def text_of(
    cell: Any, line: int, name: str, file: str, faults: list[Fault], numbers: dict[str, set[int]]
) -> str:
    """Return a cell's text; what is no text or number is reported."""
    value, kind = cell.value, getattr(cell, "data_type", "n")
    if value is None:
        return ""
    refused = None
    if kind == "f":
        refused = "is a formula", "Copy the column and paste it as values."
    elif kind == "e":
        refused = "is the error value of a formula", "Write what belongs there."
    elif kind == "b" or isinstance(value, bool):
        refused = "is a truth value", "Format the column as text and type the cell anew."
    elif kind == "d" or getattr(cell, "is_date", False):
        refused = "is a date", "Format the column as text and type the cell anew."
    if refused:
        shown = str(getattr(value, "text", value))
        faults.append(Fault(file, line, name, shown, *refused))
        return ""
    if isinstance(value, (int, float)):
        numbers.setdefault(name, set()).add(line)
    return plain_text(value)


def plain_text(value: Any) -> str:
    """Return a text or number as it is read: whole numbers without decimals."""
    if isinstance(value, (int, float)):
        whole = isinstance(value, int) or value.is_integer()
        return str(int(value)) if whole and abs(value) < 1e15 else repr(float(value))
    return str(value)


def pairs(sheet: Any, most: int) -> Iterator[tuple[str, str]]:
    """Yield what the first rows of a sheet say, by what stands before it."""
    for row in sheet.iter_rows(max_row=most, max_col=2, values_only=True):
        if len(row) > 1 and row[0] is not None and row[1] is not None:
            yield cleaned(plain_text(row[0])), cleaned(plain_text(row[1]))


def report_layout(path: Path, sheet: Any, table: RawTable, may_hide: Collection[str] = ()) -> None:
    """Report merged cells, hidden rows and hidden columns, but those of `may_hide`."""
    hidden: dict[str, set[int]] = {"row": set(), "col": set()}
    merged: set[str] = set()
    with zipfile.ZipFile(path) as archive, archive.open(sheet._worksheet_path) as stream:
        tail = b""
        while block := stream.read(WINDOW):
            text = tail + block
            for match in HIDDEN.finditer(text):
                place = PLACE.search(match[0])
                hidden[match[1].decode()].add(int(place[1]) if place else 0)
            merged.update(match[1].decode() for match in MERGED.finditer(text))
            tail = text[-OVERLAP:]
    # what is hidden beyond the last row and column holds nothing
    last = table.lines[-1] if len(table) else 0
    hidden["row"] = {row for row in hidden["row"] if row <= last}
    named = dict(enumerate(table.columns, 1))
    hidden["col"] = {at for at in hidden["col"] if at in named and named[at] not in may_hide}
    for row in sorted(hidden["row"])[:LISTED]:
        table.fault(row, "", "", "the row is hidden", "Show it, or delete it.")
    for column in sorted(hidden["col"])[:LISTED]:
        problem = f"column {column} of the sheet is hidden"
        table.fault(0, "", "", problem, "Show it, or delete it.")
    for cells in sorted(merged)[:LISTED]:
        first_row = re.search(r"\d+", cells)
        line = int(first_row[0]) if first_row else 0
        table.fault(line, "", cells, "merged cells", "Unmerge them and fill in every cell.")
    both: tuple[tuple[Sized, str], ...] = (
        (hidden["row"], "hidden rows"),
        (merged, "merged blocks"),
    )
    for things, words in both:
        if len(things) > LISTED:
            table.fault(0, "", "", f"{len(things)} {words} in all", "Mend all of them.")
