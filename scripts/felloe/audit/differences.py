"""What a comparison of two folders finds in their files: codes, names and values, no sentences."""

from dataclasses import dataclass

SAME, DIFFERS, MISSING, EXTRA, UNREADABLE = "same", "differs", "missing", "extra", "unreadable"
WAS, NOW = "was", "now"
KEPT = 200  # differences of one file that are kept with their values; the numbers are of all


@dataclass(frozen=True)
class FileState:
    """
    How a file of the one folder stands to that of the same path in the other.

    Attributes
    ----------
    path : str
        Relative to the folder.
    state : {"same", "differs", "missing", "extra", "unreadable"}
        missing: only the first folder has it; extra: only the second has it.
    reason : str
        Why a file could not be read.
    """

    path: str
    state: str
    reason: str = ""


@dataclass(frozen=True)
class CellDifference:
    """
    A cell of a table that differs.

    Attributes
    ----------
    row : tuple of str
        What the key columns hold, or the row's number, from 1, where nothing tells rows apart.
    column : str
    was, now : str
        As they stand in the files.
    by : float or None
        Second less first, where both are numbers.
    """

    row: tuple[str, ...]
    column: str
    was: str
    now: str
    by: float | None


@dataclass(frozen=True)
class TableDifference:
    """
    How two tables of the same path differ.

    Attributes
    ----------
    path : str
    key : tuple of str
        Columns that tell the rows apart; none: rows go by their number.
    n_cells : int
        Cells that differ, of the rows and columns that both have.
    cells : tuple of CellDifference
        The first of them.
    n_rows_was, n_rows_now : int
        Rows that only the one or the other has.
    rows_was, rows_now : tuple of tuple of str
        The first of these.
    columns_was, columns_now : tuple of str
        Columns that only the one or the other has.
    reordered : bool
        Whether the rows that both have stand in another order.
    problem : str
        Why cells could not be compared; empty: they were.
    personal : bool
        Whether the table holds data about single people, so that no page may show its cells.
    """

    path: str
    key: tuple[str, ...] = ()
    n_cells: int = 0
    cells: tuple[CellDifference, ...] = ()
    n_rows_was: int = 0
    n_rows_now: int = 0
    rows_was: tuple[tuple[str, ...], ...] = ()
    rows_now: tuple[tuple[str, ...], ...] = ()
    columns_was: tuple[str, ...] = ()
    columns_now: tuple[str, ...] = ()
    reordered: bool = False
    problem: str = ""
    personal: bool = False


@dataclass(frozen=True)
class EntryDifference:
    """
    An entry of a record, a tree, a vocabulary or a text that differs.

    Attributes
    ----------
    key : str
        Dotted path of a record; node of a tree; triple; number of a line.
    was, now : str or None
        None: there is none.
    """

    key: str
    was: str | None
    now: str | None


@dataclass(frozen=True)
class ContentDifference:
    """
    How two files that are no tables differ.

    Attributes
    ----------
    path : str
    kind : {"record", "tree", "triples", "lines"}
    number : int
    entries : tuple of EntryDifference
        The first of them.
    problem : str
        Why the contents could not be compared; empty: they were.
    personal : bool
        Whether the file may hold data about single people.
    """

    path: str
    kind: str
    number: int = 0
    entries: tuple[EntryDifference, ...] = ()
    problem: str = ""
    personal: bool = False
