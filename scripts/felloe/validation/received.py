"""Everybody's sorts as they were validated: written, and read before screening."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from felloe.ground.arrays import Array, Ints
from felloe.ground.files.writing import open_atomic
from felloe.ground.sorts import UNPLACED, Sorts
from felloe.ground.terms import Terms
from felloe.validation.intake.csv_reader import read_csv
from felloe.validation.intake.raw_table import Column
from felloe.validation.tables import REGISTER, SORTS
from felloe.validation.task import Received


def write_sorts(
    path: str | Path,
    participants: Sequence[str],
    terms: Sequence[str],
    piles: Array,
    positions: Array,
) -> None:
    """Write sorts in the long layout, by participant and term; an empty pile was not placed."""
    with open_atomic(path) as stream:
        stream.write(",".join(SORTS.names) + "\n")
        for name, row, places in zip(participants, piles.tolist(), positions.tolist(), strict=True):
            # identifiers and numbers need no quotes, so that millions of rows go fast
            stream.write(
                "".join(
                    f"{name},{term},{pile if pile != UNPLACED else ''},{place or ''}\n"
                    for term, pile, place in zip(terms, row, places, strict=True)
                )
            )


def read_received(sorts: str | Path, register: str | Path) -> Received:
    """
    Read the canonical sorts and the register.

    Returns
    -------
    Received
        In canonical order, whatever the order of the files.

    Raises
    ------
    ValueError
        If the sorts are not those of the registered participants, each with the same terms.
    """
    people = REGISTER.read(register)
    participants = tuple(row["participant"] for row in people)
    # millions of rows: read by columns, not row by row as `SORTS.read` would
    table = read_csv(sorts, Path(sorts).name, SORTS.names)
    if tuple(table.columns) != SORTS.names:
        raise ValueError(f"{Path(sorts).name} has the columns {[*table.columns]}")
    if tuple(table["participant"].values) != participants or len(table) % len(participants):
        raise ValueError(f"{Path(sorts).name} holds other participants than the register")
    shape = (len(participants), -1)
    # rows come by participant and term, so that terms appear in their order
    terms = Terms(table["term"].values)
    found = Received(
        Sorts(
            participants,
            tuple(row["population"] for row in people),
            terms,
            whole_numbers(table["pile"], UNPLACED).astype(np.int16).reshape(shape),
        ),
        np.array([row["minutes"] for row in people]),
        whole_numbers(table["position"], 0).astype(np.int32).reshape(shape),
    )
    return found.in_canonical_order()


def whole_numbers(column: Column, empty: int) -> Ints:
    """Return the whole numbers of a column, `empty` for empty cells."""
    values = np.array([int(text or empty) for text in column.values], dtype=np.int64)
    return values[column.codes]
