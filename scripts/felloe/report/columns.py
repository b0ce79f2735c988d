"""What every column of every table means; the one place where this is written down."""

import csv
import fnmatch
from pathlib import Path

COLUMNS = Path(__file__).with_name("columns.csv")
READS = ("report/columns.csv",)
TEXT_UNITS = ("id", "ids", "class id", "text", "yes/no", "colour")


def read_columns(path=COLUMNS):
    """
    Read what every column means.

    Returns
    -------
    list of dict
        `table` (a pattern of paths), `column` (a name, or a pattern for those not named),
        `unit`, `meaning`.
    """
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def explanation_of(name, column, explained):
    """
    Return the row that explains a column: its exact name before a pattern, None if there is none.

    Parameters
    ----------
    name : str
        Path of the table relative to the study's results.
    column : str
    explained : list of dict
        From `read_columns`.
    """
    rows = [row for row in explained if fnmatch.fnmatchcase(name, row["table"])]
    exact = [row for row in rows if row["column"] == column]
    alike = [row for row in rows if fnmatch.fnmatchcase(column, row["column"])]
    return next(iter(exact + alike), None)


def is_text_column(name, column, explained):
    """Return whether a column holds words or identifiers."""
    row = explanation_of(name, column, explained)
    return row is not None and row["unit"] in TEXT_UNITS
