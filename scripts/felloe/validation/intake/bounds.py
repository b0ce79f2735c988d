"""How large somebody else's file may be: what is larger is refused before it is read."""

import re
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from felloe.validation.intake.raw.characters import cleaned

MEGABYTE = 1 << 20
LARGEST_FILE = 256 * MEGABYTE  # sorts of ten thousand people and a thousand terms have some 200
LARGEST_HEADER = MEGABYTE  # bytes of the line; a thousand ids of 64 characters have 65 thousand
MOST_COLUMNS = 2_000  # a study has a thousand terms at most, and a wide table a column for each
MOST_ROWS = 1 << 20  # of a sheet; no spreadsheet program has more
MOST_CELLS = 20_000_000  # of a sheet, empty ones in between included; more takes minutes
MOST_PARTS = 1_000  # files within a spreadsheet; one with a few sheets has some twenty
LARGEST_WORDS = 32 * MEGABYTE  # of the wordings that all sheets share
LARGEST_PART = 8 * MEGABYTE  # of what is neither a sheet nor its wordings: styles, lists of parts
# 300,000 rows of a sort, or of equal cells, pack 1:14; what means harm packs up to 1:1032
LARGEST_RATIO = 200
WINDOW = MEGABYTE  # bytes scanned at a time
DECLARED = re.compile(rb"<!DOCTYPE|<!ENTITY|<\0!\0[DE]")  # UTF-16 has NULs in between
AS_CSV = "Save the sheet as CSV in UTF-8."
BELOW = "Delete the rows below the table, or save the sheet as CSV in UTF-8."
RIGHT = "Delete the columns to the right of the table, or those that are not read."


class TooLarge(Exception):
    """A file goes past a bound; the arguments are the problem and what to do."""


def check_size(path: Path) -> None:
    """Refuse a file that is too large to be read at all."""
    size = path.stat().st_size
    if size > LARGEST_FILE:
        problem = f"has {in_megabytes(size)}, the most is {in_megabytes(LARGEST_FILE)}"
        raise TooLarge(problem, "Is it the right file? Leave out columns that are not read.")


def check_header_line(data: bytes) -> None:
    """Refuse a text whose first line is too long for a header."""
    start = data[: LARGEST_HEADER + 4].lstrip(b"\xef\xbb\xbf\r\n")
    if len(start) > LARGEST_HEADER and not re.search(rb"[\r\n]", start):
        problem = f"the first line has more than {in_megabytes(LARGEST_HEADER)}"
        raise TooLarge(problem, "Write one row a line; the first holds the columns' names.")


def check_width(row: Sequence[str]) -> None:
    """Refuse a header of too many columns; empty ones at its end do not count."""
    if len(row) <= MOST_COLUMNS:
        return
    width = len(row)
    while width and not cleaned(row[width - 1]):
        width -= 1
    if width > MOST_COLUMNS:
        raise TooLarge(f"has {width:,} columns, the most is {MOST_COLUMNS:,}", RIGHT)


def check_archive(path: Path) -> None:
    """Refuse a spreadsheet that unpacks to too much, or whose parts declare what grows."""
    check_size(path)
    with zipfile.ZipFile(path) as archive:
        parts = archive.infolist()
        if len(parts) > MOST_PARTS:
            problem = f"has {len(parts):,} parts, the most is {MOST_PARTS:,}"
            raise TooLarge(problem, AS_CSV)
        whole = sum(part.file_size for part in parts)
        if whole > LARGEST_FILE:
            problem = f"unpacks to {in_megabytes(whole)}, the most is {in_megabytes(LARGEST_FILE)}"
            raise TooLarge(problem, AS_CSV)
        for part in parts:
            check_part(part)
        for part in parts:
            if part.filename.endswith((".xml", ".rels")):
                check_declarations(archive, part)


def check_part(part: zipfile.ZipInfo) -> None:
    """Refuse a part of a spreadsheet that unpacks to more than one of its kind may."""
    name, size = part.filename, part.file_size
    most = LARGEST_PART
    if name.startswith("xl/worksheets/") or not name.endswith((".xml", ".rels")):
        most = LARGEST_FILE
    elif name == "xl/sharedStrings.xml":
        most = LARGEST_WORDS
    if size > most:
        problem = f"its part {name} unpacks to {in_megabytes(size)}, the most is "
        raise TooLarge(problem + in_megabytes(most), AS_CSV)
    if size > MEGABYTE and size > LARGEST_RATIO * max(part.compress_size, 1):
        problem = f"its part {name} unpacks to more than {LARGEST_RATIO} times its size"
        raise TooLarge(problem, AS_CSV)


def check_declarations(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> None:
    """Refuse a part that declares entities: no spreadsheet does, and they grow without end."""
    tail = b""
    with archive.open(part) as stream:
        while block := stream.read(WINDOW):
            if DECLARED.search(tail + block):
                problem = f"can't be opened as a spreadsheet: its part {part.filename} declares"
                raise TooLarge(f"{problem} entities", "Save it anew as .xlsx, or as CSV in UTF-8.")
            tail = block[-32:]


def bounded_rows(rows: Iterable[Sequence[Any]]) -> Iterator[Sequence[Any]]:
    """Yield the rows of a sheet, and refuse to go on where there are too many cells."""
    cells = 0
    for line, row in enumerate(rows, 1):
        cells += len(row)
        if line > MOST_ROWS:
            raise TooLarge(f"the sheet has more than {MOST_ROWS:,} rows", BELOW)
        if cells > MOST_CELLS:
            raise TooLarge(f"the sheet has more than {MOST_CELLS:,} cells", RIGHT)
        yield row


def in_megabytes(size: int) -> str:
    """Return a size as it is told, in whole megabytes."""
    return f"{-(-size // MEGABYTE):,} MB"
