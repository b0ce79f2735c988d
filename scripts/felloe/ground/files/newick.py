"""Trees in Newick notation; labels of inner nodes are supports in percent."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from felloe.ground.arrays import Bools, Floats
from felloe.ground.files.writing import write_text

SUPPORT_DECIMALS = 2
PARTS = re.compile(r"[(),;]|:[^(),:;]*|[^(),:;]+")


@dataclass(frozen=True)
class Node:
    """
    A node of a tree.

    Attributes
    ----------
    label : str
        Term of a leaf, support of an inner node, or empty.
    length : float or None
        Of the branch above the node.
    children : tuple of Node
        Empty for a leaf.
    """

    label: str = ""
    length: float | None = None
    children: tuple["Node", ...] = ()


def percent(share: float) -> str:
    """Return a share as the text of a percentage without idle zeros."""
    return f"{100.0 * share:.{SUPPORT_DECIMALS}f}".rstrip("0").rstrip(".")


def tree_of_linkage(Z: Floats, terms: Sequence[str], supports: Sequence[float]) -> Node:
    """
    Turn a linkage into nodes.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    terms : sequence of str
    supports : sequence of float
        Share for every merge; the last merge gets none.

    Returns
    -------
    Node
        Branch lengths are differences of merge heights, so every leaf lies as far below the
        root as the root is high.
    """
    nodes = [Node(term) for term in terms]
    heights = [0.0] * len(terms)
    for merge, (left, right, height) in enumerate(Z[:, :3].tolist()):
        children = tuple(
            Node(nodes[one].label, height - heights[one], nodes[one].children)
            for one in (int(left), int(right))
        )
        last = merge == len(Z) - 1
        nodes.append(Node("" if last else percent(supports[merge]), None, children))
        heights.append(height)
    return nodes[-1]


def tree_of_groups(groups: Bools, shares: Sequence[float], terms: Sequence[str]) -> Node:
    """
    Turn nested groups into nodes; groups that are not resolved further become polytomies.

    Parameters
    ----------
    groups : (C, N) array of bool
        Each two nested or disjoint.
    shares : (C,) sequence of float
        Support of each group.
    terms : sequence of str

    Returns
    -------
    Node
        Without branch lengths; children in the order of their first term.
    """
    order = sorted(range(len(groups)), key=lambda row: int(groups[row].sum()))
    loose = {place: Node(term) for place, term in enumerate(terms)}
    for row in order:
        inside = {int(place) for place in groups[row].nonzero()[0]}
        children = [place for place in sorted(loose) if place in inside]
        node = Node(percent(shares[row]), None, tuple(loose.pop(place) for place in children))
        loose[children[0]] = node
    return Node("", None, tuple(loose[place] for place in sorted(loose)))


def newick(node: Node) -> str:
    """Return the Newick text of a node, without the closing semicolon."""
    inner = f"({','.join(newick(child) for child in node.children)})" if node.children else ""
    length = "" if node.length is None else f":{node.length!r}"
    return f"{inner}{node.label}{length}"


def write_newick(path: str | Path, node: Node) -> None:
    """Write one tree."""
    write_text(path, newick(node) + ";\n")


def parse_newick(text: str) -> Node:
    """
    Read a tree as `newick` writes it; labels are taken as they stand, quotes are not known.

    Raises
    ------
    ValueError
        If the text is no such tree.
    """
    parts = PARTS.findall(text.strip())
    if not parts or parts.pop() != ";":
        raise ValueError("no semicolon at the end")
    waiting: list[list[Node]] = [[]]  # the children so far of every group that is open
    children: tuple[Node, ...] = ()
    label, length = "", ""
    for part in [*parts, ","]:
        if part == "(":
            if label or length or children:
                raise ValueError("a group opens within a label")
            waiting.append([])
        elif part in (",", ")"):
            waiting[-1].append(Node(label, float(length) if length else None, children))
            label, length, children = "", "", ()
            if part == ")":
                children = tuple(waiting.pop())
                if not waiting:
                    raise ValueError("more groups are closed than opened")
        elif part.startswith(":"):
            length = part[1:]
        else:
            label = part
    if len(waiting) != 1 or len(waiting[0]) != 1:
        raise ValueError("a group stays open, or there is more than one tree")
    return waiting[0][0]
