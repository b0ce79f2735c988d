"""A ballot that was filled in, `ballot.xlsx`: read back as decisions and names."""

import warnings
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from felloe.errors import Fault, nearest
from felloe.ground.files.tables import Row
from felloe.validation.ballot_form import (
    ABOUT,
    ANSWERED,
    BALLOT,
    BESIDE,
    CHOICES,
    COLUMNS,
    DROP,
    FORMAT,
    HEAD,
    HIDDEN,
    KINDS,
    MADE_FROM,
    MOVES,
    OPEN,
    OTHER,
    PROPOSED,
    SAID,
    SHEET,
    STAY,
    Origin,
    read_choice,
    row_check,
    writes_nothing,
)
from felloe.validation.intake.bounds import TooLarge, check_archive
from felloe.validation.intake.cells import (
    has_columns,
    judge_text,
    note_dangerous,
    report,
    unknown_id,
)
from felloe.validation.intake.characters import cleaned
from felloe.validation.intake.raw_table import RawTable
from felloe.validation.intake.spreadsheet import plain_text, report_layout, table_of
from felloe.validation.intake.vocabulary import check_said, one_of
from felloe.validation.settings import Limits

FILE = f"{BALLOT}, sheet '{SHEET}'"
FRESH = "Fill in the `report/ballot.xlsx` of this study's results, or take the file out."
FILLED = ANSWERED[1:]  # beside the choice
MOST_CHOICES = 5_000  # cells of a row of the sheet of choices that are looked at


@dataclass
class Ballot:
    """
    What a ballot says.

    Attributes
    ----------
    decisions, names : list of dict
        As rows of `decisions.csv` and `names.csv`, each with its `line`.
    drops : list of (str, str, int)
        Term, beside and line of decisions that are taken back.
    successors : dict of str to str
        What a name could hang on instead of a term that is moved, as a cell.
    leaving : set of str
        Terms that a choice moves into another class.
    sorts : str
        Hash of the sorts that the ballot was made from; empty where it could not be read.
    faults, notes : list of Fault
    """

    decisions: list[Row] = field(default_factory=list)
    names: list[Row] = field(default_factory=list)
    drops: list[tuple[str, str, int]] = field(default_factory=list)
    successors: dict[str, str] = field(default_factory=dict)
    leaving: set[str] = field(default_factory=set)
    sorts: str = ""
    faults: list[Fault] = field(default_factory=list)
    notes: list[Fault] = field(default_factory=list)


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
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of decorations that are not read anyway
        try:
            check_archive(Path(path))
            return opened(Path(path), study, edition, terms, limits)
        except TooLarge as error:
            problem, remedy = error.args
        # the reader's own errors are of a dozen kinds: any of them means an unreadable file
        except Exception:
            problem, remedy = "can't be opened as a spreadsheet", "Save it anew as .xlsx."
    return refused(BALLOT, problem, f"{remedy} {FRESH}")


def refused(
    file: str, problem: str, remedy: str = FRESH, column: str = "", value: str = ""
) -> Ballot:
    """Return a ballot that is refused as a whole."""
    return Ballot(faults=[Fault(file, 0, column, value, problem, remedy)])


def opened(path: Path, study: str, edition: str, terms: Collection[str], limits: Limits) -> Ballot:
    """Return what a workbook that can be opened says."""
    from openpyxl import load_workbook

    book = load_workbook(path, read_only=True, data_only=False, keep_links=False)
    try:
        there = {name: book[name] for name in (SHEET, ABOUT, CHOICES) if name in book.sheetnames}
        for name in (SHEET, ABOUT, CHOICES):
            if name not in there or not hasattr(there[name], "iter_rows"):
                return refused(BALLOT, f"is no ballot: it has no sheet '{name}'")
            there[name].reset_dimensions()
        said = dict(pairs(there[ABOUT]))
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
    finally:
        book.close()


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


def pairs(sheet: Any) -> Iterable[tuple[str, str]]:
    """Yield what the sheet `about` says, by what stands before it."""
    for at, row in enumerate(sheet.iter_rows(max_col=2, values_only=True)):
        if at < 200 and len(row) > 1 and row[0] is not None and row[1] is not None:
            yield cleaned(plain_text(row[0])), cleaned(plain_text(row[1]))


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


class Reader:
    """Reads a ballot row by row into what it says."""

    def __init__(
        self,
        table: RawTable,
        origin: Origin,
        choices: Mapping[str, list[str]],
        terms: Collection[str],
        found: Ballot,
    ) -> None:
        self.table, self.origin, self.choices, self.found = table, origin, choices, found
        self.judge = unknown_id(terms, "term", "Leave the row's choice empty.")
        self.chosen: dict[tuple[str, ...], int] = {}
        self.left_open = 0

    def told(self) -> str:
        """Say how much was read."""
        return (
            f"{len(self.found.decisions)} decision(s), {len(self.found.names)} name(s) and "
            f"{len(self.found.drops)} withdrawal(s) were read, {self.left_open} question(s) are "
            "left open"
        )

    def fault(self, line: int, column: str, value: str, problem: str, remedy: str) -> None:
        """Report something that is wrong with a cell."""
        self.table.fault(line, column, value, problem, remedy)

    def row(self, line: int, cells: Row) -> None:
        """Read a row."""
        code, term = self.choice(line, cells)
        if code in ("", OPEN):
            self.left_open += code == OPEN or not any(cells[name] for name in FILLED)
            return
        if not self.whole(line, cells, code, term):
            return
        for column, value in (("subject", cells["subject"]), ("choice", term)):
            verdict = self.judge(value) if value else None
            if verdict:
                self.fault(line, column, value, *verdict)
                return
        self.take(line, cells, code, term)

    def choice(self, line: int, cells: Row) -> tuple[str, str]:
        """Return the code and the term of a row's choice; two empty texts where there is none."""
        text = cells["choice"]
        if not text:
            filled = next((name for name in FILLED if cells[name]), "")
            if filled:
                problem = "the row is filled in and its choice is empty"
                remedy = "Choose from the list ('open' leaves it open), or empty the row."
                self.fault(line, "choice", "", f"{problem}: see '{filled}'", remedy)
            return "", ""
        listed = self.choices.get(cells["number"], [])
        if self.is_changed(cells, listed):
            problem = "cells that the ballot came with were changed in this row or its list"
            self.fault(line, "check", cells["check"], problem, FRESH)
            return "", ""
        known = {read_choice(one): one for one in listed}
        found = read_choice(text)
        bare = found is not None and " | " not in text
        if found is None or found not in known or not (bare or text == known[found]):
            close = nearest(text, listed)
            hint = f" Did you mean {close[:80]!r}?" if close else ""
            self.fault(line, "choice", text, "is not in the row's list", f"Choose from it.{hint}")
            return "", ""
        return found

    def is_changed(self, cells: Row, listed: list[str]) -> bool:
        """Tell whether a row is not as the ballot came."""
        known = cells["kind"] in KINDS
        return not known or cells["check"] != row_check(self.origin, cells, listed)

    def whole(self, line: int, cells: Row, code: str, term: str) -> bool:
        """Report what a choice lacks, or has too much."""
        before = len(self.table.faults)
        written = not writes_nothing(code, term, cells["kind"])
        if written and not cells["reason"]:
            remedy = "Write why, so that a reader can judge it."
            self.fault(line, "reason", "", "the choice has no reason", remedy)
        if written and not cells["decided_on"]:
            remedy = "Write the day, for example 2026-03-27."
            self.fault(line, "decided_on", "", "the choice has no day", remedy)
        if cells["kind"] != "name":
            for column in ("name", "absorbs"):
                if cells[column]:
                    problem = "belongs to questions about names alone"
                    self.fault(line, column, cells[column], problem, "Empty the cell.")
        elif code == OTHER and not cells["name"]:
            self.fault(line, "name", "", "another name was chosen and none is given", "Write it.")
        elif code == PROPOSED and cells["name"] not in ("", cells["proposal"]):
            problem = f"the choice keeps the proposal '{cells['proposal']}'"
            remedy = "Choose 'other', or empty the cell."
            self.fault(line, "name", cells["name"], problem, remedy)
        if cells["alone"] == "yes" and cells["absorbs"] == "yes":
            problem = "the group has this term alone, which would leave the outer ring empty"
            self.fault(line, "absorbs", "yes", problem, "Write 'no'.")
        key = (cells["kind"] if cells["kind"] in ("void", "class", "name") else "term",
               cells["tier"], cells["subject"])  # fmt: skip
        first = self.chosen.setdefault(key, line)
        if first != line:
            problem = f"the same is decided twice (first on line {first})"
            self.fault(line, "choice", cells["subject"], problem, "Keep one of the two rows.")
        return len(self.table.faults) == before

    def take(self, line: int, cells: Row, code: str, term: str) -> None:
        """Take over what a whole row says."""
        said = {name: cells[name] for name in SAID}
        subject = cells["subject"]
        if code in MOVES or (code == STAY and term):
            row = {"term": subject, "beside": term, **said, "line": line, "stays": code == STAY}
            self.found.decisions.append(row)
            if code in MOVES:
                self.found.successors[subject] = cells["stands_in"]
            if code == BESIDE:
                self.found.leaving.add(subject)
        elif code == DROP:
            self.found.drops.append((subject, term, line))
        elif code in (PROPOSED, OTHER):
            name = cells["name"] or cells["proposal"]
            absorbs = cells["absorbs"] or "no"
            row = {"tier": cells["tier"], "anchor": term, "name": name, "absorbs": absorbs}
            self.found.names.append({**row, **said, "line": line})
        else:
            problem = f"'{subject}' is left as it is; nothing follows from it"
            self.table.note(line, "choice", problem, value=subject)
