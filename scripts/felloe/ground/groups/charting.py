"""Trees cut alike, so that charts of different people can be compared."""

from collections.abc import Sequence

import numpy as np

from felloe.ground.arrays import Floats, Ints
from felloe.ground.distances import rounded_dissimilarity
from felloe.ground.groups.linkage import build_tree, cut, tree_of_pairs
from felloe.ground.rounding import DISTANCE_DECIMALS


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


def cut_pairs(similar: Floats, method: str, numbers: Sequence[int]) -> list[Ints]:
    """
    Return what `charted` cuts, from similarities told once for each pair of terms.

    Parameters
    ----------
    similar : (n_pairs,) array of float
        As the upper triangle of terms by terms is read, row by row.
    method : str
    numbers : sequence of int
    """
    tree = tree_of_pairs(np.round(1.0 - similar, DISTANCE_DECIMALS), method)
    return [cut(tree, number) for number in numbers]
