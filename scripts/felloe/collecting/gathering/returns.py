"""The files in `returns/`: each read by the reader of its kind."""

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from felloe.collecting.gathering.expected import Expected
from felloe.collecting.gathering.tally import read_tally
from felloe.collecting.returned import Returned
from felloe.errors import Fault

RETURNS = "returns"
TALLY = "tally"  # a table of this name, or one that begins so
OTHER_KINDS = {
    ".ods": " Save it as .xlsx.",
    ".xls": " Save it as .xlsx.",
    ".numbers": " Save it as .xlsx.",
    ".eml": " Save what is attached to it, or its text as .txt.",
    ".msg": " Save what is attached to it, or its text as .txt.",
    ".html": " It is a page to sort on: what it saves is a .json file.",
    ".csv": f" A table typed from paper is called {TALLY}.csv, or begins so.",
}
LARGEST_TEXT = 8 << 20  # bytes; a thousand terms have some 60 thousand
NOT_READ = "files of this kind are not read."
NO_FILE = "is no file but a link that leads to none; it is not read. Put the files here themselves."
Read = tuple[list[Returned], list[Fault]]
Reader = Callable[[Path, str, Expected], Read]


@dataclass(frozen=True)
class Opened:
    """
    What lies in `returns/`.

    Attributes
    ----------
    returned : dict of Path to list of Returned
        By file, in the order of their names.
    faults : list of Fault
        Errors alone.
    remarks : list of str
        Files that were not read, and what a reader noted.
    """

    returned: dict[Path, list[Returned]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def read_returns(folder: Path, expected: Expected) -> Opened:
    """
    Read all returns of a study.

    Parameters
    ----------
    folder : Path
        The study's.
    expected : Expected
    """
    opened = Opened()
    for path in passed_over(folder / RETURNS):
        opened.remarks.append(f"{path}: {NO_FILE}")
    opened.faults.extend(closed(folder / RETURNS))
    for path in files_in(folder / RETURNS):
        shown, reader = str(path), reader_of(path)
        if reader is None:
            cure = OTHER_KINDS.get(path.suffix.casefold(), "")
            opened.remarks.append(f"{shown}: {NOT_READ}{cure}")
            continue
        try:
            returned, faults = reader(path, shown, expected)
        except OSError as error:
            problem = f"can't be read ({error.strerror})"
            returned, faults = [], [Fault(shown, problem=problem, remedy="Check who may read it.")]
        opened.returned[path] = returned
        opened.faults.extend(fault for fault in faults if fault.severity == "error")
        opened.remarks.extend(str(fault) for fault in faults if fault.severity != "error")
    return opened


def files_in(folder: Path, hidden: bool = False) -> list[Path]:
    """Return the files of a folder and its sub-folders by name; with `hidden` really all."""
    found = []
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder).parts
        if path.is_file() and (hidden or not any(map(is_hidden, inside))):
            found.append(path)
    return found


def passed_over(folder: Path) -> Iterator[Path]:
    """Yield what looks like a return, and is a link to a folder or to nothing."""
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder).parts
        if path.is_symlink() and not path.is_file() and not any(map(is_hidden, inside)):
            yield path


def closed(folder: Path) -> Iterator[Fault]:
    """Tell sub-folders that may not be looked into: returns in them would be missing unsaid."""
    for path in sorted(folder.rglob("*")):
        if path.is_dir() and not path.is_symlink() and not os.access(path, os.R_OK | os.X_OK):
            problem = "can't be looked into"
            yield Fault(str(path), problem=problem, remedy="Check who may read it.")


def is_hidden(name: str) -> bool:
    """Return whether a file or folder is one that programs keep for themselves."""
    return name.startswith((".", "~$"))


def reader_of(path: Path) -> Reader | None:
    """Return what reads a file of this name; None if nothing does."""
    name, suffix = path.name.casefold(), path.suffix.casefold()
    if suffix == ".csv" and name.startswith(TALLY):
        return read_tally
    return {".xlsx": from_spreadsheet, ".json": from_text, ".txt": from_text}.get(suffix)


def from_spreadsheet(path: Path, shown: str, _: Expected | None) -> Read:
    """Read a spreadsheet of the kit."""
    from felloe.collecting.spreadsheet.reading import read_spreadsheet

    return read_spreadsheet(path, shown)


def from_text(path: Path, shown: str, _: Expected | None) -> Read:
    """Read what the page saved, or a text that was copied from it, a whole mail even."""
    from felloe.collecting.page.reading import read_return

    if path.stat().st_size > LARGEST_TEXT:
        problem = "is too large for what a page saves"
        return [], [Fault(shown, problem=problem, remedy="Is it the right file?")]
    returned, faults = read_return(path.read_bytes(), shown)
    return ([returned] if returned else []), faults
