"""A ballot that was filled in, `ballot.xlsx`: read back as decisions and names."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from felloe.errors import Fault
from felloe.validation.ballot_form import (
    ABOUT,
    BALLOT,
    CHOICES,
    COLUMNS,
    FORMAT,
    HEAD,
    HIDDEN,
    MADE_FROM,
    SHEET,
    Origin,
)
from felloe.validation.intake.ballots.ballot_rows import FILE, FRESH, Ballot, Reader
from felloe.validation.intake.lexicon.vocabulary import check_said, one_of
from felloe.validation.intake.raw.cells import has_columns, judge_text, note_dangerous, report
from felloe.validation.intake.raw.characters import cleaned
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.intake.raw.spreadsheet import (
    pairs,
    plain_text,
    read_from,
    report_layout,
    table_of,
)
from felloe.validation.settings import Limits

MOST_PAIRS = 200  # rows of the sheet `about` that are looked at
MOST_CHOICES = 5_000  # cells of a row of the sheet of choices that are looked at


def read_ballot(
    path: str | Path, study: str, edition: str, terms: Collection[str], limits: Limits
) -> Ballot:
    """
    Read a ballot and check it row by row.

    Parameters
    ----------
    path : str or Path
    study : str
        Its name in the settings; empty where it is not known.
    edition : str
    terms : collection of str
    limits : Limits

    Returns
    -------
    Ballot
    """
    found = read_from(
        Path(path), BALLOT,
        lambda book: opened(book, Path(path), study, edition, terms, limits),
        "Save it anew as .xlsx.",
    )  # fmt: skip
    if isinstance(found, Fault):
        return refused(BALLOT, found.problem, f"{found.remedy} {FRESH}")
    return found


def refused(
    file: str, problem: str, remedy: str = FRESH, column: str = "", value: str = ""
) -> Ballot:
    """Return a ballot that is refused as a whole."""
    return Ballot(faults=[Fault(file, 0, column, value, problem, remedy)])


def opened(
    book: Any, path: Path, study: str, edition: str, terms: Collection[str], limits: Limits
) -> Ballot:
    """Return what a workbook that can be opened says."""
    there = {name: book[name] for name in (SHEET, ABOUT, CHOICES) if name in book.sheetnames}
    for name in (SHEET, ABOUT, CHOICES):
        if name not in there or not hasattr(there[name], "iter_rows"):
            return refused(BALLOT, f"is no ballot: it has no sheet '{name}'")
        there[name].reset_dimensions()
    said = dict(pairs(there[ABOUT], MOST_PAIRS))
    if complaint := foreign(said, study, edition):
        return complaint
    heads = {said[HEAD + name]: name for name in COLUMNS if HEAD + name in said}
    days = [head for head, name in heads.items() if name == "decided_on"]
    table = table_of(there[SHEET], FILE, dates=("decided_on", *days))
    call_columns(table, heads)
    if there[SHEET].sheet_state != "visible":
        table.fault(0, "", SHEET, "the sheet is hidden", "Show it.")
    report_layout(path, there[SHEET], table, may_hide=HIDDEN)
    origin = Origin(*(said.get(name, "") for name in MADE_FROM[1:]))
    return checked(table, origin, lists(there[CHOICES]), terms, limits)


def call_columns(table: RawTable, heads: Mapping[str, str]) -> None:
    """Give columns that are headed in the words of a language their own names."""
    if set(COLUMNS) <= set(table.columns):
        return  # the heads are names already
    table.columns = {
        heads.get(head, head): replace(column, name=heads.get(head, head))
        for head, column in table.columns.items()
    }
    table.faults = [
        replace(one, column=heads.get(str(one.column), one.column)) for one in table.faults
    ]


def lists(sheet: Any) -> dict[str, list[str]]:
    """Return the choices of every question, by its number."""
    found = {}
    for row in sheet.iter_rows(max_col=MOST_CHOICES, values_only=True):
        cells = [cleaned(plain_text(cell)) for cell in row if cell is not None]
        if cells:
            found[cells[0]] = cells[1:]
    return found


def foreign(said: Mapping[str, str], study: str, edition: str) -> Ballot | None:
    """Return the refusal of a ballot of something else, or None."""
    file = f"{BALLOT}, sheet '{ABOUT}'"
    if said.get("format") != FORMAT:
        problem = f"is no format that is read: '{FORMAT}' is"
        return refused(file, problem, FRESH, "format", said.get("format", ""))
    for what, own in (("study", study), ("edition", edition)):
        if own and said.get(what) != own:
            named = said.get(what) or "?"
            problem = f"this is the ballot of another {what}: {what} is '{own}' here"
            return refused(file, problem, FRESH, what, named)
    return None


def checked(
    table: RawTable,
    origin: Origin,
    choices: Mapping[str, list[str]],
    terms: Collection[str],
    limits: Limits,
) -> Ballot:
    """Return what the rows of a ballot say, with all that is wrong with them."""
    found = Ballot(sorts=origin.sorts)
    if has_columns(table, COLUMNS) and not table.faults:
        check_said(table, limits)
        report(table, "name", judge_text(limits.longest_label))
        note_dangerous(table, "name")
        report(table, "absorbs", one_of("yes", "no", ""))
        reader = Reader(table, origin, choices, terms, found)
        columns = [table[name].texts() for name in COLUMNS]
        for line, cells in zip(table.lines.tolist(), zip(*columns, strict=True), strict=True):
            reader.row(line, dict(zip(COLUMNS, cells, strict=True)))
        if origin.chart:
            table.note(0, "", f"made from the chart {origin.chart[:12]}; {reader.told()}")
    found.faults, found.notes = table.faults, table.notes
    if found.faults:
        return Ballot(faults=found.faults, notes=found.notes)
    return found
