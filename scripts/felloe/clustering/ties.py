"""What tied distances do to the tree: the same distances in many orders of the terms."""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256

import numpy as np

from felloe.clustering.replicates.replicate_trees import (
    adjusted_rands,
    clade_hashes,
    cuts,
    group_jaccards,
)
from felloe.clustering.tree_similarity import joining_heights
from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.groups.contingency import contingencies, match_groups
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.randomness import Streams
from felloe.ground.terms import Terms

PURPOSE = "tie-order"


@dataclass(frozen=True)
class TieAudit:
    """
    The tree under many input orders, against the tree in sorted order.

    Attributes
    ----------
    terms : Terms
    orders : int
        Input orders tried.
    distinct_values, pairs : int
        Different distances, and how many there are in all.
    distinct_trees : int
        Trees that differ in the height at which some two terms join.
    distinct_mergings : int
        Trees that differ in the sequence of merges; tied merges at one height count.
    node_share : (N - 1,) array of float
        Share of orders in which the group of each merge is found.
    term_share, subclass_share : (N,) array of float
        Share of orders in which the term leaves its class, or its subclass.
    class_agreement : (k,) array of float
        Mean best Jaccard coefficient of each class with the classes of the other orders.
    rand_mean, rand_least : float
        Adjusted Rand index of the classes with those of the other orders.
    """

    terms: Terms
    orders: int
    distinct_values: int
    pairs: int
    distinct_trees: int
    distinct_mergings: int
    node_share: Floats
    term_share: Floats
    subclass_share: Floats
    class_agreement: Floats
    rand_mean: float
    rand_least: float


def input_orders(n_terms: int, streams: Streams, number: int) -> list[Ints]:
    """Return random orders in which terms are read, each keyed by its own number."""
    return [streams.generator(PURPOSE, one).permutation(n_terms) for one in range(number)]


def reorder(D: Floats, method: str, orders: Sequence[Ints]) -> tuple[Array, list[bytes]]:
    """
    Build the tree of the same distances for several orders of the terms.

    Parameters
    ----------
    D : (N, N) array of float
    method : str
    orders : sequence of (N,) array of int
        Permutations of the terms.

    Returns
    -------
    merges : (P, N - 1, 2) array of uint16
        In the numbering of the rows of `D`.
    joined : list of bytes
        Hash of the heights at which terms join, rounded, by which equal trees are known.
    """
    n_terms = len(D)
    merges, joined = [], []
    for order in orders:
        tree = build_tree(D[np.ix_(order, order)], method)
        names = np.concatenate([order, np.arange(n_terms, 2 * n_terms - 1)])
        merges.append(names[tree[:, :2].astype(int)])
        back = np.argsort(order, kind="stable")
        joined.append(named(joining_heights(tree)[np.ix_(back, back)]))
    return np.array(merges, dtype=np.uint16), joined


def named(heights: Floats) -> bytes:
    """Return the hash of joining heights: a square for every order would fill the memory."""
    return sha256(heights.tobytes()).digest()


def held_share(hashes: Array, wanted: Array) -> Floats:
    """Return in which share of trees, (P, n) hashes of clades, each wanted clade is one."""
    values, counts = np.unique(hashes, return_counts=True)  # a tree holds a clade once
    at = np.minimum(np.searchsorted(values, wanted), len(values) - 1)
    return np.asarray(np.where(values[at] == wanted, counts[at], 0) / len(hashes))


def audit_ties(
    distances: Distances, method: str, orders: Sequence[Ints], classes: int, subclasses: int
) -> TieAudit:
    """
    Find out what depends on the order in which tied distances are met.

    Parameters
    ----------
    distances : Distances
    method : str
    orders : sequence of (N,) array of int
    classes, subclasses : int
        Numbers of groups of the two cuts.

    Returns
    -------
    TieAudit

    References
    ----------
    Fernandez & Gomez (2008), Journal of Classification 25:43-65, on ties in proximity.
    """
    D = distances.D
    canonical = build_tree(D, method)
    merges, joined = reorder(D, method, orders)
    found = cuts(merges, [classes, subclasses])
    tables = contingencies(found[classes], cut(canonical, classes))
    rands = adjusted_rands(tables)
    sets = np.sort(clade_hashes(merges), axis=1)
    own = clade_hashes(canonical[None, :, :2].astype(np.uint16))[0]
    return TieAudit(
        terms=distances.terms,
        orders=len(merges),
        distinct_values=len(np.unique(distances.pairs)),
        pairs=len(distances.pairs),
        distinct_trees=len(set(joined)),
        distinct_mergings=len(np.unique(sets, axis=0)),
        node_share=held_share(sets, own),
        term_share=leaving_share(found[classes], cut(canonical, classes)),
        subclass_share=leaving_share(found[subclasses], cut(canonical, subclasses)),
        class_agreement=group_jaccards(tables).mean(axis=0),
        rand_mean=float(rands.mean()),
        rand_least=float(rands.min()),
    )


def leaving_share(labels: Array, reference: Ints) -> Floats:
    """
    Share of partitions in which each term is not in the group that stands for its own.

    Parameters
    ----------
    labels : (P, N) array of int
    reference : (N,) array of int

    Returns
    -------
    (N,) array of float
    """
    matched = match_groups(contingencies(labels, reference))
    fallen = np.take_along_axis(matched, labels.astype(np.intp), axis=1)
    return np.asarray((fallen != reference).mean(axis=0))
