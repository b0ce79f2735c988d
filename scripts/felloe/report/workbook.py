"""All tables of a study in one workbook, with a first sheet that explains the columns."""

import csv
import datetime
import io
import re
from pathlib import Path

from felloe.ground.tables import FORMULA_STARTS
from felloe.ground.writing import write_bytes
from felloe.report.columns import explanation_of, is_text_column, read_columns

CREATED = datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC)  # fixed, for the same bytes each time
NAME_LIMIT = 31  # of a sheet's name, in the format itself
CELL_LIMIT = 32767  # characters in a cell, in the format itself
FIRST_SHEET = "columns"
# Workbooks are passed on; what every single person did is not, and may exceed a sheet's rows.
PERSONAL = ("validation/sorts.csv", "validation/register.csv", "validation/analysed.csv")
LEFT_OUT = "left out of this workbook: data about single people; see the file"
NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?(e[+-]?[0-9]+)?")  # as our tables write them


def sheet_names(names):
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
    taken, given = {FIRST_SHEET}, {}
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


def as_cell(text, is_text):
    """
    Return a table's cell as a workbook holds it.

    Parameters
    ----------
    text : str
        As it stands in the CSV file.
    is_text : bool
        Whether the column holds words or identifiers, which stay text even if they look like
        numbers.

    Returns
    -------
    float or str
        Text without the mark that keeps spreadsheets from running it: here it can't be run.
    """
    if text and text[0] == "'" and text[1:].startswith(FORMULA_STARTS):
        text = text[1:]
    if not is_text and NUMBER.fullmatch(text):
        return float(text)
    return text[:CELL_LIMIT]


def explanation_rows(tables, sheets, explained):
    """Yield the rows of the first sheet; columns that are one per term have one row in all."""
    for name, header in tables.items():
        others = None
        for column in header:
            row = explanation_of(name, column, explained) or {"column": column}
            if row["column"] == "*":
                others = row
                continue
            yield (sheets[name], name, column, row.get("unit", ""), row.get("meaning", ""))
        if others:
            yield (sheets[name], name, "(others)", others["unit"], others["meaning"])


def write_workbook(path, tables, folder, study):
    """
    Write the workbook.

    Parameters
    ----------
    path : str or Path
    tables : sequence of str or Path
        CSV files; those of `PERSONAL` are named but not shown.
    folder : str or Path
        The study's results; sheets are named by the paths within it.
    study : str
    """
    import xlsxwriter

    explained = read_columns()
    named = {Path(table).relative_to(folder).as_posix(): Path(table) for table in tables}
    contents = {}
    for name in sorted(set(named) - set(PERSONAL)):
        with open(named[name], encoding="utf-8", newline="") as stream:
            contents[name] = list(csv.reader(stream))
    sheets = sheet_names(list(contents))
    headers = {name: rows[0] for name, rows in contents.items()}
    stream = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(stream, {**options, "strings_to_numbers": False})
    book.set_properties({"title": f"Tables of the study {study}", "created": CREATED})
    bold = book.add_format({"bold": True, "text_wrap": False, "bottom": 1})
    columns = [("sheet", "file", "column", "unit", "meaning")]
    columns += explanation_rows(headers, sheets, explained)
    columns += [("", name, "", "", LEFT_OUT) for name in PERSONAL if name in named]
    add_sheet(book, FIRST_SHEET, columns, bold, widths=(28, 34, 26, 18, 90))
    for name, rows in contents.items():
        texts = [is_text_column(name, column, explained) for column in rows[0]]
        cells = [rows[0], *([as_cell(*pair) for pair in zip(row, texts)] for row in rows[1:])]
        add_sheet(book, sheets[name], cells, bold)
    book.close()
    write_bytes(path, stream.getvalue())


def add_sheet(book, name, rows, bold, widths=()):
    """Add one sheet whose first row is a header that stays in sight."""
    sheet = book.add_worksheet(name)
    sheet.freeze_panes(1, 1)
    for column, width in enumerate(widths):
        sheet.set_column(column, column, width)
    for place, row in enumerate(rows):
        for column, value in enumerate(row):
            if isinstance(value, float):
                sheet.write_number(place, column, value)
            elif value != "":
                sheet.write_string(place, column, value, bold if place == 0 else None)
