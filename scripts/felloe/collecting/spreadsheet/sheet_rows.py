"""The rows of a spreadsheet's sheets: found by their heads, the fixed cells as they were made."""

import re
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

from felloe.collecting.spreadsheet.form import COLUMNS, HEAD, OWN, SHEET, row_check
from felloe.collecting.spreadsheet.sheet_said import FRESH, UNDO, Sheet
from felloe.validation.intake.bounds import bounded_rows
from felloe.validation.intake.raw.characters import IDENTIFIER, cleaned
from felloe.validation.intake.raw.spreadsheet import plain_text, text_of

MOST_ABOVE = 12  # rows in which the head is looked for
NAMED = 5
ROW = re.compile(rb"""<(?:\w+:)?row\b[^>]*?\br=["'](\d{1,9})["']""")
MERGED = re.compile(rb"""<(?:\w+:)?mergeCell\b[^>]*\bref=["'][A-Z]+(\d+):[A-Z]+(\d+)["']""")
Row = dict[str, Any]  # cells by name of the column
# a sheet, the texts of its head, the line of it, and the rows below with their lines
Table = tuple[Any, list[str], int, list[tuple[int, Sequence[Any]]]]


def report_disorder(book: Any, path: Path, sheet: Sheet) -> None:
    """Report sheets whose rows are out of order: no program writes so, and some would be lost."""
    with zipfile.ZipFile(path) as archive:
        for page in book.worksheets:
            if hasattr(page, "iter_rows"):
                rows = [int(row) for row in ROW.findall(archive.read(page._worksheet_path))]
                if any(after <= row for row, after in pairwise(rows)):
                    sheet.fault(0, "", page.title, "rows of this sheet are out of order", FRESH)


def cards_of(book: Any, path: Path, sheet: Sheet, count: int) -> list[Row]:
    """Return the rows of the cards in the order of their numbers, each as it was made."""
    table = table_with(book, sheet, "cards", [sheet.head(name) for name in OWN])
    if table is None:
        problem = "the sheet of the cards, the line above them, or a column is not there any more"
        sheet.fault(0, "", sheet.said.get(f"{SHEET}cards", ""), problem, UNDO)
        return []
    page, head, first, found = table
    names = [each for each in COLUMNS[sheet.identity.kind] if HEAD + each in sheet.said]
    places = {each: head.index(sheet.head(each)) for each in names if sheet.head(each) in head}
    for each in names:
        if each not in places:
            sheet.fault(first, sheet.head(each), "", "the column is not there any more", UNDO)
    for start, end in merged(path, page):
        if end > first:
            problem = "merged cells"
            sheet.fault(max(start, first + 1), "", "", problem, "Fill in every cell for itself.")
    if sheet.faults:
        return []
    rows_found = [
        {"line": line, **{each: row[at] for each, at in places.items() if at < len(row)}}
        for line, row in found
    ]
    return checked(sheet, rows_found, count)


def table_with(book: Any, sheet: Sheet, name: str, needed: Sequence[str]) -> Table | None:
    """Return the sheet with such heads, whatever it is called now, with its head and rows."""
    pages = [page for page in book.worksheets if hasattr(page, "iter_rows")]
    found = [(page, *rows) for page in pages if (rows := rows_of(page, needed))]
    if len(found) > 1:
        titles = ", ".join(repr(page.title) for page, *_ in found)
        problem = f"has {len(found)} sheets with the same heads: {titles}"
        remedy = "Ask which one is meant, and delete the others."
        sheet.fault(0, "", sheet.said.get(SHEET + name, ""), problem, remedy)
    return found[0] if found else None


def rows_of(
    page: Any, needed: Sequence[str]
) -> tuple[list[str], int, list[tuple[int, Sequence[Any]]]] | None:
    """Return the head of a sheet, its line, and the rows below; None where there is no head."""
    page.reset_dimensions()
    head: list[str] = []
    first = 0
    found = []
    for line, row in enumerate(bounded_rows(page.iter_rows()), 1):
        if not first:
            texts = [cleaned(plain_text(cell.value)) for cell in row if cell.value is not None]
            if set(needed) <= set(texts):
                head = [cleaned(plain_text(cell.value or "")) for cell in row]
                first = line
            elif line == MOST_ABOVE:
                return None
        elif any(cell.value is not None for cell in row):
            found.append((line, row))
    return (head, first, found) if first else None


def merged(path: Path, page: Any) -> Iterator[tuple[int, int]]:
    """Yield the first and the last row of every block of merged cells."""
    with zipfile.ZipFile(path) as archive:
        for match in MERGED.finditer(archive.read(page._worksheet_path)):
            yield int(match[1]), int(match[2])


def checked(sheet: Sheet, rows: Iterable[Row], count: int) -> list[Row]:
    """Return the rows whose fixed cells are as they were made; all must be there once."""
    numbers: dict[int, Row] = {}
    for row in rows:
        texts = {name: text_at(sheet, row, name) for name in ("number", "word", *OWN)}
        number = int(texts["number"]) if re.fullmatch(r"[0-9]{1,5}", texts["number"]) else 0
        whole = row_check(sheet.identity, number, texts["term"], texts["word"])
        if texts["check"] != whole or not IDENTIFIER.fullmatch(texts["term"]):
            problem = "number or word of this row are not what they were"
            sheet.fault(row["line"], sheet.head("word"), texts["word"], problem, UNDO)
        elif number in numbers:
            problem = f"card {number} stands twice (first on line {numbers[number]['line']})"
            sheet.fault(row["line"], sheet.head("number"), str(number), problem, UNDO)
        else:
            numbers[number] = {**row, "id": texts["term"]}
    lacking = sorted(set(range(1, count + 1)) - set(numbers))
    if lacking and not sheet.faults:
        told = ", ".join(map(str, lacking[:NAMED])) + (" ..." if len(lacking) > NAMED else "")
        problem = f"rows were deleted: cards {told} are not there"
        sheet.fault(0, "", "", problem, UNDO)
    return [numbers[number] for number in sorted(numbers)]


def text_at(sheet: Sheet, row: Row, name: str) -> str:
    """Return the text of a cell; what is neither text nor number is reported."""
    cell = row.get(name)
    if cell is None:
        return ""
    text = text_of(cell, row["line"], sheet.head(name), sheet.file, sheet.faults, {})
    return cleaned(text)
