"""Tables as CSV (RFC 4180) and records as JSON: full precision, `\\n` line ends, no surprises."""

import csv
import json
import math
import sys
from pathlib import Path

import numpy as np

from felloe.ground.writing import open_atomic, write_text

csv.field_size_limit(min(sys.maxsize, 2**31 - 1))
FORMULA_STARTS = ("=", "+", "-", "@", "\t")


def cell(value):
    """
    Return the text of one cell.

    Numbers keep full precision, absent ones are empty, truth is yes or no. Text that a
    spreadsheet would run as a formula is led by an apostrophe, which spreadsheets hide.
    Line ends within a cell are `\\n`.
    """
    if value is None:
        return ""
    if isinstance(value, (bool, np.bool_)):
        return "yes" if value else "no"
    if isinstance(value, (int, np.integer)):
        return str(int(value))
    if isinstance(value, (float, np.floating)):
        return "" if math.isnan(value) else repr(float(value))
    text = str(value).replace("\r\n", "\n").replace("\r", "\n")
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def write_table(path, columns, rows):
    """
    Write a table.

    Parameters
    ----------
    path : str or Path
    columns : sequence of str
    rows : iterable of sequences or of dicts keyed by column
    """
    with open_atomic(path) as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(columns)
        for row in rows:
            values = [row.get(name) for name in columns] if isinstance(row, dict) else row
            writer.writerow([cell(value) for value in values])


def read_table(path):
    """Read one of our own tables as a list of rows, each a dict of text."""
    with open(path, encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    for row in rows:
        for name, text in row.items():
            if text and text[0] == "'" and text[1:].startswith(FORMULA_STARTS):
                row[name] = text[1:]
    return rows


def number(text):
    """Return a cell's number, nan for an empty cell."""
    return float(text) if text != "" else math.nan


def write_square(path, terms, matrix):
    """Write a square matrix under its terms; first column `term`."""
    write_table(
        path,
        ["term", *terms],
        ([term, *row] for term, row in zip(terms, matrix.tolist(), strict=True)),
    )


def read_square(path):
    """
    Read a square matrix.

    Returns
    -------
    terms : tuple of str
    matrix : (n_terms, n_terms) array
        Integers if every cell is one, else floats.
    """
    with open(path, encoding="utf-8", newline="") as stream:
        header, *rows = csv.reader(stream)
    cells = [row[1:] for row in rows]
    try:
        matrix = np.array(cells, dtype=np.int64)
    except ValueError:
        matrix = np.array(cells, dtype=float)
    return tuple(header[1:]), matrix


def jsonable(value):
    """Return `value` with NumPy's types made plain and absent numbers null."""
    if isinstance(value, dict):
        return {str(key): jsonable(entry) for key, entry in value.items()}
    if isinstance(value, (list, tuple)):
        return [jsonable(entry) for entry in value]
    if isinstance(value, np.ndarray):
        return jsonable(value.tolist())
    if isinstance(value, (bool, np.bool_)):
        return bool(value)
    if isinstance(value, np.integer):
        return int(value)
    if isinstance(value, (float, np.floating)):
        return float(value) if math.isfinite(value) else None
    return value


def write_json(path, record):
    """Write a record as indented JSON in the order of its keys."""
    write_text(path, json.dumps(jsonable(record), indent=2, ensure_ascii=False) + "\n")


def read_json(path):
    """Read a JSON file."""
    return json.loads(Path(path).read_text(encoding="utf-8"))
