"""Many trees of the same terms at once: what lies below their merges, and their cuts."""

from collections.abc import Iterable

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.groups.agreement import adjusted_index, pairs

HASH_KEY = 20030105  # any number: it only names the terms in the hashes of clades


def counter_type(n_terms: int) -> "np.dtype[np.uint8] | np.dtype[np.uint16]":
    """Return the smallest unsigned type that counts up to `n_terms`."""
    return np.dtype(np.uint8) if n_terms < 2**8 else np.dtype(np.uint16)


def accumulate(merges: Array, leaves: Array) -> Array:
    """
    Add up, for every node of every tree, what its terms carry.

    Parameters
    ----------
    merges : (R, N - 1, 2) array of int
        As returned by `redraw_trees`.
    leaves : (N, C) array of unsigned int
        What each term carries.

    Returns
    -------
    (R, 2 N - 1, C) array of the type of `leaves`
        Terms first, then merges; sums wrap around.
    """
    n_trees, n_merges, _ = merges.shape
    n_terms = n_merges + 1
    nodes = np.empty((n_trees, n_terms + n_merges, leaves.shape[1]), dtype=leaves.dtype)
    nodes[:, :n_terms] = leaves
    flat = nodes.reshape(-1, leaves.shape[1])
    at = merges.astype(np.intp) + (np.arange(n_trees) * nodes.shape[1])[:, None, None]
    for merge in range(n_merges):
        np.add(
            flat.take(at[:, merge, 0], axis=0),
            flat.take(at[:, merge, 1], axis=0),
            out=nodes[:, n_terms + merge],
        )
    return nodes


def best_jaccard(merges: Array, reference: Bools, kept: Bools | None = None) -> Floats:
    """
    Find, for groups of terms, the most similar clade of every tree.

    Parameters
    ----------
    merges : (R, N - 1, 2) array of int
    reference : (C, N) array of bool
        Groups to be found again.
    kept : (N,) array of bool, optional
        Terms that count; the others are taken out of groups and trees alike.

    Returns
    -------
    (R, C) array of float
        Largest shared / united over the merges of the tree but its last; 1 where the very
        group is a clade, nan for a group of which fewer than two terms are kept.

    References
    ----------
    Hennig (2007), Computational Statistics & Data Analysis 52:258-271, for the coefficient.
    """
    n_terms = reference.shape[1]
    kept = np.ones(n_terms, dtype=bool) if kept is None else kept
    groups = reference & kept
    wanted = groups.sum(axis=1)
    # counts of shared terms; the last column counts the terms below each node
    kind = counter_type(2 * n_terms)
    below = accumulate(merges, np.concatenate([groups, kept[None]]).T.astype(kind))
    shared, sizes = below[:, n_terms:-1, :-1], below[:, n_terms:-1, -1:]
    united = np.maximum(sizes + wanted.astype(kind) - shared, 1)
    best = np.divide(shared, united, dtype=float).max(axis=1)
    return np.where(wanted >= 2, best, np.nan)


def clade_hashes(merges: Array) -> Array:
    """
    Name every clade of every tree by a number, so that clades can be counted.

    Parameters
    ----------
    merges : (R, N - 1, 2) array of int

    Returns
    -------
    (R, N - 1) array of uint64
        Equal for equal sets of terms; different sets meet with a chance of 2**-64.
    """
    n_terms = merges.shape[1] + 1
    names = np.random.Generator(np.random.PCG64(HASH_KEY)).integers(
        2**64, size=(n_terms, 1), dtype=np.uint64
    )
    return accumulate(merges, names)[:, n_terms:, 0]


def cuts(merges: Array, numbers: Iterable[int]) -> dict[int, Array]:
    """
    Cut every tree into given numbers of groups.

    Parameters
    ----------
    merges : (R, N - 1, 2) array of int
    numbers : iterable of int
        Each from 1 to N.

    Returns
    -------
    dict of int to (R, N) array of uint
        Labels 0 to k - 1 for each k: the state after the first N - k merges.

    Raises
    ------
    ValueError
        If a number lies outside 1 to N.
    """
    n_terms = merges.shape[1] + 1
    wanted = sorted(set(numbers))
    if wanted and not 1 <= wanted[0] <= wanted[-1] <= n_terms:
        raise ValueError(f"trees of {n_terms} terms cannot be cut into {wanted} groups")
    most = wanted[-1] if wanted else 1
    labels, above = finest_cut(merges, most)
    found = {}
    for k in range(most, 0, -1):
        if k in wanted:
            found[k] = np.ascontiguousarray(labels.T)
        # a merge more: the terms on its right go back to the group on its left
        labels = np.where(labels == k - 1, above[k - 1], labels)
    return dict(sorted(found.items()))


def finest_cut(merges: Array, most: int) -> tuple[Array, Array]:
    """
    Cut every tree into `most` groups, from the last merge down.

    Parameters
    ----------
    merges : (R, N - 1, 2) array of int
    most : int

    Returns
    -------
    labels : (N, R) array of uint
        Undoing a merge for `k` groups makes the terms on its right group k - 1.
    above : (most, R) array of uint
        Of every group the one that it was parted from; 0 of the first.
    """
    n_trees, n_merges, _ = merges.shape
    n_terms, tree = n_merges + 1, np.arange(n_trees)
    kind = counter_type(n_terms)
    nodes = np.zeros((n_terms + n_merges, n_trees), dtype=kind)
    above = np.zeros((most, n_trees), dtype=kind)
    for merge in range(n_merges - 1, -1, -1):
        own, group = nodes[n_terms + merge], n_terms - merge - 1
        left, right = merges[:, merge].T
        nodes[left, tree] = own
        nodes[right, tree] = group if group < most else own
        if group < most:
            above[group] = own
    return nodes[:n_terms], above


def group_jaccards(tables: Ints) -> Floats:
    """
    Best Jaccard coefficient of every reference group with a group of each tree's cut.

    Parameters
    ----------
    tables : (R, K', K) array of int
        As returned by `contingencies`.

    Returns
    -------
    (R, K') array of float
        0 to 1.
    """
    rows, columns = tables.sum(axis=2), tables.sum(axis=1)
    return np.asarray((tables / (rows[:, :, None] + columns[:, None, :] - tables)).max(axis=2))


def adjusted_rands(tables: Ints) -> Floats:
    """
    Adjusted Rand index of each tree's cut with the reference.

    Parameters
    ----------
    tables : (R, K', K) array of int

    Returns
    -------
    (R,) array of float
    """
    return np.asarray(
        adjusted_index(
            pairs(tables).sum(axis=(1, 2)),
            pairs(tables.sum(axis=2)).sum(axis=1),
            pairs(tables.sum(axis=1)).sum(axis=1),
            pairs(tables[0].sum()),
        )
    )
