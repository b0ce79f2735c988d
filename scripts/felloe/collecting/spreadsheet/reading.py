"""A spreadsheet of a kit as it came back: what one person said, or what is wrong with the file."""

import re
import zipfile
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from felloe.collecting.identity import Identity
from felloe.collecting.returned import Returned
from felloe.collecting.spreadsheet.sheet_answers import picks_of, sort_of
from felloe.collecting.spreadsheet.sheet_rows import cards_of, report_disorder
from felloe.collecting.spreadsheet.sheet_said import FRESH, Sheet, begun
from felloe.errors import Fault
from felloe.ground.files.writing import UNDATED
from felloe.validation.intake.raw.spreadsheet import read_from

MODIFIED = re.compile(rb"<dcterms:modified[^>]*>([^<]{10,40})<")
CORE = "docProps/core.xml"


def read_spreadsheet(path: str | Path, file: str = "") -> tuple[list[Returned], list[Fault]]:
    """
    Read a spreadsheet that a person filled in.

    Parameters
    ----------
    path : str or Path
    file : str
        Its name in messages; the path where none is given.

    Returns
    -------
    returned : list of Returned
        One answer, or none. Whose it is is what the file says, and not yet held against any study.
    faults : list of Fault
        Errors, with which there is no answer; a file that nobody filled in, and words for a pile
        without cards, are warnings.
    """
    path, file = Path(path), file or str(path)
    found = read_from(path, file, lambda book: opened(book, path, file), FRESH)
    # whatever is wrong with the file: it is no table that could be saved in another form
    return ([], [replace(found, remedy=FRESH)]) if isinstance(found, Fault) else found


def identity_of(path: str | Path) -> Identity | None:
    """Return whose a spreadsheet is, whatever its answers are; None if nobody can tell."""
    path = Path(path)
    found = read_from(path, str(path), lambda book: begun(book, str(path)), FRESH)
    return found.identity if isinstance(found, Sheet) else None


def opened(book: Any, path: Path, file: str) -> tuple[list[Returned], list[Fault]]:
    """Return what a workbook that can be opened says."""
    sheet = begun(book, file)
    if isinstance(sheet, Fault):
        return [], [sheet]
    report_disorder(book, path, sheet)
    rows = cards_of(book, path, sheet, sheet.cards)
    if sheet.faults:
        return [], sheet.faults
    saved = saved_of(path)
    if sheet.identity.kind == "sort":
        answer = sort_of(sheet, book, rows, saved)
    else:
        answer = picks_of(sheet, rows, saved)
    errors = [fault for fault in sheet.faults if fault.severity == "error"]
    if not errors and saved == UNDATED and is_blank(answer):
        sheet.warn(0, "", "", "is as it was sent: nobody filled it in")
        return [], sheet.faults
    return ([] if errors else [answer]), sheet.faults


def is_blank(answer: Returned) -> bool:
    """Return whether a person said nothing."""
    return not (answer.piles or answer.unknown or answer.picks)


def saved_of(path: Path) -> datetime | None:
    """Return when a spreadsheet was saved, None where it does not tell."""
    with zipfile.ZipFile(path) as archive:
        if CORE not in archive.namelist():
            return None
        match = MODIFIED.search(archive.read(CORE))
    try:
        told = datetime.fromisoformat(match[1].decode().strip()) if match else None
    except ValueError:
        return None
    return told.replace(tzinfo=UTC) if told and told.tzinfo is None else told
