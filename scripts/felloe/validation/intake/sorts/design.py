"""Who was shown what: `design.csv`, where everybody sorts a part of the lexicon."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Bools
from felloe.validation.intake.lexicon.left_out import LEFT_OUT
from felloe.validation.intake.raw.cells import (
    has_columns,
    judge_person,
    report,
    report_repeated,
    unknown_id,
)
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.intake.sorts.parts import COLUMNS
from felloe.validation.intake.sorts.sorting import codes_among, read_positions

FEWEST_SHOWN = 2  # terms; with fewer there is no pair to tell anything about


@dataclass(frozen=True)
class Design:
    """
    Who was shown what.

    Attributes
    ----------
    shown : (n_participants, n_terms) array of bool
    positions : (n_participants, n_terms) array of int32
        Order in which the participant was to see the term, from 1; 0 where not given.
    """

    shown: Bools
    positions: Array


def check_design(
    table: RawTable, participants: Sequence[str] | None, terms: Sequence[str] | None
) -> Design | None:
    """
    Check `design.csv`.

    Parameters
    ----------
    table : RawTable
    participants, terms : sequence of str or None
        In sorted order; None where the list could not be read.

    Returns
    -------
    Design or None
        None if the table has a fault, or a list could not be read.
    """
    if not has_columns(table, COLUMNS, ("position",), others=terms or ()):
        return None
    report(table, "participant", judge_person)
    remedy = "Add the term to terms.csv, or delete these rows."
    report(table, "term", unknown_id(terms, "term", remedy))
    report_repeated(table, ["participant", "term"], "the term for the same participant")
    if participants is None or terms is None:
        return None
    person = codes_among(table["participant"], participants)
    note_absent(table, participants)
    term = codes_among(table["term"], terms)
    rows = np.flatnonzero((person >= 0) & (term >= 0))
    shown = np.zeros((len(participants), len(terms)), dtype=bool)
    shown[person[rows], term[rows]] = True
    positions = np.zeros(shown.shape, dtype=np.int32)
    if "position" in table:
        positions[person[rows], term[rows]] = read_positions(table, person)[rows]
    if not table.faults and not table.partial:
        report_left_out(table, shown, participants, terms)
    return None if table.faults else Design(shown, positions)


def note_absent(table: RawTable, participants: Sequence[str]) -> None:
    """Note people who were given a set and did not take part: a design is not redrawn for that."""
    absent = set(table["participant"].values) - set(participants)
    if absent:
        problem = f"{len(absent)} of the people in it are not in participants.csv; they are passed "
        table.note(0, "participant", f"{problem}over, as people who were given a set and sent none")


def report_left_out(
    table: RawTable, shown: Bools, participants: Sequence[str], terms: Sequence[str]
) -> None:
    """Report participants who were shown too little, and terms that nobody was shown."""
    numbers = shown.sum(axis=1)
    for i in np.flatnonzero(numbers < FEWEST_SHOWN).tolist():
        problem = f"participant '{participants[i]}' was shown {numbers[i]} term(s), "
        problem += f"at least {FEWEST_SHOWN} are needed"
        remedy = "Add what the participant was shown, or take them out of participants.csv."
        table.fault(0, "participant", participants[i], problem, remedy)
    for j in np.flatnonzero(~shown.any(axis=0)).tolist():
        remedy = f"Add who was shown it, or take the term out of terms.csv (into {LEFT_OUT})."
        table.fault(0, "term", terms[j], "nobody was shown this term", remedy)
