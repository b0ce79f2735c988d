"""Trees cut alike, so that charts of different people can be compared."""

from collections.abc import Sequence

from felloe.ground.arrays import Floats, Ints
from felloe.ground.distances import rounded_dissimilarity
from felloe.ground.groups.linkage import build_tree, cut


def charted(similar: Floats, method: str, numbers: Sequence[int]) -> tuple[Floats, list[Ints]]:
    """
    Build the tree of a similarity matrix and cut it.

    Parameters
    ----------
    similar : (n_terms, n_terms) array of float
    method : str
        Linkage.
    numbers : sequence of int
        Numbers of groups.

    Returns
    -------
    tree : (n_terms - 1, 4) array of float
    labels : list of (n_terms,) array of int
        One per number.
    """
    tree = build_tree(rounded_dissimilarity(similar), method)
    return tree, [cut(tree, number) for number in numbers]
