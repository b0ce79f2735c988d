"""Linkages in SciPy's convention as tables."""

import numpy as np

from felloe.ground.tables import read_table, write_table

COLUMNS = ("left", "right", "height", "size")
COMPARISON_COLUMNS = (
    "linkage",
    "cophenetic_correlation",
    "cophenetic_null_mean",
    "agglomerative_coefficient",
    "ari_class",
    "ari_subclass",
    "n_terms_changing_class",
    "chosen",
    "terms_changing_class",
)


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


def write_linkages(path, terms, compared, chosen):
    """
    Write all linkages side by side.

    Parameters
    ----------
    path : str or Path
    terms : sequence of str
    compared : list of dict
        As returned by `compare_linkages`.
    chosen : str
        Linkage of the chart.
    """
    rows = [
        {
            **row,
            "chosen": row["linkage"] == chosen,
            "terms_changing_class": ";".join(terms[one] for one in row["changing"]),
        }
        for row in compared
    ]
    write_table(path, COMPARISON_COLUMNS, rows)
