"""Somebody else's CSV (RFC 4180): UTF-8, comma or semicolon, any line ends, true line numbers."""

import csv
import io
from collections.abc import Sequence
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from felloe.errors import Fault, StudyError
from felloe.validation.intake.bounds import (
    TooLarge,
    check_header_line,
    check_size,
    check_width,
)
from felloe.validation.intake.raw.characters import cleaned
from felloe.validation.intake.raw.raw_table import RawTable, TableBuilder

if TYPE_CHECKING:
    from _csv import Reader

SEPARATORS = {",": "commas", ";": "semicolons"}
BATCH = 20_000  # rows turned into codes at a time
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
SIGNATURES = {
    b"\xff\xfe": "is UTF-16 text",
    b"\xfe\xff": "is UTF-16 text",
    b"PK\x03\x04": "is a spreadsheet or another zipped file, not CSV",
}


class BrokenRow(csv.Error):
    """A row that can't be read, and the line on which it starts."""

    def __init__(self, problem: str, line: int) -> None:
        super().__init__(problem)
        self.line = line


def read_csv(path: str | Path, file: str, expected: Sequence[str]) -> RawTable:
    """
    Read a table.

    Parameters
    ----------
    path : str or Path
    file : str
        Its name in messages.
    expected : sequence of str
        Columns it should have; they tell which separator it uses.

    Returns
    -------
    RawTable
        Faults of form are in its `faults`.
    """
    try:
        check_size(Path(path))
        data = Path(path).read_bytes()
        check_text(data, file)
        check_header_line(data)
    except TooLarge as error:
        return too_large(file, error)
    except StudyError as error:
        return RawTable(file, faults=list(error.faults), partial=True)
    separator = likely_separator(data, expected)
    stream = io.TextIOWrapper(io.BytesIO(data), encoding="utf-8-sig", newline="")
    reader = csv.reader(stream, delimiter=separator, strict=True)
    builder = None
    try:
        header, line = first_row(reader)
        check_width(header)
        builder = TableBuilder(file, header, line)
        add_rows(builder, reader, quoted=b'"' in data)
    except TooLarge as error:
        return too_large(file, error)
    except csv.Error as error:
        table = builder.table if builder else RawTable(file)
        table.partial = True
        table.fault(
            error.line if isinstance(error, BrokenRow) else reader.line_num,
            "",
            "",
            f"the row can't be read ({error})",
            "Check its quotation marks: they enclose a whole cell, and are doubled inside one.",
        )
    if builder is None:
        return table
    table = builder.finished()
    words = SEPARATORS[separator]
    table.note(0, "", f"{len(table)} row(s) under the header, cells separated by {words}")
    if not len(table) and not table.faults:
        table.fault(0, "", "", "has a header and no rows", "Add the rows, or delete the file.")
    return table


def too_large(file: str, error: TooLarge) -> RawTable:
    """Return the table of a file that is larger than any that is read."""
    problem, remedy = error.args
    return RawTable(file, faults=[Fault(file, problem=problem, remedy=remedy)], partial=True)


def check_text(data: bytes, file: str) -> None:
    """Raise a `StudyError` unless the bytes are UTF-8 text with something in it."""
    for signature, problem in SIGNATURES.items():
        if data.startswith(signature):
            raise StudyError([Fault(file, problem=problem, remedy="Save it as CSV in UTF-8.")])
    if not data.removeprefix(BYTE_ORDER_MARK).strip():
        problem = "is empty"
        raise StudyError([Fault(file, problem=problem, remedy="Write the header and the rows.")])
    if b"\0" in data:
        line = line_of(data, data.index(b"\0"))
        problem = "holds a NUL byte, so it is not text"
        raise StudyError([Fault(file, line, problem=problem, remedy="Save it as CSV in UTF-8.")])
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = line_of(data, error.start)
        value = f"\\x{data[error.start]:02x}"
        problem = "is not UTF-8 text from here on"
        raise StudyError(
            [Fault(file, line, "", value, problem, "Save it as CSV in UTF-8.")]
        ) from error


def line_of(data: bytes, place: int) -> int:
    """Return the line, from 1, on which the byte at `place` stands; ends may be CR, LF or CRLF."""
    before = data[:place]
    return before.count(b"\n") + before.count(b"\r") - before.count(b"\r\n") + 1


def likely_separator(data: bytes, expected: Sequence[str]) -> str:
    """Return the separator that gives the most of the expected columns, then the most columns."""
    start = data[:1_000_000].decode("utf-8-sig", errors="ignore")

    def fit(separator: str) -> tuple[int, int]:
        try:
            names, _ = first_row(csv.reader(io.StringIO(start, newline=""), delimiter=separator))
        except csv.Error:
            return (0, 0)
        names = [cleaned(name) for name in names]
        return (len(set(names) & set(expected)), len(names))

    return max(SEPARATORS, key=fit)


def first_row(reader: "Reader") -> tuple[list[str], int]:
    """Return the first row that is not blank, and the line it starts on."""
    start = 1
    for row in reader:
        if any(cleaned(text) for text in row):
            return row, start
        start = reader.line_num + 1
    raise csv.Error("no row holds anything")


def add_rows(builder: TableBuilder, reader: "Reader", quoted: bool) -> None:
    """
    Hand the rows to the builder, with the line on which each starts.

    Where nothing is `quoted` a row is a line, and lines need not be counted row by row.
    """
    while True:
        start = reader.line_num + 1
        rows: list[list[str]] = []
        lines: list[int] = []
        try:
            if quoted:
                for row in islice(reader, BATCH):
                    rows.append(row)
                    lines.append(start)
                    start = reader.line_num + 1
            else:
                rows.extend(islice(reader, BATCH))
        except csv.Error as error:
            raise BrokenRow(str(error), start if quoted else reader.line_num) from error
        finally:
            builder.add(rows, lines if quoted else list(range(start, start + len(rows))))
        if len(rows) < BATCH:
            return
