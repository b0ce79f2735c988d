"""Every table of a study, as the stage that makes it declares it."""

from felloe.circle import tables as circle
from felloe.clustering import tables as clustering
from felloe.colours import tables as colours
from felloe.comparison import tables as comparison
from felloe.ground.files.tables import Table
from felloe.matrices import tables as matrices
from felloe.report import tables as report
from felloe.sensitivity import tables as sensitivity
from felloe.tiers import tables as tiers
from felloe.validation import tables as validation

TABLES: tuple[Table, ...] = (
    *validation.TABLES,
    *matrices.TABLES,
    *comparison.TABLES,
    *clustering.TABLES,
    *tiers.TABLES,
    *sensitivity.TABLES,
    *circle.TABLES,
    *colours.TABLES,
    *report.TABLES,
)


def table_of(path: str) -> Table:
    """
    Return what a table of a study is declared to be.

    Parameters
    ----------
    path : str
        Relative to the study's results, such as `matrices/pooled.both.csv`.

    Raises
    ------
    KeyError
        If no stage declares such a table.
    """
    for table in TABLES:
        if table.fits(path):
            return table
    raise KeyError(f"{path}: no stage declares this table")
