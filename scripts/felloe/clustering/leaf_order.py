"""A readable order of the leaves of a drawn tree; the order around the circle is another matter."""

import numpy as np

from felloe.ground.arrays import Ints
from felloe.ground.distances import Distances
from felloe.ground.groups.tree import Tree
from felloe.ground.terms import check_same


def leaf_order(tree: Tree, distances: Distances) -> Ints:
    """
    Turn the branches of a tree so that at every merge the nearest ends touch.

    Parameters
    ----------
    tree : Tree
    distances : Distances

    Returns
    -------
    (N,) array of int
        Places of the terms from one end to the other; every branch is a run. It starts with the
        end that comes first in term order.

    References
    ----------
    Gruvaeus & Wainer (1972), British Journal of Mathematical and Statistical Psychology
    25:200-206.
    """
    check_same(tree.terms, distances.terms, "the tree", "the distances")
    D = distances.D
    runs = [[term] for term in range(len(tree.terms))]
    for left, right in tree.Z[:, :2].astype(int):
        a, b = runs[left], runs[right]
        # of equal choices the first: branches are turned only for a gain
        choices = [(a, b), (a, b[::-1]), (a[::-1], b), (a[::-1], b[::-1])]
        best = min(choices, key=lambda pair: D[pair[0][-1], pair[1][0]])
        runs.append(best[0] + best[1])
    order = runs[-1]
    return np.array(order if order[0] < order[-1] else order[::-1])
