"""The trees that a circular order has to respect, read from one of their leaves."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints

Run = tuple[int, int]  # the half-open places of a group's leaves
MOST_CHILDREN = 14  # subsets of more children than this are not enumerated


@dataclass(frozen=True, eq=False)
class Node:
    """
    A group of leaves that stay together; its children may stand in any order.

    Attributes
    ----------
    children : tuple of Node
        Empty for a leaf.
    leaf : int
        The leaf's number, -1 for a group.
    """

    children: tuple["Node", ...] = ()
    leaf: int = -1


@dataclass(frozen=True)
class Laid:
    """
    A tree whose leaves are numbered so that every group is a run of places.

    Attributes
    ----------
    leaves : (n,) array of int
        The leaf at each place.
    groups : tuple of tuple of (int, int)
        The groups from the bottom up, each as the half-open runs of its children.
    """

    leaves: Ints
    groups: tuple[tuple[Run, ...], ...]


def from_linkage(Z: Floats) -> Node:
    """
    Return a merge tree as nodes of two children.

    Parameters
    ----------
    Z : (n - 1, 4) array of float
        SciPy's convention.

    Returns
    -------
    Node
    """
    nodes = [Node(leaf=i) for i in range(len(Z) + 1)]
    for left, right in np.asarray(Z)[:, :2].astype(int):
        nodes.append(Node((nodes[left], nodes[right])))
    return nodes[-1]


def leaves_below(node: Node) -> list[int]:
    """Return the leaves below a node, from left to right."""
    found: list[int] = []
    waiting = [node]
    while waiting:
        top = waiting.pop()
        if top.leaf >= 0:
            found.append(top.leaf)
        else:
            waiting.extend(reversed(top.children))
    return found


def from_tiers(Z: Floats, classes: Array, subclasses: Array) -> tuple[Node, list[list[int]]]:
    """
    Return the tree in which only classes and subclasses are kept together.

    A group of more than `MOST_CHILDREN` children keeps the merges of `Z` among them.

    Parameters
    ----------
    Z : (n - 1, 4) array of float
    classes, subclasses : (n,) array
        Labels; every subclass is within a class, and both are branches of the tree.

    Returns
    -------
    tree : Node
    refined : list of list of int
        The leaves of each group that keeps its merges.

    Raises
    ------
    ValueError
        If a class or subclass is not one branch of the tree.
    """
    refined: list[list[int]] = []
    root = _contracted(from_linkage(Z), [classes, subclasses], refined)
    return root, refined


def allowed_orders(
    Z: Floats, classes: Array, subclasses: Array, order_freedom: str
) -> tuple[Node, list[list[int]]]:
    """
    Return the tree that a circular order has to respect: every merge, or only the tiers.

    Parameters
    ----------
    Z : (n - 1, 4) array of float
    classes, subclasses : (n,) array
        See `from_tiers`.
    order_freedom : {'tree', 'tiers'}

    Returns
    -------
    tree : Node
    refined : list of list of int
        The leaves of each group that is too large for `tiers`.
    """
    if order_freedom == "tiers":
        return from_tiers(Z, classes, subclasses)
    return from_linkage(Z), []


def _contracted(node: Node, labelings: Sequence[Array], refined: list[list[int]]) -> Node:
    """Return `node` with the groups of the first labelling as its children."""
    if node.leaf >= 0:
        return node
    if not labelings:
        parts = [Node(leaf=leaf) for leaf in leaves_below(node)]
        if len(parts) > MOST_CHILDREN:
            refined.append(leaves_below(node))
            return node
        return Node(tuple(parts))
    tops = _tops(node, labelings[0])
    if len(tops) > len({labelings[0][leaf] for leaf in leaves_below(node)}):
        raise ValueError("a class or subclass is not one branch of the tree")
    parts = [_contracted(top, labelings[1:], refined) for top in tops]
    if len(parts) == 1:
        return parts[0]
    if len(parts) > MOST_CHILDREN:
        refined.append(leaves_below(node))
        return _replaced(node, dict(zip(map(id, tops), parts, strict=True)))
    return Node(tuple(parts))


def _tops(node: Node, labels: Array) -> list[Node]:
    """Return the largest branches whose leaves carry one label."""
    tops, waiting = [], [node]
    while waiting:
        top = waiting.pop()
        if top.leaf >= 0 or len({labels[leaf] for leaf in leaves_below(top)}) == 1:
            tops.append(top)
        else:
            waiting.extend(reversed(top.children))
    return tops


def _replaced(node: Node, replacements: Mapping[int, Node]) -> Node:
    """Return the binary tree above some of its branches, with the branches replaced."""
    if id(node) in replacements:
        return replacements[id(node)]
    return Node(tuple(_replaced(child, replacements) for child in node.children))


def hung_from_leaf(root: Node, leaf: int) -> Node:
    """
    Return the same unrooted tree hung from one leaf.

    The orders of the other leaves that the hung tree allows are the circular orders that the
    rooted tree allows, read from that leaf.

    Parameters
    ----------
    root : Node
    leaf : int

    Returns
    -------
    Node
        Without the leaf.
    """
    path = _path_to(root, leaf)
    above: Node | None = None
    for node, below in pairwise(path):
        parts = [child for child in node.children if child is not below]
        if above is not None:
            parts.append(above)
        above = parts[0] if len(parts) == 1 else Node(tuple(parts))
    if above is None:
        raise ValueError("a tree of one leaf has no other leaves to hang from it")
    return above


def _path_to(root: Node, leaf: int) -> list[Node]:
    """Return the nodes from the root down to a leaf."""
    parent: dict[int, Node] = {}
    waiting = [root]
    while (node := waiting.pop()).leaf != leaf:
        for child in node.children:
            parent[id(child)] = node
            waiting.append(child)
    path = [node]
    while path[-1] is not root:
        path.append(parent[id(path[-1])])
    return path[::-1]


def laid_out(root: Node) -> Laid:
    """
    Give every leaf a place so that every group is a run of places.

    Parameters
    ----------
    root : Node

    Returns
    -------
    Laid
    """
    leaves: list[int] = []
    groups: list[tuple[Run, ...]] = []
    run: dict[int, Run] = {}
    waiting = [(root, False)]
    while waiting:
        node, seen = waiting.pop()
        if node.leaf >= 0:
            run[id(node)] = (len(leaves), len(leaves) + 1)
            leaves.append(node.leaf)
        elif seen:
            runs = tuple(run[id(child)] for child in node.children)
            run[id(node)] = (runs[0][0], runs[-1][1])
            groups.append(runs)
        else:
            waiting.append((node, True))
            waiting.extend((child, False) for child in reversed(node.children))
    return Laid(np.array(leaves, dtype=int), tuple(groups))
