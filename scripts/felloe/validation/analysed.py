"""The analysed sorts, as every later step reads them, and who was shown what."""

from functools import cache
from pathlib import Path

import numpy as np

from felloe.ground.arrays import Bools
from felloe.ground.files.tables import cell, read_rows, unguarded, write_texts
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
    header, rows = read_rows(path)
    first = len(ANALYSED.columns)
    if tuple(header[:first]) != ANALYSED.names:
        raise ValueError(f"{Path(path).name} has the columns {header}")
    people, piles = [], []
    for row in rows:  # millions of cells: piles go into whole numbers row by row
        people.append([unguarded(text) for text in row[:first]])
        piles.append(np.fromiter(map(pile_of, row[first:]), np.int16))
    sorts = Sorts(
        tuple(participant for participant, _ in people),
        tuple(population for _, population in people),
        Terms(header[first:]),
        np.array(piles, dtype=np.int16).reshape(len(people), len(header) - first),
        prior,
    )
    return in_canonical_order(sorts)


@cache
def pile_of(text: str) -> int:
    """Return the number of a pile from its cell, `UNPLACED` from an empty one."""
    return int(text) if text else UNPLACED


def read_shown(path: str | Path, sorts: Sorts) -> Bools:
    """Read who of some participants was shown what, from `validation/design.csv`."""
    rows = {name: place for place, name in enumerate(sorts.participants)}
    columns = {term: place for place, term in enumerate(sorts.terms)}
    shown = np.zeros(sorts.piles.shape, dtype=bool)
    header, texts = read_rows(path)
    if tuple(header) != DESIGN.names:
        raise ValueError(f"{Path(path).name} has the columns {header}")
    for participant, term, _ in texts:
        if (name := unguarded(participant)) in rows:
            shown[rows[name], columns[unguarded(term)]] = True
    return shown


def write_analysed(path: str | Path, analysed: Sorts) -> None:
    """Write analysed sorts by participant; a term that was not placed is an empty cell."""
    people = sorted(
        zip(analysed.participants, analysed.populations, analysed.piles + 1, strict=True),
        key=lambda person: person[0],
    )
    texts = ["", *map(str, range(int(analysed.piles.max(initial=0)) + 1))]  # from UNPLACED on
    rows = (
        [cell(participant), cell(population), *map(texts.__getitem__, piles.tolist())]
        for participant, population, piles in people
    )
    write_texts(path, [*ANALYSED.names, *analysed.terms], rows)
