"""Two tables of one path, cell by cell."""

import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from felloe.audit.differences import KEPT, NOW, WAS, CellDifference, TableDifference
from felloe.audit.keys import declared, is_personal, key_candidates

Key = tuple[str, ...]


class NotATable(ValueError):
    """A file that can not be read as a table, and why."""


@dataclass(frozen=True)
class Sheet:
    """A table as it stands in a file: names of columns, and texts."""

    header: list[str]
    rows: list[list[str]]

    def keys(self, columns: Sequence[str]) -> list[Key]:
        """Return what some columns of every row hold."""
        places = [self.header.index(column) for column in columns]
        return [tuple(row[place] for place in places) for row in self.rows]


def compare_tables(path: str, was: Path, now: Path) -> TableDifference:
    """
    Compare two tables cell by cell; nothing stops at the first difference.

    Parameters
    ----------
    path : str
        Relative to the results; it says which table this is.
    was, now : Path

    Returns
    -------
    TableDifference
        With a `problem` where one of the two is no table.
    """
    sheets = []
    for side, file in ((WAS, was), (NOW, now)):
        try:
            sheets.append(read_sheet(file))
        except NotATable as error:
            problem = f"{side}: {error}"
            return TableDifference(path, problem=problem, personal=is_personal(path))
    return compare_sheets(path, *sheets)


def read_sheet(path: Path) -> Sheet:
    """
    Read a table whatever its columns.

    Raises
    ------
    NotATable
        If it is not UTF-8, has no header, a column twice, or a row of another length.
    """
    try:
        with path.open(encoding="utf-8", newline="") as stream:
            reader = csv.reader(stream, strict=True)
            header = next(reader, [])
            rows = []
            for row in reader:
                if len(row) != len(header):
                    raise NotATable(
                        f"line {reader.line_num} has {len(row)} cells, the header {len(header)}"
                    )
                rows.append(row)
    except OSError as error:
        raise NotATable(f"cannot be read ({error.strerror})") from error
    except UnicodeDecodeError as error:
        raise NotATable("is not UTF-8 text") from error
    except csv.Error as error:
        raise NotATable(f"line {reader.line_num} is not CSV ({error})") from error
    if not header:
        raise NotATable("is empty")
    if len(set(header)) < len(header):
        raise NotATable("has a column twice")
    return Sheet(header, rows)


def compare_sheets(path: str, was: Sheet, now: Sheet) -> TableDifference:
    """Compare two tables that were read."""
    key = key_of(path, was, now)
    rows_was, rows_now = by_key(was, key), by_key(now, key)
    columns = [name for name in was.header if name in set(now.header) and name not in key]
    both = [row for row in rows_was if row in rows_now]
    numeric = numeric_columns(path, columns)
    found: list[CellDifference] = []
    n_cells = 0
    places = [(name, was.header.index(name), now.header.index(name)) for name in columns]
    for row in both:
        one, other = rows_was[row], rows_now[row]
        for name, here, there in places:
            if one[here] != other[there]:
                n_cells += 1
                if len(found) < KEPT:
                    by = difference(one[here], other[there]) if name in numeric else None
                    found.append(CellDifference(row, name, one[here], other[there], by))
    only_was = [row for row in rows_was if row not in rows_now]
    only_now = [row for row in rows_now if row not in rows_was]
    return TableDifference(
        path,
        key=key,
        n_cells=n_cells,
        cells=tuple(found),
        n_rows_was=len(only_was),
        n_rows_now=len(only_now),
        rows_was=tuple(only_was[:KEPT]),
        rows_now=tuple(only_now[:KEPT]),
        columns_was=tuple(name for name in was.header if name not in now.header),
        columns_now=tuple(name for name in now.header if name not in was.header),
        reordered=bool(key) and both != [row for row in rows_now if row in rows_was],
        personal=is_personal(path),
    )


def key_of(path: str, was: Sheet, now: Sheet) -> Key:
    """Return the shortest leading naming columns that tell the rows of both apart, or none."""
    shared = set(was.header) & set(now.header)
    candidates = [name for name in key_candidates(path, was.header) if name in shared]
    for length in range(1, len(candidates) + 1):
        key = tuple(candidates[:length])
        if all(len(set(keys)) == len(keys) for keys in (was.keys(key), now.keys(key))):
            return key
    return ()


def by_key(sheet: Sheet, key: Key) -> dict[Key, list[str]]:
    """Return the rows by what tells them apart, else by their number from 1."""
    names = sheet.keys(key) if key else [(str(n),) for n in range(1, len(sheet.rows) + 1)]
    return dict(zip(names, sheet.rows, strict=True))


def numeric_columns(path: str, columns: Sequence[str]) -> set[str]:
    """Return the columns that hold numbers as declared; all of a table that nobody declares."""
    table = declared(path)
    if table is None:
        return set(columns)
    known = set(table.names)
    return {
        name
        for name in columns
        if (name in known or table.others is not None) and not table.column(name).is_text
    }


def difference(was: str, now: str) -> float | None:
    """Return the second less the first, None where one of them is no finite number."""
    try:
        by = float(now) - float(was)
    except ValueError:
        return None
    return by if math.isfinite(by) else None
