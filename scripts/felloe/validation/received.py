"""Everybody's sorts as they were validated: written, and read before screening."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from felloe.ground.arrays import Array, Bools, Ints
from felloe.ground.files.writing import open_atomic
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.terms import Terms
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.raw.raw_table import Column
from felloe.validation.intake.sorts.sorting import codes_among
from felloe.validation.screened.task import Received
from felloe.validation.tables import REGISTER, SORTS


def write_sorts(
    path: str | Path,
    participants: Sequence[str],
    terms: Sequence[str],
    piles: Array,
    positions: Array,
    shown: Bools | None = None,
) -> None:
    """
    Write sorts in the long layout, by participant and term; an empty pile was not placed.

    A term that a participant was not shown has no row.
    """
    if shown is None:
        shown = np.ones(np.shape(piles), dtype=bool)
    with open_atomic(path) as stream:
        stream.write(",".join(SORTS.names) + "\n")
        tables = (piles.tolist(), positions.tolist(), shown.tolist())
        for name, row, places, seen in zip(participants, *tables, strict=True):
            # identifiers and numbers need no quotes, so that millions of rows go fast
            stream.write(
                "".join(
                    f"{name},{term},{pile if pile != UNPLACED else ''},{place or ''}\n"
                    for term, pile, place, there in zip(terms, row, places, seen, strict=True)
                    if there
                )
            )


def read_received(sorts: str | Path, register: str | Path, prior: float | None = None) -> Received:
    """
    Read the canonical sorts and the register.

    Parameters
    ----------
    sorts, register : str or Path
    prior : float, optional
        Of partial sorts, which have rows for what was shown only.

    Returns
    -------
    Received
        In canonical order, whatever the order of the files.

    Raises
    ------
    ValueError
        If the sorts are not those of the registered participants, or, of whole sorts, not each
        with the same terms.
    """
    people = REGISTER.read(register)
    participants = tuple(row["participant"] for row in people)
    # millions of rows: read by columns, not row by row as `SORTS.read` would
    table = read_csv(sorts, Path(sorts).name, SORTS.names)
    if tuple(table.columns) != SORTS.names:
        raise ValueError(f"{Path(sorts).name} has the columns {[*table.columns]}")
    whole = prior is None
    if tuple(table["participant"].values) != participants or (
        whole and len(table) % len(participants)
    ):
        raise ValueError(f"{Path(sorts).name} holds other participants than the register")
    # rows come by participant and term, so that terms of whole sorts appear in their order
    terms = Terms(table["term"].values if whole else sorted(table["term"].values))
    shape = (len(participants), len(terms))
    cells = codes_among(table["term"], terms) + table["participant"].codes * shape[1]
    shown = np.zeros(shape, dtype=bool)
    shown.ravel()[cells] = True
    if whole and not shown.all():
        raise ValueError(f"{Path(sorts).name} has not a row for each participant and term")

    def laid_out(name: str, empty: int, kind: type) -> Array:
        matrix: Array = np.full(shape, empty, dtype=kind)
        matrix.ravel()[cells] = whole_numbers(table[name], empty)
        return matrix

    found = Received(
        Sorts(
            participants,
            tuple(row["population"] for row in people),
            terms,
            laid_out("pile", UNPLACED, np.int16),
            prior,
        ),
        np.array([row["minutes"] for row in people]),
        laid_out("position", 0, np.int32),
        None if whole else shown,
    )
    return found.in_canonical_order()


def whole_numbers(column: Column, empty: int) -> Ints:
    """Return the whole numbers of a column, `empty` for empty cells."""
    values = np.array([int(text or empty) for text in column.values], dtype=np.int64)
    return values[column.codes]
