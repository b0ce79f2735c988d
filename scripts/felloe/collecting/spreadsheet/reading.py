"""A spreadsheet of a kit as it came back: what one person said, or what is wrong with the file."""

import re
import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

from felloe.collecting.identity import Identity, Kind
from felloe.collecting.pile_names import called, unclear
from felloe.collecting.returned import Pile, Returned
from felloe.collecting.spreadsheet.colour_cells import colour_of
from felloe.collecting.spreadsheet.form import (
    COLUMNS,
    FORM,
    HEAD,
    IDENTITY,
    MINUTES,
    OWN,
    SHEET,
    UNKNOWN,
    row_check,
    whole_check,
)
from felloe.errors import Fault, shortened
from felloe.ground.files.writing import UNDATED
from felloe.validation.intake.bounds import bounded_rows
from felloe.validation.intake.cells import (
    MISSING_WORDS,
    NUMBER_OR_DATE,
    WHOLE_NUMBER,
    judge_text,
)
from felloe.validation.intake.characters import IDENTIFIER, cleaned, hidden_character
from felloe.validation.intake.people import PLAIN_NUMBER
from felloe.validation.intake.spreadsheet import plain_text, read_from, text_of

MOST_PAIRS = 2_000  # rows of a sheet in which it may stand whose file it is
MOST_ABOVE = 12  # rows in which the head is looked for
LONGEST = 200  # characters of a pile's number or words
NAMED = 5
FRESH = "Ask for the file anew: it is to be filled in as it was sent, and nothing else changed."
UNDO = "Undo it, or ask for the file anew; only the coloured cells are to be filled in."
MARKS = {"x", "×", "✓", "✔", "✗", "1", "?", "yes"}
NOT_MARKED = {"", "no", "0"}
BREAKS = re.compile(r"\s*(?:\r|\n|_x000D_)+\s*")
DASHES = {"-", "–", "—", "/"}
MODIFIED = re.compile(rb"<dcterms:modified[^>]*>([^<]{10,40})<")
CORE = "docProps/core.xml"
ROW = re.compile(rb"""<(?:\w+:)?row\b[^>]*?\br=["'](\d{1,9})["']""")
MERGED = re.compile(rb"""<(?:\w+:)?mergeCell\b[^>]*\bref=["'][A-Z]+(\d+):[A-Z]+(\d+)["']""")
Row = dict[str, Any]  # cells by name of the column
# a sheet, the texts of its head, the line of it, and the rows below with their lines
Table = tuple[Any, list[str], int, list[tuple[int, Sequence[Any]]]]


@dataclass
class Sheet:
    """
    One spreadsheet on its way to an answer.

    Attributes
    ----------
    file : str
        Its name in messages.
    said : dict of str to str
        What the file says of itself.
    identity : Identity
    faults : list of Fault
    """

    file: str
    said: Mapping[str, str]
    identity: Identity
    faults: list[Fault] = field(default_factory=list)

    @property
    def cards(self) -> int:
        """How many cards there were."""
        count = self.said.get("cards", "")
        return int(count) if re.fullmatch(r"[0-9]{1,5}", count) else 0

    def fault(self, line: int, column: str, value: str, problem: str, remedy: str) -> None:
        """Remember something that is wrong."""
        self.faults.append(Fault(self.file, line, column, value, problem, remedy))

    def warn(self, line: int, column: str, value: str, problem: str) -> None:
        """Remember something that has to be said, and keeps nothing from being read."""
        fault = Fault(self.file, line, column, value, problem, severity="warning")
        self.faults.append(fault)

    def head(self, name: str) -> str:
        """Return what stands above a column."""
        return self.said.get(HEAD + name, name)


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


def begun(book: Any, file: str) -> Sheet | Fault:
    """Return whose file a workbook that can be opened is, or why that cannot be told."""
    said = said_of(book)
    if said is None or said.get("form") != FORM:
        problem = "is no spreadsheet of a kit, or not of this form"
        return Fault(file, value=(said or {}).get("form", ""), problem=problem, remedy=FRESH)
    kind = kind_of(said)
    if kind is None or any(not said.get(name) for name in IDENTITY):
        return Fault(file, problem="does not say whose it is any more", remedy=FRESH)
    identity = Identity(kind, *(said[name] for name in IDENTITY[1:]))
    sheet = Sheet(file, said, identity)
    if said.get("check") != whole_check(said):
        problem = "what it says of itself (study, edition, participant, heads ...) was changed"
        return Fault(file, value=identity.participant, problem=problem, remedy=FRESH)
    return sheet


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


def kind_of(said: Mapping[str, str]) -> Kind | None:
    """Return what a file asks for, None where it does not tell."""
    kinds: tuple[Kind, ...] = ("sort", "colours")
    return next((kind for kind in kinds if said.get("kind") == kind), None)


def is_blank(answer: Returned) -> bool:
    """Return whether a person said nothing."""
    return not (answer.piles or answer.unknown or answer.picks)


def said_of(book: Any) -> dict[str, str] | None:
    """Return what a file says of itself, or None where it says nothing."""
    for sheet in book.worksheets:
        if not hasattr(sheet, "iter_rows"):
            continue
        sheet.reset_dimensions()
        found: dict[str, str] = {}
        above: dict[str, str] = {}  # what is told to people, and the minutes that they note
        for row in sheet.iter_rows(max_row=MOST_PAIRS, max_col=2, values_only=True):
            if len(row) > 1 and row[0] is not None and row[1] is not None:
                name = cleaned(plain_text(row[0]))
                if name == "form":
                    above, found = {**above, **found}, {}
                found.setdefault(name, cleaned(plain_text(row[1])))
        if found.get("form", "").startswith("felloe-sheet"):
            noted = above.get(found.get(HEAD + MINUTES, ""), "")
            return {**found, MINUTES: noted}
    return None


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


def report_disorder(book: Any, path: Path, sheet: Sheet) -> None:
    """Report sheets whose rows are out of order: no program writes so, and some would be lost."""
    with zipfile.ZipFile(path) as archive:
        for page in book.worksheets:
            if hasattr(page, "iter_rows"):
                rows = [int(row) for row in ROW.findall(archive.read(page._worksheet_path))]
                if any(after <= row for row, after in pairwise(rows)):
                    sheet.fault(0, "", page.title, "rows of this sheet are out of order", FRESH)


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


def sort_of(sheet: Sheet, book: Any, rows: Sequence[Row], saved: datetime | None) -> Returned:
    """Return the piles of a person."""
    piles: dict[str, list[str]] = {}
    labels: dict[str, str] = {}
    unknown, unplaced = [], []
    for row in rows:
        pile, mark = pile_at(sheet, row), is_marked(sheet, row)
        if pile and mark:
            problem = "has both a pile and the mark that the word is not known"
            sheet.fault(row["line"], sheet.head("pile"), pile, problem, "Keep one of the two.")
        if mark:
            unknown.append(row["id"])
        elif pile:
            piles.setdefault(pile.casefold(), []).append(row["id"])
            labels.setdefault(pile.casefold(), pile)
        else:
            unplaced.append(row["id"])
    told = pile_words(sheet, book, piles)
    # a pile that was called by a word has been named already
    named = {key: "" if re.fullmatch(r"\d+|\w", label) else label for key, label in labels.items()}
    found = tuple(Pile(tuple(own), told.get(key) or named[key]) for key, own in piles.items())
    answer = Returned(
        sheet.file, sheet.identity, told_time(saved), found, tuple(unknown), tuple(unplaced),
        minutes_of(sheet),
    )  # fmt: skip
    return answer


def told_time(saved: datetime | None) -> datetime | None:
    """Return when a file was saved; the day that a kit is issued with is none."""
    return None if saved == UNDATED else saved


def pile_at(sheet: Sheet, row: Row) -> str:
    """Return the pile of a card, empty where there is none, `?` where the word is not known."""
    text = called(text_at(sheet, row, "pile"))
    if verdict := judged_pile(text):
        sheet.fault(row["line"], sheet.head("pile"), text, *verdict)
        return ""
    return "" if text == UNKNOWN else text


def judged_pile(text: str) -> tuple[str, str] | None:
    """Return (problem, remedy) of what stands for a pile: a number, or some word."""
    if not text or text == UNKNOWN or WHOLE_NUMBER.fullmatch(text):
        return None
    if text.casefold() in MISSING_WORDS or text in DASHES:
        return "reads like a missing value, not like a pile", "Empty the cell."
    if NUMBER_OR_DATE.fullmatch(text):
        problem = "is a number or date but no whole number"
        return problem, "Write the number of one pile: 1, 2, 3 ..."
    if verdict := unclear(text):
        return verdict
    if len(text) > LONGEST:
        return f"has {len(text)} characters, the most is {LONGEST}", "Number the piles."
    problem = hidden_character(text)
    return (problem, "Type the cell anew.") if problem else None


def is_marked(sheet: Sheet, row: Row) -> bool:
    """Return whether a card is marked as a word that is not known."""
    text = text_at(sheet, row, "unknown").casefold()
    marks = {*MARKS, sheet.said.get(f"{HEAD}mark", "x").casefold()}
    if text not in marks and text not in NOT_MARKED:
        problem, remedy = "is no mark", "Write x if the word is not known, else empty the cell."
        sheet.fault(row["line"], sheet.head("unknown"), text, problem, remedy)
    return text in marks or cleaned(str(getattr(row.get("pile"), "value", ""))) == UNKNOWN


def pile_words(sheet: Sheet, book: Any, piles: Mapping[str, Sequence[str]]) -> dict[str, str]:
    """Return what piles are in a person's words, by the pile."""
    table = table_with(book, sheet, "piles", [sheet.head("pile"), sheet.head("words")])
    if table is None:
        problem = "the sheet on which piles are named, or a column of it, is not there any more"
        sheet.fault(0, "", sheet.said.get(f"{SHEET}piles", ""), problem, UNDO)
        return {}
    _, head, _, found = table
    places = {each: head.index(sheet.head(each)) for each in ("pile", "words")}
    told: dict[str, str] = {}
    for line, cells in found:
        row: Row = {"line": line}
        row |= {each: cells[at] for each, at in places.items() if at < len(cells)}
        words = BREAKS.sub("; ", text_at(sheet, row, "words"))  # each line is a word of its own
        if not words:
            continue
        pile = called(text_at(sheet, row, "pile"))
        if verdict := judge_text(LONGEST)(words):
            sheet.fault(line, sheet.head("words"), words, *verdict)
        elif pile.casefold() in told:
            remedy = "Keep one row for the pile."
            sheet.fault(line, sheet.head("pile"), pile, "has words twice", remedy)
        elif pile.casefold() not in piles:
            problem = f"has words ({shortened(words, 40)!r}) and no card; they are not counted"
            sheet.warn(line, sheet.head("pile"), pile, problem)
        else:
            told[pile.casefold()] = words
    return told


def minutes_of(sheet: Sheet) -> float | None:
    """Return the minutes that a person noted."""
    text = sheet.said[MINUTES].replace(",", ".")
    if not text:
        return None
    if not (text.isascii() and PLAIN_NUMBER.fullmatch(text)):
        problem, remedy = "is no number of minutes", "Write a number, or leave it empty."
        sheet.fault(0, sheet.head(MINUTES), text, problem, remedy)
        return None
    return float(text)


def picks_of(sheet: Sheet, rows: Sequence[Row], saved: datetime | None) -> Returned:
    """Return the colours that a person picked."""
    picks, unplaced = {}, []
    for row in rows:
        cell = row.get("colour")
        colour = colour_of(cell, text_at(sheet, row, "colour")) if cell is not None else ""
        if isinstance(colour, tuple):
            shown = str(getattr(cell, "value", None) or "")
            sheet.fault(row["line"], sheet.head("colour"), shown, *colour)
        elif colour:
            picks[row["id"]] = colour
        else:
            unplaced.append(row["id"])
    return Returned(
        sheet.file, sheet.identity, told_time(saved), unplaced=tuple(unplaced), picks=picks
    )
