"""The analysed sorts, as every later step reads them, and who was shown what."""

from pathlib import Path

import numpy as np

from felloe.ground.arrays import Bools
from felloe.ground.files.tables import read_rows
from felloe.ground.people.canonical_order import in_canonical_order
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.terms import Terms
from felloe.validation.tables import ANALYSED, DESIGN


def read_analysed(path: str | Path, prior: float | None = None) -> Sorts:
    """
    Read the analysed sorts that `write_analysed` wrote.

    Parameters
    ----------
    path : str or Path
    prior : float, optional
        Of partial sorts; see `felloe.ground.people.sorts.Sorts`.

    Returns
    -------
    Sorts
        In canonical order, whatever the order of the file.
    """
    header, _ = read_rows(path)
    terms = Terms(header[len(ANALYSED.columns) :])
    rows = ANALYSED.read(path)
    cells = [[UNPLACED if row[term] is None else row[term] for term in terms] for row in rows]
    sorts = Sorts(
        tuple(row["participant"] for row in rows),
        tuple(row["population"] for row in rows),
        terms,
        np.array(cells, dtype=np.int16).reshape(len(rows), len(terms)),
        prior,
    )
    return in_canonical_order(sorts)


def read_shown(path: str | Path, sorts: Sorts) -> Bools:
    """Read who of some participants was shown what, from `validation/design.csv`."""
    rows = {name: place for place, name in enumerate(sorts.participants)}
    columns = {term: place for place, term in enumerate(sorts.terms)}
    shown = np.zeros(sorts.piles.shape, dtype=bool)
    for row in DESIGN.read(path):
        if row["participant"] in rows:
            shown[rows[row["participant"]], columns[row["term"]]] = True
    return shown


def write_analysed(path: str | Path, analysed: Sorts) -> None:
    """Write analysed sorts by participant; a term that was not placed is an empty cell."""
    people = sorted(
        zip(analysed.participants, analysed.populations, analysed.piles.tolist(), strict=True)
    )
    rows = (
        [participant, population, *(None if pile == UNPLACED else pile for pile in piles)]
        for participant, population, piles in people
    )
    ANALYSED.write(path, rows, analysed.terms)
