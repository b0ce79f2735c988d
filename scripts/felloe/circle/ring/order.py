"""The order around a chart's circle with the lengths that say what it is worth."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from felloe.circle.agreement import CircularAgreement, circular_agreement
from felloe.circle.ring.free_tour import shortest_found
from felloe.circle.ring.layout import Layout, OuterRing, lay_out
from felloe.circle.settings import CircleSettings
from felloe.ground.ordering.circular_order import (
    CircularOrder,
    circular_order,
    tour_length,
    whole_distances,
)
from felloe.ground.ordering.tree import Node, allowed_orders, from_linkage, leaves_below
from felloe.ground.randomness import Streams
from felloe.ground.rounding import DISTANCE_DECIMALS


def ordering_tree(outer: OuterRing, order_freedom: str) -> tuple[Node, list[list[str]]]:
    """
    Return the tree that the order respects.

    Parameters
    ----------
    outer : OuterRing
    order_freedom : {'tree', 'tiers'}

    Returns
    -------
    tree : Node
    refined : list of list of str
        Groups too large for `tiers`, which keep their merges.
    """
    classes, subclasses = np.array(outer.classes), np.array(outer.subclasses)
    kept, refined = allowed_orders(outer.tree.Z, classes, subclasses, order_freedom)
    return kept, [[outer.terms[leaf] for leaf in group] for group in refined]


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


def order_evidence(
    outer: OuterRing, kept: Node, streams: Streams, settings: CircleSettings
) -> OrderEvidence:
    """
    Find the order and what it is to be compared with.

    Parameters
    ----------
    outer : OuterRing
    kept : Node
        The tree that the order respects.
    streams : Streams
    settings : CircleSettings

    Returns
    -------
    OrderEvidence
    """
    D, best = outer.distances.D, circular_order(kept, outer.distances.D)
    random = random_drawings(kept, streams.generator("random-drawings"), settings.random_drawings)
    lengths = np.array([tour_length(D, order) for order in random])
    rng, starts = streams.generator("free-tour"), settings.free_tour_starts
    free = shortest_found(whole_distances(D), best.order, rng, starts)
    return OrderEvidence(
        best=best,
        dendrogram=tour_length(D, leaves_below(from_linkage(outer.tree.Z))),
        worst=circular_order(kept, D, longest=True, count=False).length,
        free=tour_length(D, free),
        random_mean=round(float(lengths.mean()), DISTANCE_DECIMALS),
        random_sd=round(float(lengths.std()), DISTANCE_DECIMALS),
    )


def random_drawings(tree: Node, rng: np.random.Generator, drawings: int) -> list[list[int]]:
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
    nodes: list[Node] = []
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        nodes.append(node)
        waiting.extend(node.children)
    number = {id(node): i for i, node in enumerate(nodes)}
    orders = []
    for keys in rng.random((drawings, len(nodes))).tolist():
        order: list[int] = []
        waiting = [tree]
        while waiting:
            node = waiting.pop()
            if node.leaf >= 0:
                order.append(node.leaf)
            else:
                waiting.extend(sorted(node.children, key=lambda one: keys[number[id(one)]]))
        orders.append(order)
    return orders


@dataclass(frozen=True)
class DrawnRing:
    """
    The outer ring of a chart with its order.

    Attributes
    ----------
    outer : OuterRing
    layout : Layout
    evidence : OrderEvidence
    refined : sequence of sequences of str
        See `ordering_tree`.
    """

    outer: OuterRing
    layout: Layout
    evidence: OrderEvidence
    refined: Sequence[Sequence[str]]


def drawn_ring(
    outer: OuterRing,
    streams: Streams,
    settings: CircleSettings,
    previous: Mapping[str, float] | None,
) -> DrawnRing:
    """
    Order a ring and lay it out.

    Parameters
    ----------
    outer : OuterRing
    streams : Streams
    settings : CircleSettings
    previous : mapping of str to float or None
        Degrees of terms in a ring that this one is to lie like.

    Returns
    -------
    DrawnRing
    """
    kept, refined = ordering_tree(outer, settings.order_freedom)
    evidence = order_evidence(outer, kept, streams, settings)
    budget, class_gap = settings.gap_budget_deg, settings.class_gap
    layout = lay_out(outer, evidence.best.order, budget, class_gap, previous)
    return DrawnRing(outer, layout, evidence, refined)


def agreement_with_map(
    ring: DrawnRing, directions: Mapping[str, float], streams: Streams, permutations: int
) -> CircularAgreement:
    """
    Compare the directions of a ring with those of the map.

    Parameters
    ----------
    ring : DrawnRing
    directions : mapping of str to float
        On the map, radians, by term; other terms than those of the ring are left out.
    streams : Streams
    permutations : int

    Returns
    -------
    CircularAgreement
    """
    there = np.array([directions[ring.outer.terms[place]] for place in ring.layout.order])
    here = np.radians(ring.layout.ring.middles)
    return circular_agreement(here, there, streams.generator("ring-and-map"), permutations)
