"""The analysed sorts: one row per participant, one column per term."""

import csv
from dataclasses import dataclass

import numpy as np

from felloe.ground.cooccurrence import UNPLACED
from felloe.ground.tables import write_table

POOLED = "pooled"


@dataclass(frozen=True)
class Sorts:
    """
    What the analysis starts from.

    Attributes
    ----------
    participants, populations : tuple of str
        One entry per participant, in sorted order of participants.
    terms : tuple of str
        In sorted order.
    piles : (n_participants, n_terms) array of int
        Pile numbers, meaningful within a row only; `UNPLACED` where a term was not placed.
    """

    participants: tuple
    populations: tuple
    terms: tuple
    piles: np.ndarray

    def of(self, population):
        """Return the sorts of one population, or all of them for `pooled`."""
        if population == POOLED:
            return self
        keep = [i for i, name in enumerate(self.populations) if name == population]
        return Sorts(
            tuple(self.participants[i] for i in keep),
            tuple(self.populations[i] for i in keep),
            self.terms,
            self.piles[keep],
        )


def read_analysed(path):
    """Read the analysed sorts that `write_analysed` wrote."""
    with open(path, encoding="utf-8", newline="") as stream:
        header, *rows = csv.reader(stream)
    cells = [[int(text) if text else UNPLACED for text in row[2:]] for row in rows]
    piles = np.array(cells, dtype=np.int16).reshape(len(rows), len(header) - 2)
    return Sorts(
        tuple(row[0] for row in rows), tuple(row[1] for row in rows), tuple(header[2:]), piles
    )


def write_analysed(path, sorts):
    """Write analysed sorts; a term that was not placed is an empty cell."""
    rows = (
        [participant, population, *(None if pile == UNPLACED else pile for pile in piles)]
        for participant, population, piles in zip(
            sorts.participants, sorts.populations, sorts.piles.tolist(), strict=True
        )
    )
    write_table(path, ["participant", "population", *sorts.terms], rows)
