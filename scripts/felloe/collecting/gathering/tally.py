"""Tally tables: what people wrote on paper, typed by whoever runs the study."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from felloe.collecting.gathering.expected import Expected
from felloe.collecting.identity import CODE_LENGTH, Identity
from felloe.collecting.pile_names import UNKNOWN, called, unclear
from felloe.collecting.returned import Pile, Returned
from felloe.errors import Fault
from felloe.validation.intake.raw.cells import (
    Judge,
    Verdict,
    has_columns,
    judge_person,
    judge_pile,
    judge_text,
    judge_whole_number,
    plain_pile,
    report,
)
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.intake.sorts.people import judge_minutes

COLUMNS = ("study", "participant", "terms", "card", "pile")
OPTIONAL = ("words", "saved", "minutes")
CODE = re.compile(rf"[0-9a-f]{{{CODE_LENGTH}}}")
SAVED = re.compile(r"\d{4}-\d{2}-\d{2}([T ]\d{2}:\d{2}(:\d{2})?(Z|[+-]\d{2}:\d{2})?)?", re.ASCII)


@dataclass
class Sheet:
    """
    One person's rows of a tally table.

    Attributes
    ----------
    line : int
        Of the first row.
    study, terms : str
    cards : dict of int to str
        Pile by number of the card; `UNKNOWN` where the word is not known.
    words : dict of str to str
        By pile.
    saved, minutes : str
    """

    line: int
    study: str
    terms: str
    cards: dict[int, str] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)
    saved: str = ""
    minutes: str = ""


def read_tally(path: Path, shown: str, expected: Expected) -> tuple[list[Returned], list[Fault]]:
    """
    Read a tally table.

    Parameters
    ----------
    path : Path
    shown : str
        Its name in messages.
    expected : Expected
        What was asked of whom: cards are numbered in the order in which a person was shown them.

    Returns
    -------
    returned : list of Returned
        One for every person in it.
    faults : list of Fault
        With their lines. Cards without a row are no fault: they are not placed.
    """
    table = read_csv(path, shown, (*COLUMNS, *OPTIONAL))
    if not has_columns(table, COLUMNS, OPTIONAL):
        return [], table.faults
    report(table, "study", of_study(expected.study))
    report(table, "participant", invited(expected))
    report(table, "terms", judge_code)
    report(table, "card", needed(judge_whole_number))
    report(table, "pile", judge_tallied_pile)
    if "words" in table:
        report(table, "words", judge_text(expected.limits.longest_text))
    if "saved" in table:
        report(table, "saved", judge_saved)
    if "minutes" in table:
        report(table, "minutes", judge_minutes)
    if table.faults:
        return [], table.faults
    notes = [note for note in table.notes if note.column]  # columns that are not read
    sheets = sheets_of(table)
    returned = [
        returned_of(person, sheet, table, expected) for person, sheet in sorted(sheets.items())
    ]
    return ([] if table.faults else returned), [*table.faults, *notes]


def of_study(study: str) -> Judge:
    """Return a judge of the study that a row is of."""
    remedy = f"Rows of '{study}' alone are gathered here: take the others out."
    return lambda value: None if value == study else ("is another study", remedy)


def invited(expected: Expected) -> Judge:
    """Return a judge of participants; nobody guesses who was meant."""

    def judge(value: str) -> Verdict:
        if expected.has_withdrawn(value):
            return "is somebody who withdrew", "Delete these rows."
        if value in expected.people:
            return None
        remedy = "Add the participant to invitations.csv, or delete these rows."
        return judge_person(value) or ("unknown participant", remedy)

    return judge


def judge_code(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is the short form of a hash."""
    if CODE.fullmatch(value.casefold()):
        return None
    return "is no code of a lexicon", f"Type the {CODE_LENGTH} signs that the tally sheet shows."


def needed(judge: Judge) -> Judge:
    """Return a judge that refuses an empty cell too."""
    return lambda value: judge(value) if value else ("is empty", "Fill the cell in.")


def judge_tallied_pile(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is a pile, empty, or says that nobody knows."""
    return None if value == UNKNOWN else judge_pile(value) or unclear(value)


def judge_saved(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is empty, a day or a time."""
    if not value or when(value):
        return None
    return "is neither a day nor a time", "Write 2026-03-27, or 2026-03-27 14:30."


def when(value: str) -> datetime | None:
    """Return a day or time; without a zone it is that of UTC."""
    if not SAVED.fullmatch(value):
        return None
    try:
        found = datetime.fromisoformat(value)
    except ValueError:
        return None
    return found if found.tzinfo else found.replace(tzinfo=UTC)


def sheets_of(table: RawTable) -> dict[str, Sheet]:
    """Return everybody's rows together; what does not fit is reported."""
    sheets: dict[str, Sheet] = {}
    empty = [""] * len(table)
    columns = [table[name].texts() if name in table else empty for name in (*COLUMNS, *OPTIONAL)]
    for line, row in zip(table.lines.tolist(), zip(*columns, strict=True), strict=True):
        study, person, terms, card, pile, words, saved, minutes = row
        sheet = sheets.setdefault(person, Sheet(line, study, terms.casefold(), saved=saved))
        if (study, terms.casefold()) != (sheet.study, sheet.terms):
            problem = f"participant '{person}' has another study or lexicon on line {sheet.line}"
            table.fault(line, "study", study, problem, "One person's rows are of one sheet.")
        for name, told, before in (
            ("saved", saved, sheet.saved),
            ("minutes", minutes, sheet.minutes),
        ):
            if told and before and told != before:
                problem = f"participant '{person}' has another time on an earlier line"
                table.fault(line, name, told, problem, "Write one time for one sheet.")
        sheet.saved, sheet.minutes = sheet.saved or saved, sheet.minutes or minutes
        add_card(table, line, person, sheet, (card, pile, words))
    return sheets


def add_card(
    table: RawTable, line: int, person: str, sheet: Sheet, cells: tuple[str, str, str]
) -> None:
    """Take one row over, or report why it can't be."""
    card, pile, words = int(plain_pile(cells[0])), called(cells[1]) or UNKNOWN, cells[2]
    if card in sheet.cards:
        problem = f"participant '{person}' has card {card} twice"
        table.fault(line, "card", cells[0], problem, "Keep one of the two rows.")
        return
    sheet.cards[card] = pile
    other = next((name for name in sheet.cards.values() if name.casefold() == pile.casefold()), "")
    if other != pile:
        problem = f"participant '{person}' has piles {other!r} and {pile!r}"
        table.fault(line, "pile", pile, problem, "Write one pile in one way.")
    if not words:
        return
    if pile == UNKNOWN:
        problem = f"participant '{person}' has words for a card that lies in no pile"
        table.fault(line, "words", words, problem, "Write them beside a card of the pile.")
    elif sheet.words.setdefault(pile, words) != words:
        problem = f"participant '{person}' has other words for pile {pile} on an earlier line"
        table.fault(line, "words", words, problem, "Write a pile's words once.")


def returned_of(person: str, sheet: Sheet, table: RawTable, expected: Expected) -> Returned:
    """Return one person's answer; cards that they were not given are reported."""
    shown = expected.shown.get(person, {})
    terms = {place: term for term, place in shown.items() if place}
    if len(terms) < len(shown):
        problem = f"design.csv does not say in which order '{person}' was given the cards"
        table.fault(sheet.line, "card", "", problem, "Write its column `position`.")
    known = expected.sha256.startswith(sheet.terms)
    sha256 = expected.sha256 if known else sheet.terms
    if known and terms:
        for card in sorted(set(sheet.cards) - set(terms)):
            problem = f"participant '{person}' was given {len(terms)} cards, none with this number"
            table.fault(sheet.line, "card", str(card), problem, "Look at the sheet again.")
    piles: dict[str, list[str]] = {}
    for card, pile in sorted(sheet.cards.items()):
        piles.setdefault(pile, []).append(terms.get(card, ""))
    unknown = piles.pop(UNKNOWN, [])
    return Returned(
        source=f"{table.file} ({person})",
        identity=Identity("sort", sheet.study, expected.edition, person, sha256),
        saved=when(sheet.saved),
        piles=tuple(Pile(tuple(own), sheet.words.get(pile, "")) for pile, own in piles.items()),
        unknown=tuple(unknown),
        unplaced=tuple(left(terms.values(), {*terms_at(sheet.cards, terms)})),
        minutes=float(sheet.minutes) if sheet.minutes else None,
    )


def terms_at(cards: Iterable[int], terms: dict[int, str]) -> Iterable[str]:
    """Return the terms on some cards."""
    return (terms[card] for card in cards if card in terms)


def left(terms: Iterable[str], told: set[str]) -> list[str]:
    """Return the terms of which nothing is told, sorted."""
    return sorted(set(terms) - told)
