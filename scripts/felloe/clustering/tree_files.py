"""The tree of the chart and its distances in files, with their terms."""

from pathlib import Path

import numpy as np

from felloe.clustering.tables import DELTA, LINKAGE
from felloe.ground.arrays import Floats
from felloe.ground.distances import Distances
from felloe.ground.files.tables import read_square, write_square
from felloe.ground.groups.tree import Tree
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.terms import Terms


def write_tree(path: str | Path, tree: Tree) -> None:
    """Write a tree: SciPy's linkage, and the first term of either side of every merge."""
    LINKAGE.write(
        path,
        [
            (int(left), int(right), height, int(size), *firsts)
            for (left, right, height, size), firsts in zip(tree.Z.tolist(), first_terms(tree))
        ],
    )


def first_terms(tree: Tree) -> list[tuple[str, str]]:
    """Return, for every merge, the alphabetically first term of its left and of its right side."""
    first, pairs = list(tree.terms), []
    for left, right in tree.Z[:, :2].astype(int).tolist():
        pairs.append((first[left], first[right]))
        first.append(min(pairs[-1]))
    return pairs


def read_tree(path: str | Path) -> Tree:
    """
    Read a tree: a term is the first term of the side of a merge that it is alone.

    Raises
    ------
    ValueError
        If the file is no tree, or a side does not begin with the term that it names.
    """
    rows = LINKAGE.read(path)
    Z = np.array([[row[name] for name in ("left", "right", "height", "size")] for row in rows])
    name = Path(path).name
    ids = {
        row[side]: row[f"{side}_first"]
        for row in rows
        for side in ("left", "right")
        if row[side] <= len(rows)
    }
    try:
        tree = Tree(Terms(ids[number] for number in range(len(rows) + 1)), Z)
    except (KeyError, ValueError) as error:
        raise ValueError(f"{name}: not a tree of terms: {error}") from error
    for number, (row, firsts) in enumerate(zip(rows, first_terms(tree))):
        if (row["left_first"], row["right_first"]) != firsts:
            raise ValueError(f"{name}: the sides of merge {number} begin with {firsts}")
    return tree


def write_distances(path: str | Path, distances: Distances) -> None:
    """Write the distances of the chart."""
    write_square(path, distances.terms, distances.D)


def read_distances(path: str | Path) -> Distances:
    """Read the distances of the chart."""
    return Distances(*read_square(path))


def write_delta(path: str | Path, terms: Terms, scores: Floats) -> None:
    """Write the delta score of every term, the worst first."""
    order = np.argsort(-np.round(scores, PRODUCT_DECIMALS), kind="stable")
    DELTA.write(path, [(terms[one], scores[one]) for one in order])
