"""Terms that people were shown and that a study does not analyse: `left_out.csv`."""

import os
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path

import numpy as np

from felloe.errors import Fault
from felloe.ground.arrays import Bools, Ints
from felloe.ground.files.tables import Row
from felloe.validation.intake.lexicon.vocabulary import TERM_OPTIONAL
from felloe.validation.intake.raw.cells import (
    Judge,
    has_columns,
    judge_identifier,
    judge_text,
    note_dangerous,
    report,
    report_repeated,
)
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.raw.raw_table import Column, RawTable
from felloe.validation.settings import Limits

LEFT_OUT = "left_out.csv"
COLUMNS = ("term", "label", "reason")
WAY_OUT = f"move its row from terms.csv to {LEFT_OUT}, with a reason"
TWICE = "stands in terms.csv too"
TWICE_CURE = "Keep one of the two rows: a term of terms.csv is analysed, one of this file is not."


def read_left_out(
    folder: Path, terms: Collection[str], limits: Limits
) -> tuple[list[Row], list[Fault]]:
    """
    Read which terms a study leaves out, and the faults of the list; nothing where there is none.

    Parameters
    ----------
    folder : Path
        The study's.
    terms : collection of str
        Those of `terms.csv`.
    limits : Limits
    """
    path = folder / LEFT_OUT
    if not os.path.lexists(path):
        return [], []
    if not path.is_file():
        remedy = "Put a file of this name in its place, or remove it."
        return [], [Fault(str(path), problem="is no file", remedy=remedy)]
    table = read_csv(path, str(path), COLUMNS)
    return check_left_out(table, terms, limits), table.faults


def check_left_out(table: RawTable, terms: Collection[str], limits: Limits) -> list[Row]:
    """
    Check `left_out.csv`.

    Parameters
    ----------
    table : RawTable
    terms : collection of str
        Those of `terms.csv`.
    limits : Limits

    Returns
    -------
    list of dict
        `term`, `label` and `reason`, in sorted order.
    """
    if not has_columns(table, COLUMNS, TERM_OPTIONAL):
        return []
    report(table, "term", not_analysed(terms))
    report_repeated(table, ["term"], "the term")
    report(table, "label", judge_text(limits.longest_label, needed=True))
    report(table, "reason", judge_text(limits.longest_text, needed=True, lines=True))
    for name in ("label", "reason"):
        note_dangerous(table, name)
    cells = zip(*(table[name].texts() for name in COLUMNS), strict=True)
    rows: list[Row] = [dict(zip(COLUMNS, row, strict=True)) for row in cells]
    return sorted(rows, key=lambda row: row["term"])


def not_analysed(terms: Collection[str]) -> Judge:
    """Return a judge of ids that `terms.csv` may not have."""
    analysed = set(terms)
    return lambda value: (TWICE, TWICE_CURE) if value in analysed else judge_identifier(value)


def ids_of(rows: Collection[Row]) -> frozenset[str]:
    """Return the ids of terms that are left out."""
    return frozenset(row["term"] for row in rows)


def without_terms(table: RawTable, terms: Collection[str], wide: bool = False) -> RawTable:
    """
    Return a table without what tells of terms that are left out.

    Parameters
    ----------
    table : RawTable
    terms : collection of str
        Those that are left out.
    wide : bool
        Whether the table has a column for every term, not a row.

    Returns
    -------
    RawTable
        It shares the faults and notes of the table.
    """
    if wide:
        gone = set(table.columns) & set(terms) - {"participant"}
        others = {name: each for name, each in table.columns.items() if name not in gone}
        return replace(table, columns=others)
    rows = np.flatnonzero(~tells_of(table, terms))
    if len(rows) == len(table):
        return table
    kept = {name: rows_of(column, rows) for name, column in table.columns.items()}
    return replace(table, columns=kept, lines=table.lines[rows])


def tells_of(table: RawTable, terms: Collection[str]) -> Bools:
    """Return which rows tell of one of some terms: by `term`, or as a wording of a term."""
    found = np.zeros(len(table), dtype=bool)
    if "term" in table:
        found |= holds(table["term"], terms)
    elif {"id", "tier"} <= set(table.columns):  # a group goes by a term and is not the term
        found |= holds(table["id"], terms) & holds(table["tier"], ("term",))
    return found


def holds(column: Column, texts: Collection[str]) -> Bools:
    """Return which rows of a column hold one of some texts."""
    held: Bools = np.array([value in texts for value in column.values] or [False])[column.codes]
    return held


def rows_of(column: Column, rows: Ints) -> Column:
    """Return some rows of a column, with the texts that they hold."""
    used, codes = np.unique(column.codes[rows], return_inverse=True)
    numeric = None if column.numeric is None else column.numeric[rows]
    texts = [column.values[code] for code in used.tolist()]
    return Column(column.name, codes.astype(np.int32), texts, numeric)
