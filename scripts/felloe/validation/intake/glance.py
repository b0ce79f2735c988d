"""Columns of a table read at a glance: the plan of a run has to know some before any check."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from felloe.validation.intake.bounds import (
    bounded_rows,
    check_archive,
    check_header_line,
    check_size,
    check_width,
)
from felloe.validation.intake.raw.characters import cleaned

Cells = tuple[str, ...]


def glance(path: Path, columns: Sequence[str]) -> list[Cells]:
    """
    Return the cells of some columns, by the bounds of the check of the study.

    Parameters
    ----------
    path : Path
        A CSV file, or a spreadsheet, of which the first sheet is read.
    columns : sequence of str

    Returns
    -------
    list of tuple of str
        A tuple a row that has a cell in one of the columns; nothing if the header lacks a column.

    Raises
    ------
    Exception
        Of a dozen kinds, whatever is wrong with the form of the file.
    """
    return _of_sheet(path, columns) if path.suffix == ".xlsx" else _of_text(path, columns)


def _of_text(path: Path, columns: Sequence[str]) -> list[Cells]:
    """Return the cells of a CSV file."""
    check_size(path)
    data = path.read_bytes()
    check_header_line(data)
    for separator in (",", ";"):
        # a line ends where the check ends it: not at every sign that may part lines on a screen
        stream = io.TextIOWrapper(io.BytesIO(data), encoding="utf-8-sig", newline="")
        cells = list(_cells(csv.reader(stream, delimiter=separator, strict=True), columns))
        if cells:
            return cells
    return []


def _of_sheet(path: Path, columns: Sequence[str]) -> list[Cells]:
    """Return the cells of the first sheet of a spreadsheet."""
    from openpyxl import load_workbook

    check_archive(path)
    workbook = load_workbook(path, read_only=True, keep_links=False)
    try:
        sheet = workbook.worksheets[0]
        sheet.reset_dimensions()
        rows = bounded_rows(sheet.iter_rows(values_only=True))
        return list(_cells((_texts(row) for row in rows), columns))
    finally:
        workbook.close()


def _texts(row: Sequence[Any]) -> list[str]:
    """Return the cells of a spreadsheet's row as text."""
    return [str(cell or "") for cell in row]


def _cells(rows: Iterable[list[str]], columns: Sequence[str]) -> Iterator[Cells]:
    """Yield the cells under the names of the columns; rows above the header are blank."""
    places: list[int] = []
    for row in rows:
        if places:
            found = tuple(cleaned(row[at]) if at < len(row) else "" for at in places)
            if any(found):
                yield found
            continue
        texts = [cleaned(text) for text in row]
        if any(texts):
            check_width(row)
            if not set(columns) <= set(texts):
                return
            places = [texts.index(column) for column in columns]
