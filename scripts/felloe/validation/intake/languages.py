"""The languages of a study, read at a glance: the plan of a run has to know them."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from felloe.ground.language_tags import canonical_tag
from felloe.validation.intake.bounds import (
    bounded_rows,
    check_archive,
    check_header_line,
    check_size,
    check_width,
)
from felloe.validation.intake.characters import cleaned

LABELS_FILE = "labels.csv"
LABELS_SHEET = "labels.xlsx"
COLUMN = "language"


def languages_of(folder: str | Path, own: str) -> list[str]:
    """
    Return the further languages of a study.

    Parameters
    ----------
    folder : str or Path
        Of the study.
    own : str
        Tag of the study's own language.

    Returns
    -------
    list of str
        Tags as the standard writes them, sorted; none where the file is missing, too large, faulty
        in its form or in a tag: the check of the study says so, by the same bounds, and nothing is
        made before it passes.
    """
    text, sheet = (Path(folder) / name for name in (LABELS_FILE, LABELS_SHEET))
    try:
        if text.is_file() == sheet.is_file():
            return []
        given = set(_of_sheet(sheet) if sheet.is_file() else _of_text(text))
    # a reader of spreadsheets has errors of a dozen kinds
    except Exception:
        return []
    tags = {canonical_tag(language) for language in given}
    found = {tag for tag in tags if tag is not None}
    return sorted(found - {own}) if len(found) == len(tags) else []


def _of_text(path: Path) -> list[str]:
    """Return the cells of the column in a CSV file."""
    check_size(path)
    data = path.read_bytes()
    check_header_line(data)
    for separator in (",", ";"):
        # a line ends where the check ends it: not at every sign that may part lines on a screen
        stream = io.TextIOWrapper(io.BytesIO(data), encoding="utf-8-sig", newline="")
        cells = list(_cells(csv.reader(stream, delimiter=separator, strict=True)))
        if cells:
            return cells
    return []


def _of_sheet(path: Path) -> list[str]:
    """Return the cells of the column in the first sheet of a spreadsheet."""
    from openpyxl import load_workbook

    check_archive(path)
    workbook = load_workbook(path, read_only=True, keep_links=False)
    try:
        sheet = workbook.worksheets[0]
        sheet.reset_dimensions()
        rows = bounded_rows(sheet.iter_rows(values_only=True))
        return list(_cells(_texts(row) for row in rows))
    finally:
        workbook.close()


def _texts(row: Sequence[Any]) -> list[str]:
    """Return the cells of a spreadsheet's row as text."""
    return [str(cell or "") for cell in row]


def _cells(rows: Iterable[list[str]]) -> Iterator[str]:
    """Yield the filled cells under the name of the column; rows above the header are blank."""
    place = None
    for row in rows:
        texts = [cleaned(text) for text in row]
        if place is None and any(texts):
            check_width(row)
            if COLUMN not in texts:
                return
            place = texts.index(COLUMN)
        elif place is not None and place < len(texts) and texts[place]:
            yield texts[place]
