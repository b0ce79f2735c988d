"""The rows of a ballot that was filled in: what each says, and what is wrong with it."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from felloe.errors import Fault, nearest
from felloe.ground.files.tables import Row
from felloe.validation.ballot_form import (
    ANSWERED,
    BALLOT,
    BESIDE,
    DROP,
    KINDS,
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
from felloe.validation.intake.raw.cells import unknown_id
from felloe.validation.intake.raw.raw_table import RawTable

FILE = f"{BALLOT}, sheet '{SHEET}'"
FRESH = "Fill in the `report/ballot.xlsx` of this study's results, or take the file out."
FILLED = ANSWERED[1:]  # beside the choice


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
        kind = "term" if cells["kind"] == "sensitive" else cells["kind"]
        key = (kind, cells["tier"], cells["subject"])
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
