"""The tree and the neighbours of a chart as data: what the hub shows, and the joints of the rim."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from felloe.ground.files.tables import Row
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.tree import Tree


def tree_entry(
    tree: Tree, support: Mapping[frozenset[str], Row], moved: Iterable[str]
) -> dict[str, Any]:
    """
    Describe the published tree.

    Parameters
    ----------
    tree : Tree
    support : mapping of frozenset of str to row
        `clustering/support.csv` by the terms of the node.
    moved : iterable of str
        Terms that the committee placed elsewhere; a node of the data is known again without them.

    Returns
    -------
    dict
        `merges`, from the lowest to the root. Each names the two that it joins, a term by its
        id and a merge by its place in the list, the height, and whether the data carry the
        join: empty for one that only the committee has made, and for the root.
    """
    n, gone = len(tree.terms), frozenset(moved)
    settled = {members - gone: row for members, row in support.items()}
    terms = np.array(tree.terms, dtype=object)
    merges = []
    for (left, right, height, _), inside in zip(tree.Z.tolist(), tree.members(), strict=True):
        members = frozenset(terms[inside].tolist())
        row = support.get(members) or settled.get(members - gone)
        whole = len(members - gone) == n - len(gone)
        merges.append(
            {
                "left": ref(int(left), tree.terms),
                "right": ref(int(right), tree.terms),
                "height": round(float(height), DISTANCE_DECIMALS),
                "supported": bool(row["supported"]) if row and not whole else None,
            }
        )
    return {"merges": merges}


def ref(node: int, terms: Sequence[str]) -> str | int:
    """Return a term by its id, a merge by its place."""
    return terms[node] if node < len(terms) else node - len(terms)


def neighbour_shares(rows: Iterable[Row]) -> dict[frozenset[str], float]:
    """Return from `circle/adjacency.csv` how often two classes are neighbours."""
    return {frozenset((row["class"], row["other_class"])): row["support"] for row in rows}
