"""Who takes part, as known before any sort: `participants.csv`, `invitations.csv`, or both."""

import os
from collections.abc import Mapping
from pathlib import Path

from felloe.errors import Fault
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.sorts.people import check_participants

FILES = ("participants.csv", "invitations.csv")


def read_people(folder: Path, populations: Mapping[str, str]) -> tuple[dict[str, str], list[Fault]]:
    """
    Read who takes part.

    Parameters
    ----------
    folder : Path
    populations : mapping of str to str
        Declared populations and their labels.

    Returns
    -------
    people : dict of str to str
        Population of each participant, in sorted order; who stands in one of the files is there.
    faults : list of Fault
    """
    people: dict[str, str] = {}
    faults: list[Fault] = []
    there = [name for name in FILES if (folder / name).is_file()]
    for name in there:
        shown = str(folder / name)
        table = read_csv(folder / name, shown, ("participant", "population"))
        register = check_participants(table, populations)
        faults += table.faults
        rows = zip(register.participants, register.populations, register.lines, strict=True)
        for person, population, line in rows:
            other = people.setdefault(person, population)
            if other != population:
                problem = f"is of '{population}' here and of '{other}' in {FILES[0]}"
                remedy = "Write one population in both files."
                faults.append(Fault(shown, line, "population", person, problem, remedy))
    return dict(sorted(people.items())), faults if there else [no_list(folder)]


def nobody_named(folder: Path) -> bool:
    """Return whether there is no list of people yet."""
    return not any(os.path.lexists(folder / name) for name in FILES)


def no_list(folder: Path) -> Fault:
    """Return the fault that there is no list of people."""
    problem = f"the file is missing, and so is {FILES[1]}"
    remedy = "Write one of them; its columns are: participant, population."
    return Fault(str(folder / FILES[0]), problem=problem, remedy=remedy)
