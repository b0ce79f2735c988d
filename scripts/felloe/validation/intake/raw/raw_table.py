"""A table as somebody else wrote it: each column as its distinct texts and a code per row."""

import unicodedata
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from felloe.errors import Fault
from felloe.ground.arrays import Array, Bools, Ints
from felloe.validation.intake.raw.characters import INVISIBLE, cleaned

LONGEST_SHOWN = 200  # characters of a cell in a message
MOST_FAULTS = 100_000  # of one table; a file that is wrong throughout need not fill the memory
NO_ROWS = np.zeros(0, dtype=np.int64)


class Interner(dict[str, int]):
    """Texts and their codes, in order of first appearance."""

    def __missing__(self, text: str) -> int:
        self[text] = code = len(self)
        return code


@dataclass(frozen=True)
class Column:
    """
    One column.

    Attributes
    ----------
    name : str
    codes : (n_rows,) array of int
        Index into `values`.
    values : list of str
        Distinct texts, composed (NFC) and trimmed.
    numeric : (n_rows,) array of bool or None
        Which cells a spreadsheet holds as a number; None for text files.
    """

    name: str
    codes: Array
    values: list[str]
    numeric: Bools | None = None

    def texts(self) -> list[str]:
        """Return the text of every row."""
        return [self.values[code] for code in self.codes.tolist()]

    def rows_of(self, chosen: Iterable[int]) -> Ints:
        """Return the rows whose value is among the `chosen` codes."""
        codes = np.asarray(list(chosen), dtype=np.int64)
        return np.flatnonzero(np.isin(self.codes, codes)) if len(codes) else NO_ROWS


@dataclass
class RawTable:
    """
    A table with what is wrong and what is remarkable about its form.

    Attributes
    ----------
    file : str
    columns : dict of str to Column
        In the order of the file.
    lines : (n_rows,) array of int
        The line on which each row starts; of a spreadsheet, its row.
    faults, notes : list of Fault
    partial : bool
        Whether rows are missing because the file could not be read to its end; what it does
        not hold then proves nothing.
    unnamed : bool
        Whether a column with something in it has no name.
    header_line : int
        Where the names of the columns stand.
    told : set of (int, str)
        Line and column of cells that are faulty as they stand; what would follow from reading
        them otherwise is no fault of its own.
    """

    file: str
    columns: dict[str, Column] = field(default_factory=dict)
    lines: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    faults: list[Fault] = field(default_factory=list)
    notes: list[Fault] = field(default_factory=list)
    partial: bool = False
    unnamed: bool = False
    header_line: int = 1
    told: set[tuple[int, str]] = field(default_factory=set)

    def fault(self, line: int, column: str, value: str, problem: str, remedy: str) -> None:
        """Remember something that is wrong, unless another fault of that cell is the cause."""
        if (int(line), column) in self.told:
            return
        if len(self.faults) == MOST_FAULTS:
            problem = f"has more than {MOST_FAULTS} faults; the others are not listed"
            line, column, value, remedy = 0, "", "", "Mend these and try again."
        if len(self.faults) <= MOST_FAULTS:
            column, value = column[:LONGEST_SHOWN], value[:LONGEST_SHOWN]
            self.faults.append(Fault(self.file, int(line), column, value, problem, remedy))

    def pass_over(self, name: str, refused: Iterable[int]) -> None:
        """Tell no further fault of the cells of a column whose codes were refused."""
        self.told.update((line, name) for line in self.lines[self[name].rows_of(refused)].tolist())

    def note(
        self, line: int, column: str, problem: str, severity: str = "note", value: str = ""
    ) -> None:
        """Remember something that was done or seen."""
        self.notes.append(Fault(self.file, int(line), column, value, problem, severity=severity))

    def __len__(self) -> int:
        return len(self.lines)

    def __contains__(self, name: str) -> bool:
        return name in self.columns

    def __getitem__(self, name: str) -> Column:
        return self.columns[name]


class TableBuilder:
    """
    Turns rows of text into a `RawTable`.

    Parameters
    ----------
    file : str
        As it is to be named in messages.
    header : sequence of str
    line : int
        Where the header stands.
    """

    def __init__(self, file: str, header: Sequence[str], line: int = 1) -> None:
        self.table = RawTable(file, header_line=line)
        self.names = self.checked_header(header)
        self.interners = [Interner() for _ in self.names]
        self.codes: list[list[Array]] = [[] for _ in self.names]
        self.lines: list[Ints] = []

    def checked_header(self, header: Sequence[str]) -> list[str]:
        """Return trimmed column names; empty trailing ones are left out."""
        names = [cleaned(name) for name in header]
        for raw, name in zip(header, names, strict=True):
            if raw != name:
                self.table.note(
                    self.table.header_line, name, "blanks around a column's name were trimmed"
                )
        while names and not names[-1]:
            names.pop()
        for name in sorted({name for name in names if name and names.count(name) > 1}):
            self.table.fault(
                self.table.header_line, name, name, "stands twice in the header", "Keep one column."
            )
        return names

    def add(self, rows: list[list[str]], lines: list[int]) -> None:
        """
        Add rows.

        Parameters
        ----------
        rows : list of list of str
        lines : list of int
        """
        width = len(self.names)
        if set(map(len, rows)) - {width}:
            fitting = [self.fitted(row, line) for row, line in zip(rows, lines, strict=True)]
            lines = [line for row, line in zip(fitting, lines, strict=True) if row is not None]
            rows = [row for row in fitting if row is not None]
        for codes, interner, cells in zip(
            self.codes, self.interners, zip(*rows, strict=True), strict=False
        ):
            codes.append(np.fromiter(map(interner.__getitem__, cells), np.int32, len(cells)))
        self.lines.append(np.array(lines, dtype=np.int64))

    def fitted(self, row: list[str], line: int) -> list[str] | None:
        """Return a row cut or filled to the header, or None if it is blank."""
        width = len(self.names)
        beyond = row[width:]
        if cleaned("".join(beyond)):  # all at once: there may be millions of empty ones
            value = next(text for text in map(cleaned, beyond) if text)
            problem = f"the row has {len(row)} cells, the header has {width}"
            remedy = "Put quotes around a cell that holds the separator, or name the column."
            self.table.fault(line, "", value, problem, remedy)
        elif len(row) < width:
            if not any(cleaned(text) for text in row):
                return None
            problem = f"the row has {len(row)} cells, the header has {width}"
            remedy = "Add the missing cells; an empty cell needs its separator too."
            self.table.fault(line, "", "", problem, remedy)
        return row[:width] + [""] * (width - len(row))

    def finished(self, numeric: Mapping[str, Collection[int]] | None = None) -> RawTable:
        """
        Return the table, its cells composed and trimmed, blank rows left out.

        Parameters
        ----------
        numeric : dict of str to set of int, optional
            Lines on which a spreadsheet holds a number, by column.
        """
        table = self.table
        lines = np.concatenate(self.lines) if self.lines else np.zeros(0, dtype=np.int64)
        columns = {}
        parts = zip(self.names, self.codes, self.interners, strict=True)
        for number, (name, codes, interner) in enumerate(parts, 1):
            if not name:
                self.leave_out(number, interner)
            elif name not in columns:
                whole = np.concatenate(codes) if codes else np.zeros(0, dtype=np.int32)
                columns[name] = clean_column(table, name, whole, list(interner), lines)
        filled = np.zeros(len(lines), dtype=bool)
        for column in columns.values():
            filled |= ~np.isin(
                column.codes, [i for i, text in enumerate(column.values) if not text]
            )
        if not filled.all():
            problem = f"{int((~filled).sum())} blank row(s) were passed over"
            table.note(lines[np.argmin(filled)], "", problem)
        table.lines = lines[filled]
        for name, column in columns.items():
            held = None
            if numeric is not None:
                held = np.isin(table.lines, sorted(numeric.get(name, ())))
            table.columns[name] = Column(name, column.codes[filled], column.values, held)
        return table

    def leave_out(self, number: int, texts: Iterable[str]) -> None:
        """Note an empty column without a name; report it if anything stands in it."""
        line, problem = self.table.header_line, f"column {number} has no name"
        value = next((text for text in texts if cleaned(text)), None)
        if value is None:
            self.table.note(line, "", f"{problem} and holds nothing; it was passed over")
        else:
            self.table.unnamed = True
            self.table.fault(line, "", value, problem, "Name it, or delete the column.")


def clean_column(table: RawTable, name: str, codes: Array, raw: list[str], lines: Ints) -> Column:
    """Return a column of cleaned texts; what cleaning changed is noted once."""
    interner = Interner()
    recoded = np.array([interner[cleaned(text)] for text in raw], dtype=np.int32)
    values = list(interner)
    trimmed = [
        i
        for i, text in enumerate(raw)
        if len(text.strip()) != len(text) or text != text.strip(INVISIBLE)
    ]
    composed = [i for i, text in enumerate(raw) if not unicodedata.is_normalized("NFC", text)]
    for chosen, done in ((trimmed, "trimmed of blanks"), (composed, "composed (Unicode NFC)")):
        rows = np.flatnonzero(np.isin(codes, chosen)) if chosen else NO_ROWS
        if len(rows):
            table.note(lines[rows[0]], name, f"{len(rows)} cell(s) of this column were {done}")
    return Column(name, recoded[codes] if len(codes) else codes, values)
