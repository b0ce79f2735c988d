"""What a comparison of two folders of results finds: codes, names and values, no sentences."""

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

    @property
    def number(self) -> int:
        """How many things differ."""
        columns = len(self.columns_was) + len(self.columns_now)
        return self.n_cells + self.n_rows_was + self.n_rows_now + columns


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


INPUT, SETTING, CODE, VERSION, STUDY = "input", "setting", "code", "version", "study"
CHANGED_LATER, LOST, SURROUNDINGS = "changed_later", "lost", "surroundings"
READ_OTHERWISE = "read_otherwise"
ONE_RUN, UNRECORDED = "one_run", "unrecorded"


@dataclass(frozen=True, order=True)
class Change:
    """
    Something in which two runs differ.

    Attributes
    ----------
    kind : str
        input: a file of the study; setting; code: of a step, or of the project; version: of a
        package, or of the project; study: results of another study that were read; changed_later:
        a file that no longer is what its run recorded; lost: one that is gone; read_otherwise: one
        that was not as it was made when the next step read it; surroundings:
        nothing that is recorded differs, and yet the outcome does; one_run: a step that only one
        of the two took; unrecorded: the maker, or what it read, stands in no record.
    name : str
        File, dotted key, step, package or study.
    was, now : str
        Values where there are any; of what was changed later, the side says which folder.
    side : {"", "was", "now"}
    """

    kind: str
    name: str
    was: str = ""
    now: str = ""
    side: str = ""


@dataclass(frozen=True)
class Trace:
    """
    Where the difference of one file comes from.

    Attributes
    ----------
    path : str
    step : str
        That made the file; empty: not recorded.
    inputs : tuple of str
        What that step read and what differs, own results relative to the folder.
    own : tuple of Change
        In what the step itself differs: code, settings, versions.
    causes : tuple of Change
        Where the walk up through the steps ended.
    """

    path: str
    step: str = ""
    inputs: tuple[str, ...] = ()
    own: tuple[Change, ...] = ()
    causes: tuple[Change, ...] = ()


NO_FOLDER, NO_MANIFEST, BAD_MANIFEST = "no_folder", "no_manifest", "bad_manifest"
NO_LEDGER, BAD_LEDGER = "no_ledger", "bad_ledger"


@dataclass(frozen=True)
class Note:
    """
    What a comparison had to do without.

    Attributes
    ----------
    code : {"no_folder", "no_manifest", "bad_manifest", "no_ledger", "bad_ledger"}
    side : {"was", "now"}
    detail : str
        The file concerned, and what is wrong with it.
    """

    code: str
    side: str
    detail: str = ""


@dataclass(frozen=True)
class Fact:
    """A value of the whole chart in both runs; None: not known."""

    name: str
    was: str | float | None
    now: str | float | None


@dataclass(frozen=True)
class Move:
    """
    Something about a term that is not the same in both runs.

    Attributes
    ----------
    kind : {"class", "subclass", "status", "absorbed", "data_class"}
        data_class: the class on the chart from the data alone.
    term, label : str
    was, now : str
        Names of groups, or codes.
    """

    kind: str
    term: str
    label: str
    was: str
    now: str


@dataclass(frozen=True)
class Pair:
    """Two neighbours on the ring by their names, and which run has them so."""

    tier: str
    one: str
    other: str
    side: str


@dataclass(frozen=True)
class ColourChange:
    """A colour of the chart that is not the same in both runs."""

    tier: str
    name: str
    was: str
    now: str


@dataclass(frozen=True)
class Renamed:
    """A group that stands for one of the other run and has another name there."""

    tier: str
    was: str
    now: str


@dataclass(frozen=True)
class Effects:
    """
    What the differences amount to for whoever reads the chart.

    Attributes
    ----------
    facts : tuple of Fact
        Those that differ.
    n_terms : int
        That both runs have.
    terms_was, terms_now : tuple of str
        Labels of terms that only the one or the other has.
    moves : tuple of Move
    renamed : tuple of Renamed
    n_neighbours_changed : int or None
        Terms of both rings whose two neighbours are not the same; None: a ring is not known.
    pairs : tuple of Pair
        Neighbours that only the one or the other has.
    colours : tuple of ColourChange
    unread : tuple of str
        Files, with their side, that could not be read.
    """

    facts: tuple[Fact, ...] = ()
    n_terms: int = 0
    terms_was: tuple[str, ...] = ()
    terms_now: tuple[str, ...] = ()
    moves: tuple[Move, ...] = ()
    renamed: tuple[Renamed, ...] = ()
    n_neighbours_changed: int | None = None
    pairs: tuple[Pair, ...] = ()
    colours: tuple[ColourChange, ...] = ()
    unread: tuple[str, ...] = ()

    def of_kind(self, kind: str) -> tuple[Move, ...]:
        """Return the moves of one kind."""
        return tuple(move for move in self.moves if move.kind == kind)


@dataclass(frozen=True)
class Comparison:
    """
    Two folders of results of one study, or of one pair of editions.

    Attributes
    ----------
    name : str
        The study, or `{older}--{newer}`.
    files : tuple of FileState
        Every file of either folder, by path.
    tables : tuple of TableDifference
    contents : tuple of ContentDifference
    traces : tuple of Trace
        One for each file that is not the same.
    changes : tuple of Change
        In what the two runs differ, whether or not a file comes from it.
    listed : frozenset of str
        The files that the first folder's manifest lists.
    effects : Effects or None
        None for a pair of editions.
    notes : tuple of Note
    surroundings : tuple of EntryDifference
        In what both runs say they were made on; it may name a machine, so no page shows it.
    """

    name: str
    files: tuple[FileState, ...]
    tables: tuple[TableDifference, ...] = ()
    contents: tuple[ContentDifference, ...] = ()
    traces: tuple[Trace, ...] = ()
    changes: tuple[Change, ...] = ()
    listed: frozenset[str] = frozenset()
    effects: Effects | None = None
    notes: tuple[Note, ...] = ()
    surroundings: tuple[EntryDifference, ...] = ()

    @property
    def different(self) -> tuple[FileState, ...]:
        """The files that are not the same."""
        return tuple(file for file in self.files if file.state != SAME)

    @property
    def same(self) -> bool:
        """Whether both folders are there and hold the same files."""
        return not self.different and all(note.code != NO_FOLDER for note in self.notes)

    @property
    def reproduced(self) -> bool:
        """
        Whether every file that the first folder's manifest lists is the same in the second.

        Without a manifest every file of either folder counts. The manifest itself names what the
        run was made with, so it may differ where no result does; a file that it does not list, such
        as one that somebody put beside the results, does not count either.
        """
        if not self.listed:
            return self.same
        same = {file.path for file in self.files if file.state == SAME}
        folders = all(note.code != NO_FOLDER for note in self.notes)
        return folders and self.listed <= same

    def number(self, state: str) -> int:
        """Return how many files are in a state."""
        return sum(file.state == state for file in self.files)

    def trace(self, path: str) -> Trace:
        """Return where the difference of a file comes from."""
        return next((trace for trace in self.traces if trace.path == path), Trace(path))

    def table(self, path: str) -> TableDifference | None:
        """Return how a table differs, None if the file is no table or not on both sides."""
        return next((table for table in self.tables if table.path == path), None)

    def content(self, path: str) -> ContentDifference | None:
        """Return how a record, tree, vocabulary or text differs, None if the file is none."""
        return next((content for content in self.contents if content.path == path), None)
