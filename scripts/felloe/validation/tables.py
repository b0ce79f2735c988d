"""A checked study in one form, however it was handed in: what every later step reads."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.sorts import UNPLACED, Sorts
from felloe.ground.tables import read_table, write_json, write_table
from felloe.ground.writing import open_atomic
from felloe.validation.intake.csv_reader import read_csv

TERM_COLUMNS = ("term", "label", "definition", "reference", "caution", "width", "renamed_from")
NAME_COLUMNS = ("tier", "anchor", "name", "absorbs")
DECISION_COLUMNS = ("term", "beside", "reason", "decided_on", "decided_by")
COLOUR_COLUMNS = ("term", "respondent", "colour")
FINDING_COLUMNS = ("severity", "file", "line", "participant", "term", "message")
FAULT_COLUMNS = ("file", "line", "column", "value", "problem", "remedy")


def write_study(study, paths):
    """
    Write the canonical files of a study.

    Parameters
    ----------
    study : felloe.validation.intake.study.Study
    paths : dict of str to path
        `settings`, `terms`, `sorts`, `register`, `names`, `decisions`, `colours`, `findings`.
    """
    write_json(
        paths["settings"],
        {
            "title": study.title,
            "edition": study.edition,
            "instruction": study.instruction,
            "populations": study.populations,
        },
    )
    write_table(paths["terms"], TERM_COLUMNS, study.terms)
    write_table(paths["names"], NAME_COLUMNS, study.names)
    write_table(paths["decisions"], DECISION_COLUMNS, study.decisions)
    write_table(paths["colours"], COLOUR_COLUMNS, study.colours)
    people = study.register
    rows = zip(people.participants, people.populations, people.minutes, strict=True)
    write_table(paths["register"], ("participant", "population", "minutes"), rows)
    terms = [row["term"] for row in study.terms]
    write_sorts(paths["sorts"], people.participants, terms, study.piles, study.positions)
    write_findings(paths["findings"], study.findings, people.participants, terms)


def write_sorts(path, participants, terms, piles, positions):
    """Write sorts in the long layout, by participant and term; an empty pile was not placed."""
    with open_atomic(path) as stream:
        stream.write("participant,term,pile,position\n")
        for name, row, places in zip(participants, piles.tolist(), positions.tolist(), strict=True):
            # identifiers and numbers need no quotes, so that millions of rows go fast
            stream.write(
                "".join(
                    f"{name},{term},{pile if pile != UNPLACED else ''},{place or ''}\n"
                    for term, pile, place in zip(terms, row, places, strict=True)
                )
            )


def write_findings(path, findings, participants, terms):
    """Write notes and warnings; whose value is a participant or a term is put in that column."""
    people, words = set(participants), set(terms)
    rows = [
        {
            "severity": finding.severity,
            "file": finding.file,
            "line": finding.line or None,
            "participant": finding.value if finding.value in people else "",
            "term": finding.value if finding.value in words else "",
            "message": f"{finding.column}: {finding.problem}"
            if finding.column
            else finding.problem,
        }
        for finding in findings
    ]
    write_table(path, FINDING_COLUMNS, rows)


def write_faults(path, faults):
    """Write every fault of a run, for those who mend them."""
    rows = ([getattr(fault, name) for name in FAULT_COLUMNS] for fault in faults)
    write_table(path, FAULT_COLUMNS, rows)


@dataclass(frozen=True)
class Received:
    """
    Everybody's sorts as they were validated, before screening.

    Attributes
    ----------
    sorts : Sorts
    minutes : (n_participants,) array of float
        nan where not given.
    positions : (n_participants, n_terms) array of int32
        0 where not given.
    """

    sorts: Sorts
    minutes: np.ndarray
    positions: np.ndarray


def read_received(sorts, register):
    """
    Read the canonical sorts and the register.

    Parameters
    ----------
    sorts, register : path

    Returns
    -------
    Received
    """
    people = read_table(register)
    participants = tuple(row["participant"] for row in people)
    minutes = np.array([float(row["minutes"] or "nan") for row in people])
    table = read_csv(sorts, "sorts.csv", ("participant", "term", "pile", "position"))
    shape = (len(participants), -1)
    piles = numbers(table["pile"], UNPLACED).astype(np.int16).reshape(shape)
    positions = numbers(table["position"], 0).astype(np.int32).reshape(shape)
    populations = tuple(row["population"] for row in people)
    # rows come by participant and term, so that terms appear in their order
    terms = tuple(table["term"].values)
    return Received(Sorts(participants, populations, terms, piles), minutes, positions)


def numbers(column, empty):
    """Return the whole numbers of a column, `empty` for empty cells."""
    return np.array([int(text or empty) for text in column.values])[column.codes]
