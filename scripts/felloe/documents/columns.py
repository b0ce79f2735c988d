"""What every column of every table means; the one place where this is written down."""

import csv
import fnmatch
from pathlib import Path

COLUMNS = Path(__file__).with_name("columns.csv")
TEXT_UNITS = ("id", "ids", "class id", "text", "yes/no", "colour")


def read_columns(path=COLUMNS):
    """
    Read what every column means.

    Returns
    -------
    list of dict
        `table` (a pattern of paths), `column` (`*`: every column that is not named), `unit`,
        `meaning`.
    """
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def meaning_of(name, column, explained):
    """Return (unit, meaning) of a table's column, the exact name before `*`; None if unknown."""
    for wanted in (column, "*"):
        for row in explained:
            if row["column"] == wanted and fnmatch.fnmatchcase(name, row["table"]):
                return row["unit"], row["meaning"]
    return None


def is_text_column(name, column, explained):
    """Return whether a column holds words or identifiers."""
    meaning = meaning_of(name, column, explained)
    return meaning is not None and meaning[0] in TEXT_UNITS
