"""Which columns tell the rows of a table apart."""

from collections.abc import Sequence

from felloe.editions import tables as editions
from felloe.ground.files.tables import Table
from felloe.report.catalogue import TABLES
from felloe.timeline import tables as timeline

NAMING = ("id", "ids", "text", "count")  # kinds of columns that can say what a row is about
# Where the leading columns are not what a row is about: the numbers of merges and analyses mean
# something else in a run with other settings.
KEYS: dict[str, tuple[str, ...]] = {
    "clustering/linkage.csv": (),
    "tiers/published_linkage.csv": (),
    "clustering/support.csv": ("members",),
    "sensitivity/universes.csv": ("screening", "weighting", "linkage", "n_classes"),
    "tiers/decisions.csv": ("term", "beside", "reason"),
    "timeline.csv": ("path",),
}
MOST_COLUMNS = 6  # leading columns of an undeclared table that are tried


def declared(path: str) -> Table | None:
    """Return what a table is declared to be, None if no stage declares it."""
    return next(
        (table for table in (*TABLES, *editions.TABLES, *timeline.TABLES) if table.fits(path)), None
    )


def key_candidates(path: str, header: Sequence[str]) -> tuple[str, ...]:
    """
    Return the columns that may tell rows apart, in the order in which they are added.

    Parameters
    ----------
    path : str
        Relative to the results.
    header : sequence of str

    Returns
    -------
    tuple of str
        The leading columns that name something; of a table that nobody declares, the first few.
    """
    table = declared(path)
    if table is None:
        return tuple(header[:MOST_COLUMNS])
    if table.path in KEYS:
        return tuple(name for name in KEYS[table.path] if name in header)
    names: list[str] = []
    for column in table.columns:
        if column.kind not in NAMING:
            break
        names.append(column.name)
    return tuple(name for name in names if name in header)


def is_personal(path: str) -> bool:
    """
    Tell whether a file may hold data about single people.

    Such data stand in `validation/` alone; a table there that is declared not to hold any is free.
    """
    table = declared(path)
    if table is not None:
        return table.personal
    return path.startswith("validation/")
