"""What may stand in a cell, and how a cell that may not is reported."""

import re
import unicodedata
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

import numpy as np

from felloe.errors import nearest
from felloe.ground.arrays import Array
from felloe.validation.intake.raw.characters import (
    IDENTIFIER,
    LONGEST_IDENTIFIER,
    hidden_character,
)
from felloe.validation.intake.raw.raw_table import Column, RawTable

Verdict = tuple[str, str] | None  # problem and remedy of a cell, or None
Judge = Callable[[str], Verdict]
NO_LABELS: Mapping[str, str] = {}

WHOLE_NUMBER = re.compile(r"(\d+)(?:\.0*)?")
NUMBER_OR_DATE = re.compile(
    r"[+-]?[\d.,]*\d[\d.,]*(e[+-]?\d+)?%?|\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}.*", re.IGNORECASE
)
PILE_WORD = re.compile(r"\w[\w .-]*")
MISSING_WORDS = {"na", "n.a.", "nan", "null", "none", "nil", "missing", "inf", "nat", "unplaced"}
FORMULA_START = ("=", "+", "-", "@")
MARKUP = re.compile(r"<[A-Za-z!/?]|&#?\w+;")
COMPARISONS = 200_000  # of words, in looking for what was meant; more would take minutes
OTHER_LINES = 5  # further lines named in one message


def judge_identifier(value: str) -> Verdict:
    """Return (problem, remedy) of an identifier, or None."""
    if not value:
        return "is empty where an identifier belongs", "Fill the cell in."
    if len(value) > LONGEST_IDENTIFIER:
        return f"is longer than {LONGEST_IDENTIFIER} characters", "Choose a shorter identifier."
    if not IDENTIFIER.fullmatch(value):
        plain = unicodedata.normalize("NFKD", value).encode("ascii", "ignore").decode().lower()
        plain = re.sub(r"[^a-z0-9_]+", "-", plain).strip("-_")
        hint = f" For example '{plain}'." if plain else ""
        problem = "is no identifier"
        return problem, f"Use small letters a-z, digits, - and _ only.{hint}"
    return None


def judge_person(value: str) -> Verdict:
    """Return (problem, remedy) of a participant's identifier; a name is no example of a code."""
    verdict = judge_identifier(value)
    if verdict is None or not value or len(value) > LONGEST_IDENTIFIER:
        return verdict
    remedy = "Use small letters a-z, digits, - and _ only: a code such as p07, never a name."
    return verdict[0], remedy


def judge_text(longest: int, needed: bool = False, lines: bool = False) -> Judge:
    """
    Return a judge of wording in any script.

    Parameters
    ----------
    longest : int
        Characters.
    needed : bool
        Whether the cell must be filled.
    lines : bool
        Whether it may have several lines.
    """
    allowed = "\n\r\t" if lines else ""

    def judge(value: str) -> Verdict:
        if needed and not value:
            return "is empty where wording belongs", "Fill the cell in."
        if len(value) > longest:
            return f"has {len(value)} characters, the most is {longest}", "Shorten it."
        problem = hidden_character(value, allowed)
        return (problem, "Write the cell anew without it.") if problem else None

    return judge


def judge_pile(value: str) -> Verdict:
    """Return (problem, remedy) of a pile, or None; an empty pile is a term that was not placed."""
    if not value or WHOLE_NUMBER.fullmatch(value):
        return None
    if len(value) > LONGEST_IDENTIFIER:
        problem = f"is no pile: it has {len(value)} characters"
        return problem, "Number the piles 1, 2, 3 ...; nothing else belongs here."
    if value.casefold() in MISSING_WORDS:
        problem = "reads like a missing value, not like a pile"
        return problem, "Leave the cell empty where the term was not placed."
    if NUMBER_OR_DATE.fullmatch(value):
        problem = "is a number or date but no whole number"
        return problem, "Number the piles 1, 2, 3 ...; leave the cell empty for 'not placed'."
    if not PILE_WORD.fullmatch(value):
        problem = "is no pile: a whole number, or a short word of letters and digits"
        return (
            problem,
            "Number the piles 1, 2, 3 ...; nothing else belongs here, no formula either.",
        )
    return None


def judge_whole_number(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is empty or a whole number from 1."""
    if not value:
        return None
    match = WHOLE_NUMBER.fullmatch(value)
    if not match or not value.isascii() or not 1 <= int(match[1][:12]) <= 1_000_000:
        return "is no whole number from 1", "Write 1, 2, 3 ... or leave the cell empty."
    return None


def plain_pile(value: str) -> str:
    """Return a pile as it is compared: whole numbers without leading zeros or decimals."""
    match = WHOLE_NUMBER.fullmatch(value)
    return str(int(match[1])) if match and len(value) <= LONGEST_IDENTIFIER else value


def report(table: RawTable, name: str, judge: Judge) -> set[int]:
    """
    Report every value of a column that the judge refuses.

    Parameters
    ----------
    table : RawTable
    name : str
    judge : Judge

    Returns
    -------
    set of int
        The refused codes.
    """
    column = table[name]
    refused = {}
    for code in np.unique(column.codes).tolist():
        verdict = judge(column.values[code])
        if verdict:
            refused[code] = verdict
    for code, found in grouped_rows(column, refused).items():
        rows = [row for row in found if (int(table.lines[row]), name) not in table.told]
        if not rows:
            continue
        problem, remedy = refused[code]
        lines = table.lines[rows]
        if column.numeric is not None and column.numeric[rows[0]]:
            problem += "; the spreadsheet holds a number there"
            remedy += " Format the column as text."
        table.fault(lines[0], name, column.values[code], problem + also(lines[1:]), remedy)
    return set(refused)


def grouped_rows(column: Column, codes: Collection[int]) -> dict[int, list[int]]:
    """Return the rows of each of the codes."""
    groups: dict[int, list[int]] = {}
    rows = column.rows_of(codes)
    for row, code in zip(rows.tolist(), column.codes[rows].tolist(), strict=True):
        groups.setdefault(code, []).append(row)
    return groups


def also(lines: Array) -> str:
    """Name further lines of the same fault."""
    if not len(lines):
        return ""
    named = ", ".join(str(line) for line in lines[:OTHER_LINES])
    more = f" and {len(lines) - OTHER_LINES} more" if len(lines) > OTHER_LINES else ""
    return f" (also on line {named}{more})"


def report_repeated(table: RawTable, names: Sequence[str], what: str) -> None:
    """Report rows that repeat an earlier row's cells in all of the columns `names`."""
    seen: dict[tuple[str, ...], int] = {}
    keys = zip(*(table[name].texts() for name in names), strict=True)
    for key, line in zip(keys, table.lines.tolist(), strict=True):
        if key in seen:
            problem = f"{what} stands twice (first on line {seen[key]})"
            table.fault(line, names[0], key[0], problem, "Keep one of the two rows.")
        else:
            seen[key] = line


def has_columns(
    table: RawTable,
    required: Sequence[str],
    optional: Sequence[str] = (),
    others: Collection[str] = (),
) -> bool:
    """
    Report columns that are missing, misspelt or not read.

    Parameters
    ----------
    table : RawTable
    required, optional : sequence of str
    others : sequence of str
        Further columns that may be there.

    Returns
    -------
    bool
        Whether all the required ones are there.
    """
    if not table.columns or table.unnamed:
        return False  # reported where the table was read
    unknown = [name for name in table.columns if name not in {*required, *optional, *others}]
    taken, line = set(), table.header_line
    for name in [*required, *optional]:
        if name in table:
            continue
        close = nearest(name, unknown) or next((u for u in unknown if u.lower() == name), None)
        if close:
            taken.add(close)
            remedy = f"Did you mean '{name}'? Rename the column."
            table.fault(line, close, close, f"is no column of {table.file}", remedy)
        elif name in required:
            remedy = f"Its columns are: {', '.join(required)}."
            table.fault(line, name, "", "the column is missing", remedy)
    for name in unknown:
        if name not in taken:
            table.note(line, name, "this column is not read")
    return all(name in table for name in required)


def note_dangerous(table: RawTable, name: str) -> None:
    """Warn of wording that a spreadsheet or a browser would run if it were not made safe."""
    column = table[name]
    formulas = [i for i, text in enumerate(column.values) if text.startswith(FORMULA_START)]
    markup = [i for i, text in enumerate(column.values) if MARKUP.search(text)]
    for codes, words in (
        (formulas, "starts like a formula; results are written so that no spreadsheet runs it"),
        (markup, "holds markup; it is shown as plain text"),
    ):
        for code, rows in grouped_rows(column, codes).items():
            value = column.values[code][:60]
            table.note(table.lines[rows[0]], name, f"{value!r} {words}", "warning")


def unknown_id(
    known: Collection[str] | None, what: str, remedy: str, labels: Mapping[str, str] = NO_LABELS
) -> Judge:
    """Return a judge of identifiers; they must be among the known ones, if these are known."""
    if known is None:
        return judge_identifier
    known_set, guess = set(known), guesser(known)
    called = {label.casefold(): name for name, label in labels.items()}

    def judge(value: str) -> Verdict:
        if value in known_set:
            return None
        close = called.get(value.casefold()) or guess(value)
        if close:
            return f"unknown {what}", f"Did you mean '{close}'?"
        return judge_identifier(value) or (f"unknown {what}", remedy)

    return judge


def guesser(known: Iterable[str]) -> Callable[[str], str | None]:
    """Return a function that finds the identifier that was meant, as long as that is quick."""
    words = list(known)
    left = [COMPARISONS // max(len(words), 1)]

    def guess(value: str) -> str | None:
        left[0] -= 1
        if left[0] < 0 or len(value) > LONGEST_IDENTIFIER:
            return None
        return nearest(value, words) or nearest(value.casefold(), words)

    return guess
