"""What one person said in the cells of a spreadsheet: piles with their words, or colours."""

import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from felloe.collecting.pile_names import UNKNOWN, called, unclear
from felloe.collecting.returned import LONGEST_WORDS, Pile, Returned
from felloe.collecting.spreadsheet.colour_cells import colour_of
from felloe.collecting.spreadsheet.form import HEAD, MINUTES, SHEET
from felloe.collecting.spreadsheet.sheet_rows import Row, table_with, text_at
from felloe.collecting.spreadsheet.sheet_said import UNDO, Sheet
from felloe.errors import shortened
from felloe.ground.files.writing import UNDATED
from felloe.validation.intake.raw.cells import (
    MISSING_WORDS,
    NUMBER_OR_DATE,
    WHOLE_NUMBER,
    judge_text,
)
from felloe.validation.intake.raw.characters import cleaned, hidden_character
from felloe.validation.intake.sorts.people import PLAIN_NUMBER

MARKS = {"x", "×", "✓", "✔", "✗", "1", "?", "yes"}
NOT_MARKED = {"", "no", "0"}
BREAKS = re.compile(r"\s*(?:\r|\n|_x000D_)+\s*")
DASHES = {"-", "–", "—", "/"}


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
    if len(text) > LONGEST_WORDS:
        return f"has {len(text)} characters, the most is {LONGEST_WORDS}", "Number the piles."
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
        if verdict := judge_text(LONGEST_WORDS)(words):
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
