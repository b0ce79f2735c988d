"""A whole study: its files read, checked one by one and against one another."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from felloe.errors import Fault, StudyError, nearest
from felloe.validation.intake.across import (
    check_groups,
    check_sizes,
    incomplete_sorts,
    never_together_placed,
    unused_participants,
)
from felloe.validation.intake.csv_reader import read_csv
from felloe.validation.intake.people import Register, check_participants
from felloe.validation.intake.sorting import check_sorts, numbered
from felloe.validation.intake.spreadsheet import read_xlsx
from felloe.validation.intake.study_file import NAME, read_study_file
from felloe.validation.intake.vocabulary import (
    check_colours,
    check_decisions,
    check_names,
    check_terms,
)

EXPECTED = {
    "terms.csv": ("term", "label", "definition"),
    "participants.csv": ("participant", "population", "minutes"),
    "sorts.csv": ("participant", "term", "pile", "position"),
    "names.csv": ("tier", "anchor", "name", "absorbs"),
    "decisions.csv": ("term", "beside", "reason", "decided_on"),
    "colours.csv": ("term", "respondent", "colour"),
}
OPTIONAL_TABLES = {
    "names.csv": check_names,
    "decisions.csv": check_decisions,
    "colours.csv": check_colours,
}
KNOWN_FILES = (NAME, *EXPECTED, "sorts.xlsx")


@dataclass(frozen=True)
class Study:
    """
    A study without a fault.

    Attributes
    ----------
    title, edition, instruction : str
    populations : dict of str to str
        Id to label, in the order declared.
    terms : list of dict
        Sorted by term.
    register : Register
        Participants in sorted order.
    piles : (n_participants, n_terms) array of int16
        Numbered from 1 within each row by first appearance; -1 where a term was not placed.
    positions : (n_participants, n_terms) array of int32
        0 where not given.
    names, decisions, colours : list of dict
    findings : list of Fault
        Notes and warnings, in order of file and line.
    """

    title: str
    edition: str
    instruction: str
    populations: dict
    terms: list
    register: Register
    piles: np.ndarray
    positions: np.ndarray
    names: list
    decisions: list
    colours: list
    findings: list


def read_study(folder, limits, shown=""):
    """
    Read and check a study's folder.

    Parameters
    ----------
    folder : str or Path
    limits : dict
        The section `intake` of the settings.
    shown : str
        The folder as its owner knows it, put before file names in messages.

    Returns
    -------
    Study

    Raises
    ------
    StudyError
        With every fault of every file.
    """
    if not Path(folder).is_dir():
        problem = "the study's folder is missing"
        remedy = "Make the folder, or mend its path in the settings."
        raise StudyError([Fault(shown or str(folder), problem=problem, remedy=remedy)])
    reader = StudyReader(Path(folder), limits)
    study = reader.study()
    if reader.faults:
        prefix = f"{shown}/" if shown else ""
        raise StudyError(
            [
                Fault(prefix + f.file, f.line, f.column, f.value, f.problem, f.remedy)
                for f in dict.fromkeys(reader.faults)
            ]
        )
    return study


class StudyReader:
    """Reads one folder and gathers faults and notes on the way."""

    def __init__(self, folder, limits):
        self.folder = folder
        self.limits = limits
        self.faults = []
        self.notes = []

    def study(self):
        """Return the study, or None if anything is wrong."""
        self.note_other_files()
        header = self.study_file()
        terms, identifiers = self.terms()
        register, people = self.people(header)
        extra = self.optional_tables(identifiers)
        placements = self.sorts(header, register, people, identifiers)
        if self.faults or placements is None:
            return None
        piles = numbered(placements.piles)
        self.faults.extend(never_together_placed(piles, register, identifiers, self.sorts_name()))
        self.notes.extend(incomplete_sorts(piles, register, identifiers, self.sorts_name()))
        return Study(
            header.title,
            header.edition,
            header.instruction,
            header.populations,
            terms,
            register,
            piles,
            placements.positions,
            extra["names.csv"],
            extra["decisions.csv"],
            extra["colours.csv"],
            sorted(self.notes, key=lambda note: (note.file, note.line, note.column, note.problem)),
        )

    def terms(self):
        """Return the terms, and their identifiers or None if the list is not whole."""
        table = self.table("terms.csv")
        terms = check_terms(table, self.limits) if table is not None else []
        identifiers = listed(table, (row["term"] for row in terms))
        if identifiers and not table.faults:
            self.faults.extend(check_sizes(identifiers, self.limits))
        self.gather(table)
        return terms, identifiers

    def people(self, header):
        """Return the register, and its participants or None if the list is not whole."""
        table, register = self.table("participants.csv"), Register()
        if table is not None:
            register = check_participants(table, header.populations)
        people = listed(table, register.participants)
        if people and not (table.faults or header.faults):
            self.faults.extend(check_groups(header.populations, register, self.limits))
        self.gather(table)
        return register, people

    def optional_tables(self, identifiers):
        """Return what is said about names, decisions and colours, by file."""
        extra = {name: [] for name in OPTIONAL_TABLES}
        for name, check in OPTIONAL_TABLES.items():
            table = self.table(name) if (self.folder / name).exists() else None
            if table is not None:
                extra[name] = check(table, identifiers, self.limits)
                self.gather(table)
        return extra

    def fault(self, file, problem, remedy):
        """Remember a fault of a whole file."""
        self.faults.append(Fault(file, problem=problem, remedy=remedy))

    def gather(self, table):
        """Take over what a table's checks found."""
        if table is not None:
            self.faults.extend(table.faults)
            self.notes.extend(table.notes)

    def note_other_files(self):
        """Report files that were probably meant to be one of the known ones, note the others."""
        there = sorted(path.name for path in self.folder.iterdir() if path.is_file())
        for name in there:
            if name in KNOWN_FILES or name.startswith((".", "~$")) or name.lower() == "readme.md":
                continue
            close = nearest(name.lower(), KNOWN_FILES)
            if close and close not in there and Path(name).suffix.lower() == Path(close).suffix:
                self.fault(name, "is no file of a study", f"Did you mean '{close}'? Rename it.")
            else:
                self.notes.append(Fault(name, problem="this file is not read", severity="note"))

    def study_file(self):
        """Return what `study.yaml` says; its faults are taken over."""
        header = read_study_file(self.folder / NAME)
        self.faults.extend(header.faults)
        return header

    def table(self, name, expected=None):
        """Return a table of the folder, or None if it is not there."""
        path = self.folder / name
        if path.exists() and not path.is_file():
            self.fault(name, "is no file", "Put a file of this name in its place.")
            return None
        if not path.is_file():
            columns = ", ".join(EXPECTED[name])
            self.fault(name, "the file is missing", f"Write it; its columns are: {columns}.")
            return None
        try:
            return read_csv(path, name, expected or EXPECTED[name])
        except OSError as error:
            self.fault(name, f"can't be read ({error.strerror})", "Check who may read the file.")
            return None

    def sorts_name(self):
        """Return the name of the file that holds the sorts."""
        spreadsheet = (self.folder / "sorts.xlsx").is_file()
        return "sorts.xlsx" if spreadsheet else "sorts.csv"

    def sorts(self, header, register, participants, terms):
        """Return the placements, or None if anything is wrong with them."""
        name = self.sorts_name()
        if name == "sorts.xlsx" and (self.folder / "sorts.csv").is_file():
            self.fault(name, "stands beside sorts.csv", "Keep one of the two files.")
            return None
        if name == "sorts.xlsx":
            table = read_xlsx(self.folder / name, name)
        else:
            wide = ("participant", *(terms or ()))
            table = self.table(name, wide if header.layout == "wide" else None)
        if table is None:
            return None
        found, without = None, []
        if table.columns:
            found, without = check_sorts(table, header.layout, participants, terms)
        self.faults.extend(unused_participants(without, register, table.file))
        self.gather(table)
        return found


def listed(table, names):
    """Return the distinct names that a table lists, or None if it could not be read in full."""
    names = list(dict.fromkeys(names))
    return names if names and not table.partial else None
