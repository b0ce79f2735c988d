"""All tables of a study in one workbook, with a first sheet that explains the columns."""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from felloe.comparison.provisional_words import MARK, PROVISIONAL
from felloe.ground.files.tables import Column, cell, read_rows, unguarded
from felloe.ground.files.writing import write_bytes
from felloe.ground.many_terms import WORKBOOK_CELLS
from felloe.report.catalogue import table_of
from felloe.report.spreadsheets import CELL_LIMIT, NAME_LIMIT, new_workbook
from felloe.validation.circulated import VIEWS

Cells = Sequence[float | str]

FIRST_SHEET = "columns"
# Tables of these stages hold the chart, or are made from it.
CHART_STAGES = ("clustering", "tiers", "sensitivity", "circle")
# Workbooks are passed on; what every single person did is not, and may exceed a sheet's rows.
TOO_LARGE = "left out of this workbook: {cells:,} cells; see the file"
LEFT_OUT = "left out of this workbook: data about single people; see the file"
FEW = (
    "cells of fewer than {least} people are joined (rules: joined) or empty, with those from which "
    "they would follow; the file in validation/ has them"
)
NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?(e[+-]?[0-9]+)?")  # as our tables write them


@dataclass(frozen=True)
class Sheet:
    """
    One table as a sheet.

    Attributes
    ----------
    rows : sequence of cells
        The first is the header.
    provisional : bool
        Whether every row says so.
    """

    rows: Sequence[Cells]
    provisional: bool

    def marked_rows(self) -> Iterator[Cells]:
        """Yield the rows, with the mark in a last column where they are provisional."""
        for place, row in enumerate(self.rows):
            mark = MARK if place == 0 else "yes"
            yield [*row, mark] if self.provisional else row


def sheet_names(names: Sequence[str]) -> dict[str, str]:
    """
    Return a sheet name for each table, unique and short enough.

    Parameters
    ----------
    names : sequence of str
        Paths relative to the study's results, such as `matrices/pooled.both.csv`.

    Returns
    -------
    dict of str to str
    """
    taken = {FIRST_SHEET}
    given: dict[str, str] = {}
    for name in names:
        full = name.removesuffix(".csv").replace("/", ".")
        sheet, number = full[:NAME_LIMIT], 1
        while sheet.lower() in taken:
            number += 1
            ending = f"~{number}"
            sheet = full[: NAME_LIMIT - len(ending)] + ending
        taken.add(sheet.lower())
        given[name] = sheet
    return given


def as_cell(text: str, column: Column) -> float | str:
    """
    Return a table's cell as a workbook holds it.

    Parameters
    ----------
    text : str
        As it stands in the CSV file.
    column : Column
        Words and ids stay text even if they look like numbers.

    Returns
    -------
    float or str
        Text without the mark that keeps spreadsheets from running it: here it can't be run.
    """
    text = unguarded(text)
    if not column.is_text and NUMBER.fullmatch(text):
        return float(text)
    return text[:CELL_LIMIT]


def explanation_rows(name: str, sheet: str, header: Sequence[str]) -> Iterator[Sequence[str]]:
    """Yield the rows of the first sheet on a table; columns that are one per term share a row."""
    table = table_of(name)
    known = [table.column(column) for column in header if column in table.names]
    for column in known:
        yield sheet, name, column.name, column.measured_in, column.meaning
    if table.others and len(header) > len(known):
        yield sheet, name, "(others)", table.others.measured_in, table.others.meaning


def write_workbook(
    path: str | Path,
    tables: Sequence[str | Path],
    folder: str | Path,
    study: str,
    least: int,
    marks: Sequence[str] = (),
) -> None:
    """
    Write the workbook.

    Parameters
    ----------
    path : str or Path
    tables : sequence of str or Path
        CSV files; those that are declared personal, or have more cells than `WORKBOOK_CELLS`, are
        named but not shown.
    folder : str or Path
        The study's results; sheets are named by the paths within it.
    study : str
    least : int
        People that a cell has to tell of where people are broken down; those of fewer are joined
        or left empty.
    marks : sequence of str
        What has to be said before anybody reads a number; on top of the first sheet. If one
        is that the chart is provisional, every sheet of the chart says so in a last column of
        its own, which stays with rows that are copied, and in print.

    Raises
    ------
    KeyError
        If no stage declares one of the tables.
    """
    named = {Path(table).relative_to(folder).as_posix(): Path(table) for table in tables}
    left_out = sorted(name for name in named if table_of(name).personal)
    shown = sorted(set(named) - set(left_out))
    cells = {name: cells_in(named[name]) for name in shown}
    large = {name: number for name, number in cells.items() if number > WORKBOOK_CELLS.most}
    contents = {name: circulated(name, named[name], least) for name in shown if name not in large}
    sheets = sheet_names(list(contents))
    columns: list[Sequence[str]] = [("sheet", "file", "column", "unit", "meaning")]
    columns += [(mark, "", "", "", "") for mark in marks]
    provisional = PROVISIONAL in marks
    for name, (header, _) in contents.items():
        columns.extend(explanation_rows(name, sheets[name], header))
        if name in VIEWS:
            columns.append((sheets[name], name, "", "", FEW.format(least=least)))
        if provisional and is_of_chart(name):
            columns.append((sheets[name], name, MARK, "yes/no", PROVISIONAL))
    columns += [("", name, "", "", LEFT_OUT) for name in left_out]
    columns += [("", name, "", "", TOO_LARGE.format(cells=large[name])) for name in large]
    filled = {
        sheets[name]: Sheet(
            [header, *cells_of(name, header, rows)], provisional and is_of_chart(name)
        )
        for name, (header, rows) in contents.items()
    }
    title = " ".join([f"Tables of the study {study}.", *marks]) if marks else named_after(study)
    write_bytes(path, workbook_of(title, columns, filled, " ".join(marks)))


def cells_in(path: Path) -> int:
    """Return how many cells a table has, its header left out, without holding it."""
    with path.open(encoding="utf-8", newline="") as stream:
        texts = csv.reader(stream)
        return len(next(texts, [])) * sum(1 for _ in texts)


def circulated(name: str, path: Path, least: int) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
    """Return the header and the rows of a table as texts, without cells that tell of a few."""
    if name not in VIEWS:
        return read_rows(path)
    table = table_of(name)
    rows = VIEWS[name](table.read(path), least)
    return table.names, [[cell(value) for value in table.values(row, table.names)] for row in rows]


def named_after(study: str) -> str:
    """Return the title of the workbook."""
    return f"Tables of the study {study}"


def is_of_chart(name: str) -> bool:
    """Return whether a table holds the chart or is made from it, by its path."""
    return name.split("/")[0] in CHART_STAGES


def cells_of(name: str, header: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[Cells]:
    """Yield the rows of a table as a workbook holds them."""
    columns = [table_of(name).column(column) for column in header]
    for row in rows:
        yield [as_cell(text, column) for text, column in zip(row, columns, strict=True)]


def workbook_of(
    title: str, columns: Sequence[Cells], sheets: Mapping[str, Sheet], remark: str
) -> bytes:
    """Return a workbook of a sheet that explains columns and of further sheets, as bytes."""
    stream = io.BytesIO()
    book = new_workbook(stream, title)
    bold = book.add_format({"bold": True, "text_wrap": False, "bottom": 1})
    first = book.add_worksheet(FIRST_SHEET)
    for column, width in enumerate((28, 34, 26, 18, 90)):
        first.set_column(column, column, width)
    if remark:
        first.set_header(f"&L{remark}")
    fill(first, columns, bold)
    for name, sheet in sheets.items():
        added = book.add_worksheet(name)
        if sheet.provisional:
            added.set_header(f"&L{remark}")
        fill(added, sheet.marked_rows(), bold)
    book.close()
    return stream.getvalue()


def fill(sheet: Any, rows: Iterable[Cells], bold: Any) -> None:
    """Fill a sheet whose first row is a header that stays in sight."""
    sheet.freeze_panes(1, 1)
    for place, row in enumerate(rows):
        for column, value in enumerate(row):
            if isinstance(value, float):
                sheet.write_number(place, column, value)
            elif value != "":
                sheet.write_string(place, column, value, bold if place == 0 else None)
