"""Whose spreadsheet it is, and what it says of itself."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from felloe.collecting.identity import Identity, Kind
from felloe.collecting.spreadsheet.form import FORM, HEAD, IDENTITY, MINUTES, whole_check
from felloe.errors import Fault
from felloe.validation.intake.raw.spreadsheet import pairs

MOST_PAIRS = 2_000  # rows of a sheet in which it may stand whose file it is
FRESH = "Ask for the file anew: it is to be filled in as it was sent, and nothing else changed."
UNDO = "Undo it, or ask for the file anew; only the coloured cells are to be filled in."


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


def kind_of(said: Mapping[str, str]) -> Kind | None:
    """Return what a file asks for, None where it does not tell."""
    kinds: tuple[Kind, ...] = ("sort", "colours")
    return next((kind for kind in kinds if said.get("kind") == kind), None)


def said_of(book: Any) -> dict[str, str] | None:
    """Return what a file says of itself, or None where it says nothing."""
    for sheet in book.worksheets:
        if not hasattr(sheet, "iter_rows"):
            continue
        sheet.reset_dimensions()
        found: dict[str, str] = {}
        above: dict[str, str] = {}  # what is told to people, and the minutes that they note
        for name, text in pairs(sheet, MOST_PAIRS):
            if name == "form":
                above, found = {**above, **found}, {}
            found.setdefault(name, text)
        if found.get("form", "").startswith("felloe-sheet"):
            noted = above.get(found.get(HEAD + MINUTES, ""), "")
            return {**found, MINUTES: noted}
    return None
