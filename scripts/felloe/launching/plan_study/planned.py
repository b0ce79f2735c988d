"""A study as it is planned: what there is of it, and the terms that everybody would be shown."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from felloe.allocation.allocating import for_everybody
from felloe.allocation.design_file import DESIGN, read_issued
from felloe.allocation.people_files import read_people
from felloe.errors import Fault, StudyError
from felloe.ground.arrays import Ints
from felloe.ground.randomness import Streams
from felloe.launching.freeze import data_of, read_terms
from felloe.settings import Settings
from felloe.validation.intake.study_file import NAME, read_study_file


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
        Population of each participant, sorted.
    issued : dict of str to array of int
        Places of the terms of those who stand in `design.csv`.
    whole : Path or None
        The sorts, where there are some and no design: everybody was shown every term.
    given : dict of str to array of int
        Places of the terms that everybody else would be shown.
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

    @property
    def design(self) -> Path:
        """Where the design stands, or would."""
        return self.folder / DESIGN

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
    people, of_people = read_people(folder, header.populations)
    if faults := [*header.faults, *of_terms, *of_people]:
        raise StudyError(faults)
    terms = [row["term"] for row in rows]
    issued = issued_before(folder / DESIGN, people, terms)
    whole = None if issued else data_of(folder)
    given = shown_all(people, len(terms))
    if not whole:
        streams, each = (
            Streams(settings["seed"], study),
            settings["design"]["terms_per_participant"],
        )
        given = for_everybody(streams, people, issued, len(terms), each)
    return Planned(study, folder, settings, header.populations, terms, people, issued, whole, given)


def issued_before(path: Path, people: dict[str, str], terms: Sequence[str]) -> dict[str, Ints]:
    """Return who was issued which terms, nobody where there is no design; or raise its faults."""
    issued: dict[str, Ints] = {}
    sheet = path.with_suffix(".xlsx")
    faults: list[Fault] = []
    if path.is_file():
        issued, faults = read_issued(path, people, terms)
    elif sheet.exists():
        problem, remedy = "is not read as a spreadsheet", f"Save its sheet as {DESIGN}."
        faults = [Fault(str(sheet), problem=problem, remedy=remedy)]
    elif os.path.lexists(path):
        problem, remedy = "is no file", "Put a file of this name in its place, or remove it."
        faults = [Fault(str(path), problem=problem, remedy=remedy)]
    if faults:
        raise StudyError(faults)
    return issued


def shown_all(people: dict[str, str], n_terms: int) -> dict[str, Ints]:
    """Return the places of all terms, for everybody."""
    return {person: np.arange(n_terms) for person in people}
