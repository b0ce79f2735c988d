"""The tree and the neighbours of a chart as data: what the hub shows, and the joints of the rim."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row
from felloe.ground.groups.tree import Tree
from felloe.ground.rounding import DISTANCE_DECIMALS


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
    gone = frozenset(moved)
    settled: dict[frozenset[str], Row] = {}
    for members in sorted(support, key=len):  # the lowest node that holds them
        settled.setdefault(members - gone, support[members])
    below: list[frozenset[str]] = [frozenset((term,)) for term in tree.terms]
    merges = []
    for left, right, height, _ in tree.Z.tolist():
        sides = below[int(left)], below[int(right)]
        below.append(sides[0] | sides[1])
        # where one side holds nothing but what was moved, the committee made the join
        of_data = all(side - gone for side in sides) and below[-1] != frozenset(tree.terms)
        row = settled.get(below[-1] - gone) if of_data else None
        merges.append(
            {
                "left": ref(int(left), tree.terms),
                "right": ref(int(right), tree.terms),
                "height": round(float(height), DISTANCE_DECIMALS),
                "supported": bool(row["supported"]) if row else None,
            }
        )
    return {"merges": merges}


def ref(node: int, terms: Sequence[str]) -> str | int:
    """Return a term by its id, a merge by its place."""
    return terms[node] if node < len(terms) else node - len(terms)


def neighbour_shares(rows: Iterable[Row]) -> dict[frozenset[str], float]:
    """Return from `circle/adjacency.csv` how often two classes are neighbours."""
    return {frozenset((row["class"], row["other_class"])): row["support"] for row in rows}
