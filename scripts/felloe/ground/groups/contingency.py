"""How two ways of dividing the same terms share them out, and which groups stand for each other."""

import numpy as np
from numpy.typing import ArrayLike

from felloe.ground.arrays import Array, Bools, Ints

SHARE_GRID = 10**9  # shares are compared on this grid, so that sums of equal shares are equal


def contingency(a: ArrayLike, b: ArrayLike) -> Ints:
    """
    Count the terms in each group of one partition and each group of another.

    Parameters
    ----------
    a, b : (n_terms,) array_like
        Labels of groups, numbers or text.

    Returns
    -------
    (n_groups_a, n_groups_b) array of int64
        Rows and columns in sorted order of the labels.

    Raises
    ------
    ValueError
        If the two are not of one length, or empty.
    """
    one, other = np.asarray(a), np.asarray(b)
    if one.shape != other.shape or one.ndim != 1 or not len(one):
        raise ValueError(f"partitions of {one.shape} and {other.shape} terms can't be compared")
    rows = np.unique(one, return_inverse=True)[1]
    columns = np.unique(other, return_inverse=True)[1]
    return np.asarray(contingencies(columns[None], rows)[0])


def contingencies(labels: Array, reference: Array) -> Ints:
    """
    Count the terms that groups of every partition share with groups of a reference.

    Parameters
    ----------
    labels : (R, N) array of int
        0 to K - 1.
    reference : (N,) array of int
        0 to K' - 1.

    Returns
    -------
    (R, K', K) array of int
    """
    n_partitions = len(labels)
    rows, columns = int(reference.max()) + 1, int(labels.max()) + 1
    cell = reference * columns + labels.astype(np.intp)
    cell += (np.arange(n_partitions) * rows * columns)[:, None]
    counts = np.bincount(cell.ravel(), minlength=n_partitions * rows * columns)
    return counts.reshape(n_partitions, rows, columns)


def match_groups(tables: Array) -> Ints:
    """
    Find which groups stand for each other: the one rule of the whole study.

    Groups are matched one to one so that as many terms as possible stay in the group that
    stands for their own; of several such matchings, the one with the larger sum of Jaccard
    coefficients of matched groups is taken. What is equal in both, which needs groups that
    differ in nothing but their terms, goes to the first that the assignment meets.

    Parameters
    ----------
    tables : (R, K', K) array of int
        As returned by `contingencies`.

    Returns
    -------
    (R, K) array of int
        The reference group of every group; -1 where none is left or nothing is shared.

    References
    ----------
    Kuhn (1955), Naval Research Logistics Quarterly 2:83-97 (from memory).
    """
    matched = np.full((len(tables), tables.shape[2]), -1)
    clear, favourites = clear_pairs(tables)
    trees, groups = np.nonzero(clear[:, None] & (tables.max(axis=2) > 0))
    matched[trees, favourites[trees, groups]] = groups
    for tree in np.flatnonzero(~clear):
        matched[tree] = match_table(tables[tree])
    return matched


def match_table(table: Array) -> Ints:
    """Return the reference group (row) of every group (column) of one table, -1 for none."""
    from scipy.optimize import linear_sum_assignment

    table = np.asarray(table)
    either = table.sum(axis=1, keepdims=True) + table.sum(axis=0, keepdims=True) - table
    shares = np.rint(table / np.maximum(either, 1) * SHARE_GRID)
    # whole numbers that a float holds exactly; all shares together stay below one term
    worth = table * float(SHARE_GRID * (min(table.shape) + 1)) + shares
    rows, columns = linear_sum_assignment(worth, maximize=True)
    partner = np.full(table.shape[1], -1)
    partner[columns] = np.where(table[rows, columns] > 0, rows, -1)
    return partner


def clear_pairs(tables: Array) -> tuple[Bools, Ints]:
    """
    Find partitions in which every reference group has one favourite, and no two have the same.

    No other pairing shares as many terms then, and none has to be searched.

    Parameters
    ----------
    tables : (R, K', K) array of int

    Returns
    -------
    clear : (R,) array of bool
    favourites : (R, K') array of int
        The group that shares the most terms with each reference group.
    """
    favourites = tables.argmax(axis=2)
    if tables.shape[2] < max(2, tables.shape[1]):
        return np.zeros(len(tables), dtype=bool), favourites
    ordered = np.sort(tables, axis=2)
    single = (ordered[:, :, -1] > ordered[:, :, -2]).all(axis=1)
    distinct = np.diff(np.sort(favourites, axis=1), axis=1).all(axis=1)
    return np.asarray(single & distinct), favourites


def changed_terms(a: Array, b: Array) -> Bools:
    """
    Return the terms that are not in the group of `b` that stands for their group of `a`.

    Parameters
    ----------
    a, b : (n_terms,) array_like
        Labels of groups, numbers or text.

    Returns
    -------
    (n_terms,) array of bool
    """
    _, a = np.unique(a, return_inverse=True)
    _, b = np.unique(b, return_inverse=True)
    changed: Bools = match_table(contingencies(b[None], a)[0])[b] != a
    return changed
