"""Tables as CSV (RFC 4180), each declared once: full precision, `\\n` line ends, no surprises."""

import csv
import fnmatch
import math
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, Literal

import numpy as np

from felloe.ground.arrays import Array
from felloe.ground.files.writing import open_atomic
from felloe.ground.terms import Terms

csv.field_size_limit(min(sys.maxsize, 2**31 - 1))

Kind = Literal[
    "id", "ids", "text", "yes/no", "colour", "count", "share", "probability", "degrees", "number"
]
Row = dict[str, Any]
FORMULA_STARTS = ("=", "+", "-", "@", "\t")
TEXT_KINDS: tuple[Kind, ...] = ("id", "ids", "text", "yes/no", "colour")


@dataclass(frozen=True)
class Column:
    """
    One column of a table.

    Attributes
    ----------
    name : str
    kind : Kind
        id (one), ids (several, joined by `;`), text, yes/no, colour (`#rrggbb`), count (whole
        number), share (0 to 1), probability (0 to 1, never shown as 0), degrees, number.
    meaning : str
    unit : str
        Of what a count counts, or in what a number is measured; the kind's own name if empty.
    """

    name: str
    kind: Kind
    meaning: str
    unit: str = ""

    @property
    def measured_in(self) -> str:
        """The unit, for the sheet that explains the columns."""
        return self.unit or self.kind

    @property
    def is_text(self) -> bool:
        """Whether cells are words, which stay text even if they look like numbers."""
        return self.kind in TEXT_KINDS

    def parsed(self, text: str) -> Any:
        """
        Return what a cell of our own tables holds.

        Returns
        -------
        str, tuple of str, bool, int, float or None
            An empty cell is "" as text, () as ids, nan as a number, None as a count or yes/no.

        Raises
        ------
        ValueError
            If the cell is not of the column's kind.
        """
        if self.kind == "ids":
            return tuple(text.split(";")) if text else ()
        if self.kind == "yes/no":
            return YES_NO[text]
        if self.kind == "count":
            return int(text) if text else None
        if self.is_text:
            return unguarded(text)
        return float(text) if text else math.nan


YES_NO = {"yes": True, "no": False, "": None}


@dataclass(frozen=True)
class Table:
    """
    A table declared once: where it stands, what its columns are.

    Attributes
    ----------
    path : str
        Relative to the results of a study (or of a pair of editions); `*` stands for what differs
        from study to study, such as a population's id.
    meaning : str
        What the table tells, in a sentence.
    columns : tuple of Column
    others : Column, optional
        What every further column is, one per term.
    personal : bool
        Whether it holds data about single people, and so stays out of everything passed on.
    """

    path: str
    meaning: str
    columns: tuple[Column, ...]
    others: Column | None = None
    personal: bool = False

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the columns."""
        return tuple(column.name for column in self.columns)

    def fits(self, path: str) -> bool:
        """Tell whether a path, relative to the results, is one of this table."""
        return fnmatch.fnmatchcase(path, self.path)

    def column(self, name: str) -> Column:
        """Return the column of a name; a further one is as `others` says."""
        for column in self.columns:
            if column.name == name:
                return column
        if self.others is None:
            raise KeyError(f"{self.path} has no column {name!r}")
        return self.others

    def write(
        self,
        path: str | Path,
        rows: Iterable[Sequence[Any] | Mapping[str, Any]],
        further: Sequence[str] = (),
    ) -> None:
        """
        Write the table.

        Parameters
        ----------
        path : str or Path
        rows : iterable of sequences in the order of the columns, or of mappings keyed by them
        further : sequence of str
            The names of further columns, one per term.

        Raises
        ------
        ValueError
            If a row has other columns than the table: nothing is left out or made up in silence.
        """
        names = (*self.names, *further)
        write_rows(path, names, (self.values(row, names) for row in rows))

    def values(self, row: Sequence[Any] | Mapping[str, Any], names: Sequence[str]) -> list[Any]:
        """Return the cells of a row in the order of the columns."""
        if isinstance(row, Mapping):
            if set(row) != set(names):
                odd = sorted(set(row) ^ set(names))
                raise ValueError(f"{self.path}: a row and the table differ in columns {odd}")
            return [row[name] for name in names]
        if len(row) != len(names):
            raise ValueError(f"{self.path}: a row of {len(row)} cells, {len(names)} columns")
        return list(row)

    def read(self, path: str | Path, every: int = 1) -> list[Row]:
        """
        Read the table: every cell as what its column holds.

        Parameters
        ----------
        path : str or Path
        every : int
            Of more than one, the first row is read and then each second, third and so on.

        Returns
        -------
        list of dict
            See `Column.parsed`.

        Raises
        ------
        ValueError
            If the file has other columns than the table, or a cell is not of its column's kind.
        """
        header, rows = read_rows(path, every)
        if header[: len(self.columns)] != list(self.names) or (
            len(header) > len(self.columns) and self.others is None
        ):
            raise ValueError(f"{Path(path).name} has the columns {header}, not {list(self.names)}")
        columns = [self.column(name) for name in header]
        return [
            {name: column.parsed(text) for name, column, text in zip(header, columns, row)}
            for row in rows
        ]


def cell(value: Any) -> str:
    """
    Return the text of one cell.

    Numbers keep full precision, absent ones are empty, truth is yes or no, several ids are joined
    by `;`. Text that a spreadsheet would run as a formula is guarded. Line ends are `\\n`.
    """
    if type(value) is float:  # most cells, and asked first
        return "" if math.isnan(value) else repr(value)
    if value is None:
        return ""
    if isinstance(value, (bool, np.bool_)):
        return "yes" if value else "no"
    if isinstance(value, (int, np.integer)):
        return str(int(value))
    if isinstance(value, (float, np.floating)):
        return "" if math.isnan(value) else repr(float(value))
    if isinstance(value, (tuple, list)):
        return ";".join(value)
    return guarded(str(value).replace("\r\n", "\n").replace("\r", "\n"))


def guarded(text: str) -> str:
    """
    Return text that no spreadsheet runs as a formula: led by an apostrophe, which it hides.

    Text that already looks guarded gets a further apostrophe, so that `unguarded` gives back
    exactly what was there.
    """
    return f"'{text}" if text.lstrip("'").startswith(FORMULA_STARTS) else text


def unguarded(text: str) -> str:
    """Return the text that `guarded` was given."""
    return text[1:] if text[:1] == "'" and text.lstrip("'").startswith(FORMULA_STARTS) else text


def write_rows(path: str | Path, header: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    """Write a header and rows of values."""
    write_texts(path, header, ([cell(value) for value in row] for row in rows))


def write_texts(path: str | Path, header: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Write a header and rows of cells that are texts already, as `cell` returns them."""
    with open_atomic(path) as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def read_rows(path: str | Path, every: int = 1) -> tuple[list[str], Iterator[list[str]]]:
    """Return the header of one of our own tables, and its rows (or some) as they stand."""
    rows = texts_of(path)
    return next(rows), islice(rows, 0, None, every)


def texts_of(path: str | Path) -> Iterator[list[str]]:
    """Yield the rows of a table one by one, its header first."""
    with open(path, encoding="utf-8", newline="") as stream:
        rows = csv.reader(stream)
        header = next(rows, None)
        if header is None:
            raise ValueError(f"{Path(path).name} is empty")
        yield header
        yield from rows


def write_square(path: str | Path, terms: Sequence[str], matrix: Array) -> None:
    """Write a square matrix under its terms; first column `term`."""
    rows = ([term, *row] for term, row in zip(terms, matrix.tolist(), strict=True))
    write_rows(path, ["term", *terms], rows)


def read_square(path: str | Path) -> tuple[Terms, Array]:
    """
    Read a square matrix.

    Returns
    -------
    terms : Terms
    matrix : (n_terms, n_terms) array
        Integers if every cell is one, else floats.

    Raises
    ------
    ValueError
        If rows and columns are not the same terms in the same order.
    """
    header, texts = read_rows(path)
    rows = list(texts)
    terms = Terms(header[1:])
    if header[0] != "term" or [row[0] for row in rows] != list(terms):
        raise ValueError(f"{Path(path).name}: rows and columns are not the same terms")
    cells = [row[1:] for row in rows]
    try:
        return terms, np.array(cells, dtype=np.int64)
    except ValueError:
        return terms, np.array(cells, dtype=float)
