"""The files of a study's folder: which are known, and their tables as they stand."""

import re
from collections.abc import Collection, Sequence
from pathlib import Path

from felloe.errors import Fault, nearest
from felloe.validation.ballot_form import BALLOT
from felloe.validation.intake.lexicon.crosswalk_rows import COLUMNS as CROSSWALK_COLUMNS
from felloe.validation.intake.lexicon.crosswalk_rows import CROSSWALK
from felloe.validation.intake.lexicon.languages import LABELS_FILE
from felloe.validation.intake.lexicon.left_out import COLUMNS as LEFT_OUT_COLUMNS
from felloe.validation.intake.lexicon.left_out import LEFT_OUT, without_terms
from felloe.validation.intake.lexicon.named_piles import COLUMNS, PILE_WORDS
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.intake.raw.spreadsheet import read_xlsx
from felloe.validation.intake.sorts.parts import DESIGN
from felloe.validation.intake.study_file import NAME
from felloe.validation.protocol_record import PROTOCOL

EXPECTED = {
    "terms.csv": ("term", "label", "definition"),
    LEFT_OUT: LEFT_OUT_COLUMNS,
    "participants.csv": ("participant", "population", "minutes"),
    "sorts.csv": ("participant", "term", "pile", "position"),
    DESIGN: ("participant", "term", "position"),
    "names.csv": ("tier", "anchor", "name", "absorbs"),
    "decisions.csv": ("term", "beside", "reason", "decided_on"),
    "colours.csv": ("term", "respondent", "colour"),
    "labels.csv": ("id", "tier", "language", "label"),
    CROSSWALK: CROSSWALK_COLUMNS,
    PILE_WORDS: COLUMNS,
}
SPREADSHEETS = {  # what a table may be instead; the first sheet is read
    name: name.replace(".csv", ".xlsx")
    for name in (
        "sorts.csv",
        DESIGN,
        "names.csv",
        "decisions.csv",
        "colours.csv",
        LABELS_FILE,
        CROSSWALK,
    )
}
LISTS_OF_TERMS = ("terms.csv", LEFT_OUT)
UNSHEETED = set(EXPECTED) - set(SPREADSHEETS)
FONTS = (".ttf", ".ttc", ".otf")  # read if the settings name them
BEFORE = re.compile(r"invitations\.csv|consent(\.[\w-]+)?\.md")  # read before there are sorts
KNOWN_FILES = (NAME, *EXPECTED, *SPREADSHEETS.values(), PROTOCOL, BALLOT)


def forms_of(name: str) -> tuple[str, ...]:
    """Return the files that a table may be."""
    return tuple(dict.fromkeys((name, SPREADSHEETS.get(name, name))))


def in_any_form(name: str, there: Collection[str]) -> bool:
    """Tell whether a file of a study stands there, be it as a spreadsheet."""
    return not {name, *forms_of(Path(name).with_suffix(".csv").name)}.isdisjoint(there)


def read_table(path: Path, file: str, expected: Sequence[str]) -> RawTable:
    """Read a table in either form; see `read_csv` and `read_xlsx`."""
    return read_xlsx(path, file) if path.suffix == ".xlsx" else read_csv(path, file, expected)


class FolderReader:
    """
    Reads the tables of one folder and gathers faults and notes on the way.

    Attributes
    ----------
    folder : Path
    faults, notes : list of Fault
    left_out : frozenset of str
        Terms that are not analysed: no table but the lists of terms has a row of them.
    instead : dict of str to str
        Files that the settings name in place of tables.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.instead: dict[str, str] = {}
        self.faults: list[Fault] = []
        self.notes: list[Fault] = []
        self.left_out: frozenset[str] = frozenset()

    def fault(self, file: str, problem: str, remedy: str) -> None:
        """Remember a fault of a whole file."""
        self.faults.append(Fault(file, problem=problem, remedy=remedy))

    def gather(self, table: RawTable) -> None:
        """Take over what a table's checks found."""
        self.faults.extend(table.faults)
        self.notes.extend(table.notes)

    def note_other_files(self) -> None:
        """Report files that were probably meant to be one of the known ones, note the others."""
        there = sorted(path.name for path in self.folder.iterdir() if path.is_file())
        named = set(self.instead.values())
        unread = {form for name in self.instead for form in forms_of(name)} - named
        for name in there:
            if name in unread:
                problem = "this file is not read: the settings name another"
                self.notes.append(Fault(name, problem=problem, severity="note"))
                continue
            if name in KNOWN_FILES or name.startswith((".", "~$")) or name.lower() == "readme.md":
                continue
            if name in named or name.lower().endswith(FONTS) or BEFORE.fullmatch(name):
                continue
            table = f"{Path(name).stem.lower()}.csv"
            if Path(name).suffix.lower() == ".xlsx" and table in UNSHEETED and table not in there:
                self.fault(name, "is not read as a spreadsheet", f"Save its sheet as {table}.")
                continue
            close = nearest(name.lower(), KNOWN_FILES)
            if (
                close
                and not in_any_form(close, there)
                and Path(name).suffix.lower() == Path(close).suffix
            ):
                remedy = f"Did you mean '{close}'? Rename it"
                if name.startswith(Path(CROSSWALK).stem):
                    remedy += ", or name it under `crosswalks` in the settings"
                self.fault(name, "is no file of a study", f"{remedy}.")
            else:
                self.notes.append(Fault(name, problem="this file is not read", severity="note"))

    def table(self, name: str) -> RawTable | None:
        """Return a table of the folder without terms that are left out; see `whole_table`."""
        table = self.whole_table(name)
        if table is None or not self.left_out or name in LISTS_OF_TERMS:
            return table
        return without_terms(table, self.left_out)

    def table_if_any(self, name: str) -> RawTable | None:
        """Return a table that may be missing, which is no fault; see `table`."""
        forms = (self.instead[name],) if name in self.instead else forms_of(name)
        return self.table(name) if any((self.folder / each).exists() for each in forms) else None

    def whole_table(self, name: str, expected: Sequence[str] | None = None) -> RawTable | None:
        """Return a table of the folder, or None if it is not there, or there twice."""
        sheet = self.sheet_instead(name)
        path = sheet or self.folder / self.instead.get(name, name)
        if sheet is not None and name not in self.instead and (self.folder / name).exists():
            self.fault(sheet.name, f"stands beside {name}", "Keep one of the two files.")
            return None
        if path.exists() and not path.is_file():
            self.fault(path.name, "is no file", "Put a file of this name in its place.")
            return None
        if sheet is not None:
            return read_xlsx(sheet, sheet.name)
        if not path.is_file():
            columns = ", ".join(EXPECTED[name])
            self.fault(name, "the file is missing", f"Write it; its columns are: {columns}.")
            return None
        try:
            return read_csv(path, path.name, expected or EXPECTED[name])
        except OSError as error:
            self.fault(name, f"can't be read ({error.strerror})", "Check who may read the file.")
            return None

    def sheet_instead(self, name: str) -> Path | None:
        """Return the spreadsheet that stands in place of a table, if there is one."""
        sheet = self.folder / self.instead.get(name, SPREADSHEETS.get(name, name))
        return sheet if sheet.suffix == ".xlsx" and sheet.exists() else None

    def sorts_name(self) -> str:
        """Return the name of the file that holds the sorts."""
        sheet = self.sheet_instead("sorts.csv")
        return sheet.name if sheet else "sorts.csv"
