"""The order around a chart's circle with everything that says what it is worth."""

from dataclasses import dataclass

import numpy as np

from felloe.circle.free_tour import shortest_found
from felloe.clustering.redraws import redraw_trees, redrawn_distances
from felloe.ground.ordering.circular_order import (
    CircularOrder,
    circular_order,
    tour_length,
    whole_distances,
)
from felloe.ground.ordering.tree import from_linkage, from_tiers, leaves_below
from felloe.tiers.tree_surgery import pruned


def ordering_tree(Z, classes, subclasses, order_freedom):
    """
    Return the tree that the order respects.

    Parameters
    ----------
    Z : (n - 1, 4) array of float
    classes, subclasses : (n,) array
    order_freedom : {'tree', 'tiers'}

    Returns
    -------
    tree : Node
    refined : list of list of int
        Groups too large for `tiers`, which keep their merges.
    """
    if order_freedom == "tiers":
        return from_tiers(Z, classes, subclasses)
    return from_linkage(Z), []


@dataclass(frozen=True)
class OrderEvidence:
    """
    What the shortest order is to be compared with.

    Attributes
    ----------
    best : CircularOrder
    dendrogram, worst, free : float
        Lengths of the left-to-right order of the dendrogram, of the longest order that the tree
        allows, and of the best tour found that ignores the tree.
    random_mean, random_sd : float
        Of lengths of random drawings of the tree.
    """

    best: CircularOrder
    dendrogram: float
    worst: float
    free: float
    random_mean: float
    random_sd: float


def order_evidence(tree, Z, D, streams, drawings, starts):
    """
    Find the order and what it is to be compared with.

    Parameters
    ----------
    tree : Node
    Z : (n - 1, 4) array of float
    D : (n, n) array of float
    streams : Streams
    drawings, starts : int
        Random drawings, and starts of the free search.

    Returns
    -------
    OrderEvidence
    """
    best = circular_order(tree, D)
    random = random_drawings(tree, streams.generator("random-drawings"), drawings)
    lengths = np.array([tour_length(D, order) for order in random])
    free = shortest_found(whole_distances(D), best.order, streams.generator("free-tour"), starts)
    return OrderEvidence(
        best,
        tour_length(D, leaves_below(from_linkage(Z))),
        circular_order(tree, D, longest=True, count=False).length,
        tour_length(D, free),
        round(float(lengths.mean()), 12),
        round(float(lengths.std()), 12),
    )


def random_drawings(tree, rng, drawings):
    """
    Draw a tree at random: the children of every group in random order.

    Parameters
    ----------
    tree : Node
    rng : numpy.random.Generator
    drawings : int

    Returns
    -------
    list of list of int
    """
    nodes, waiting = [], [tree]
    while waiting:
        node = waiting.pop()
        nodes.append(node)
        waiting.extend(node.children)
    number = {id(node): i for i, node in enumerate(nodes)}
    orders = []
    for keys in rng.random((drawings, len(nodes))).tolist():
        order, waiting = [], [tree]
        while waiting:
            node = waiting.pop()
            if node.leaf >= 0:
                order.append(node.leaf)
            else:
                waiting.extend(sorted(node.children, key=lambda one: keys[number[id(one)]]))
        orders.append(order)
    return orders


def class_sequence(order, labels):
    """
    Read the order of classes from an order of terms in which they need not be whole.

    A class stands where its longest unbroken run stands, the first of them where several are
    as long.

    Parameters
    ----------
    order : (n,) array of int
    labels : (n,) array of int
        Class of every term, 0 to K - 1.

    Returns
    -------
    list of int
        Classes around the circle.
    """
    ring = np.asarray(labels)[np.asarray(order)]
    starts = np.flatnonzero(ring != np.roll(ring, 1))
    if not len(starts):
        return [int(ring[0])]
    sizes = np.diff(np.append(starts, starts[0] + len(ring)))
    longest = {}
    for start, size in zip(starts.tolist(), sizes.tolist()):
        label = int(ring[start])
        if label not in longest or size > longest[label][0]:
            longest[label] = size, start
    return sorted(longest, key=lambda label: longest[label][1])


def adjacency(basis, method, streams, replicates, labels, kept):
    """
    Share of redrawn studies in which two classes are neighbours on the circle.

    For every redraw of the participants the tree is built and its shortest circle found anew;
    classes are those of the published chart (see `class_sequence`).

    Parameters
    ----------
    basis : felloe.clustering.redraws.Basis
    method : str
    streams : Streams
    replicates : int
        The first ones of the bootstrap.
    labels : (n,) array of int
        Class of every term, 0 to K - 1.
    kept : (n,) array of bool
        Terms of the outer ring.

    Returns
    -------
    (K, K) array of float
        Symmetric; 1 everywhere off the diagonal for three classes or fewer.
    """
    merges = redraw_trees(basis, method, streams, range(replicates))
    measured = redrawn_distances(basis, streams, replicates)
    n, ring = basis.n_terms, np.flatnonzero(kept)
    upper = np.triu_indices(n, 1)
    neighbours = np.zeros((labels.max() + 1, labels.max() + 1), dtype=int)
    for merge, values in zip(merges, measured):
        D = np.zeros((n, n))
        D[upper] = values
        D = (D + D.T)[np.ix_(ring, ring)]
        heights = np.arange(1.0, n)
        Z = pruned(np.column_stack([merge, heights, heights]), kept)
        order = circular_order(from_linkage(Z), D, count=False).order
        classes = class_sequence(order, labels[ring])
        if len(classes) < 2:
            continue
        for one, other in {frozenset(pair) for pair in zip(classes, classes[1:] + classes[:1])}:
            neighbours[one, other] += 1
            neighbours[other, one] += 1
    return neighbours / replicates
