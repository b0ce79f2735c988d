"""A study as it is planned: what there is of it, and the terms that everybody would be shown."""

import os
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path

from felloe.allocation.allocating import for_everybody, shown_to_each
from felloe.allocation.design_file import design_of, read_issued
from felloe.allocation.people_files import nobody_named, read_people
from felloe.errors import Fault, StudyError
from felloe.ground.arrays import Ints
from felloe.ground.randomness import Streams
from felloe.launching.study_so_far import data_of, read_terms
from felloe.settings_merged import Settings
from felloe.validation.intake.folder import SPREADSHEETS
from felloe.validation.intake.lexicon.left_out import ids_of, read_left_out
from felloe.validation.intake.sorts.parts import DESIGN
from felloe.validation.intake.study_file import NAME, read_study_file
from felloe.validation.settings import Limits


@dataclass(frozen=True)
class Planned:
    """
    A study before its data, or with some.

    Attributes
    ----------
    study : str
        Its name in the settings.
    folder : Path
    settings : dict
    populations : dict of str to str
        Id to label, those without people too.
    terms : list of str
        Sorted.
    people : dict of str to str
        Population of each participant, sorted; empty where there is no list of people yet.
    issued : dict of str to array of int
        Places of the terms of those who stand in `design.csv`.
    whole : Path or None
        The sorts, where there are some and no design: everybody was shown every term.
    given : dict of str to array of int
        Places of the terms that everybody else would be shown.
    found : bytes or None
        The design as it was read; None where there is none.
    """

    study: str
    folder: Path
    settings: Settings
    populations: dict[str, str]
    terms: list[str]
    people: dict[str, str]
    issued: dict[str, Ints]
    whole: Path | None
    given: dict[str, Ints]
    found: bytes | None

    @property
    def design(self) -> Path:
        """Where the design stands, or would."""
        return design_of(self.folder)

    @property
    def streams(self) -> Streams:
        """The study's random numbers."""
        return Streams(self.settings["seed"], self.study)

    def sets_of(self, population: str | None) -> list[Ints]:
        """Return the terms that each person of a population is shown; None: of all."""
        shown = {**self.issued, **self.given}
        return [shown[person] for person, name in self.people.items() if population in (None, name)]


def read_planned(study: str, folder: Path, settings: Settings) -> Planned:
    """
    Read what there is of a study, and give terms to everybody who has none.

    Raises
    ------
    StudyError
        With every fault of `study.yaml`, terms and people, or every fault of the design.
    """
    header = read_study_file(folder / NAME, str(folder / NAME))
    rows, of_terms = read_terms(folder, settings)
    unnamed = nobody_named(folder)  # a study may be planned before anybody is
    people, of_people = ({}, []) if unnamed else read_people(folder, header.populations)
    if faults := [*header.faults, *of_terms, *of_people]:
        raise StudyError(faults)
    terms = [row["term"] for row in rows]
    found = bytes_of(folder)  # before it is read: what changes from now on is noticed
    left_out, _ = read_left_out(folder, terms, Limits(**settings["intake"]))
    issued = issued_before(folder, people, terms, ids_of(left_out))
    whole = None if issued else data_of(folder)
    each = len(terms) if whole else shown_to_each(settings["design"], len(terms))
    streams = Streams(settings["seed"], study)
    given = for_everybody(streams, people, issued, len(terms), each)
    populations = header.populations
    return Planned(study, folder, settings, populations, terms, people, issued, whole, given, found)


def bytes_of(folder: Path) -> bytes | None:
    """Return the design of a study as it stands, None where there is none."""
    path = design_of(folder)
    return path.read_bytes() if path.is_file() else None


def issued_before(
    folder: Path, people: dict[str, str], terms: Sequence[str], left_out: Collection[str]
) -> dict[str, Ints]:
    """Return who was issued which terms, nobody where there is no design; or raise its faults."""
    issued: dict[str, Ints] = {}
    path, sheet = design_of(folder), folder / SPREADSHEETS[DESIGN]
    faults: list[Fault] = []
    if path != sheet and sheet.exists():
        problem, remedy = f"stands beside {DESIGN}", "Keep one of the two files."
        faults = [Fault(str(sheet), problem=problem, remedy=remedy)]
    elif path.is_file():
        issued, faults = read_issued(path, people, terms, left_out)
    elif os.path.lexists(path):
        problem, remedy = "is no file", "Put a file of this name in its place, or remove it."
        faults = [Fault(str(path), problem=problem, remedy=remedy)]
    if faults:
        raise StudyError(faults)
    return issued
