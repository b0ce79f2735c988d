"""Linkages in SciPy's convention as tables."""

import numpy as np

from felloe.files.tables import read_table, write_table

COLUMNS = ("left", "right", "height", "size")


def write_linkage(path, Z):
    """
    Write a linkage.

    Parameters
    ----------
    path : str or Path
    Z : (N - 1, 4) array of float
        The two nodes merged, height, number of terms.
    """
    rows = [(int(left), int(right), height, int(size)) for left, right, height, size in Z]
    write_table(path, COLUMNS, rows)


def read_linkage(path):
    """Read a linkage as (N - 1, 4) array of float."""
    return np.array([[float(row[name]) for name in COLUMNS] for row in read_table(path)])
