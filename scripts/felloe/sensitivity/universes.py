"""The chart under other reasonable choices, one universe per combination."""

from dataclasses import dataclass

import numpy as np

from felloe.clustering.ties import leaving_share
from felloe.ground.agreement import adjusted_rand
from felloe.ground.linkage import build_tree, cut


@dataclass(frozen=True)
class Universe:
    """
    Classes under one combination of choices.

    Attributes
    ----------
    linkage : str
    n_classes : int
    rand : float
        Adjusted Rand index with the published classes.
    changing : tuple of int
        Terms that do not get their published class.
    """

    linkage: str
    n_classes: int
    rand: float
    changing: tuple


def explore(D, published, linkages, numbers):
    """
    Cut the trees of several linkages into several numbers of classes.

    The classes of a universe are paired with the published ones, one to one, by most shared
    terms; a term gets its published class if its class is the one paired with it.

    Parameters
    ----------
    D : (N, N) array of float
    published : (N,) array of int
        Published classes, 0 to K - 1.
    linkages : sequence of str
    numbers : sequence of int

    Returns
    -------
    list of Universe
        Linkages in the given order, numbers within them.
    """
    found = []
    for linkage in linkages:
        tree = build_tree(D, linkage)
        for number in numbers:
            labels = cut(tree, number)
            changing = np.flatnonzero(leaving_share(labels[None], published))
            rand = adjusted_rand(labels, published)
            found.append(Universe(linkage, number, rand, tuple(changing.tolist())))
    return found


def around(number, distance, n_terms):
    """Return the numbers of classes up to `distance` from `number`, 2 to `n_terms` - 1."""
    return [k for k in range(number - distance, number + distance + 1) if 2 <= k < n_terms]


def shares(changing, n_terms):
    """
    Share of universes in which each term gets its published class.

    Parameters
    ----------
    changing : sequence of sequences of int
        For every universe the terms that do not.
    n_terms : int

    Returns
    -------
    (N,) array of float
    """
    away = np.bincount([term for universe in changing for term in universe], minlength=n_terms)
    return 1.0 - away / len(changing)


CHOICES = ("screening", "weighting", "linkage", "n_classes")


def level_shares(universes, terms):
    """
    Share of universes that give each term its published class, in all and within each level.

    Parameters
    ----------
    universes : list of dict
        With the keys of `CHOICES` and `terms_changing`, a list of terms.
    terms : sequence of str

    Returns
    -------
    share : (N,) array of float
    levels : list of (str, str)
        Choice and level, in the order in which they first appear.
    by_level : (N, L) array of float
    """
    given = np.array([[term not in one["terms_changing"] for term in terms] for one in universes])
    levels, columns = [], []
    for choice in CHOICES:
        values = [one[choice] for one in universes]
        for level in dict.fromkeys(values):
            inside = [value == level for value in values]
            levels.append((choice, str(level)))
            columns.append(given[inside].mean(axis=0))
    return given.mean(axis=0), levels, np.array(columns).T
