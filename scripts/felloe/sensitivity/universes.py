"""The chart under other reasonable choices, one universe per combination."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from felloe.ground.arrays import Floats
from felloe.ground.distances import Distances
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import tree_of
from felloe.ground.people.small_cells import is_small
from felloe.ground.terms import Terms, check_same

CHOICES = ("screening", "weighting", "linkage", "n_classes")


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
    changing : tuple of str
        Terms that do not get their published class.
    """

    linkage: str
    n_classes: int
    rand: float
    changing: tuple[str, ...]


def explore(
    distances: Distances, published: Partition, linkages: Sequence[str], numbers: Sequence[int]
) -> list[Universe]:
    """
    Cut the trees of several linkages into several numbers of classes.

    The classes of a universe are paired with the published ones, one to one, by most shared
    terms; a term gets its published class if its class is the one paired with it.

    Parameters
    ----------
    distances : Distances
    published : Partition
    linkages : sequence of str
    numbers : sequence of int

    Returns
    -------
    list of Universe
        Linkages in the given order, numbers within them.

    Raises
    ------
    DifferentTerms
        If the distances and the published classes are not about the same terms.
    """
    check_same(distances.terms, published.terms, "the distances", "the published classes")
    found = []
    for linkage in linkages:
        tree = tree_of(distances, linkage)
        for number in numbers:
            classes = tree.cut(number)
            away = np.flatnonzero(published.changed(classes))
            changing = tuple(published.terms[place] for place in away)
            found.append(Universe(linkage, number, classes.adjusted_rand(published), changing))
    return found


def around(number: int, distance: int, n_terms: int) -> list[int]:
    """Return the numbers of classes up to `distance` from `number`, 2 to `n_terms` - 1."""
    return [k for k in range(number - distance, number + distance + 1) if 2 <= k < n_terms]


def shares(changing: Sequence[Sequence[str]], terms: Terms) -> Floats:
    """
    Share of universes in which each term gets its published class.

    Parameters
    ----------
    changing : sequence of sequences of str
        For every universe the terms that do not.
    terms : Terms

    Returns
    -------
    (N,) array of float
    """
    places = [place for away in changing for place in terms.places(away)]
    return 1.0 - np.bincount(places, minlength=len(terms)) / len(changing)


@dataclass(frozen=True)
class LevelShares:
    """
    How many universes give each term its published class.

    Attributes
    ----------
    terms : Terms
    share : (N,) array of float
        Of all universes.
    levels : list of (str, str)
        Choice and level, in the order in which they first appear.
    by_level : (N, L) array of float
        Of the universes of each level.
    """

    terms: Terms
    share: Floats
    levels: list[tuple[str, str]]
    by_level: Floats


def level_shares(universes: Sequence[dict[str, Any]], terms: Terms) -> LevelShares:
    """
    Share of universes that give each term its published class, in all and within each level.

    Parameters
    ----------
    universes : list of dict
        With the keys of `CHOICES` and `terms_changing`, the ids of the terms that do not.
    terms : Terms

    Returns
    -------
    LevelShares
    """
    given = np.array([[term not in one["terms_changing"] for term in terms] for one in universes])
    levels, columns = [], []
    for choice in CHOICES:
        values = [one[choice] for one in universes]
        for level in dict.fromkeys(values):
            inside = [value == level for value in values]
            levels.append((choice, str(level)))
            columns.append(given[inside].mean(axis=0))
    return LevelShares(terms, given.mean(axis=0), levels, np.array(columns).T)


def lost_a_few(before: Sequence[str], after: Sequence[str], least: int) -> bool:
    """
    Return whether some population lost somebody, and fewer than `least` people.

    Parameters
    ----------
    before, after : sequence of str
        The population of everybody, and of those who are kept.
    least : int
    """
    lost = Counter(before) - Counter(after)
    return any(is_small(n, least) for n in lost.values())


def universe_rows(
    universes: Sequence[Universe], choices: Mapping[str, str], n_participants: int | None
) -> list[dict[str, Any]]:
    """
    Return one row per universe, not yet numbered.

    Parameters
    ----------
    universes : sequence of Universe
    choices : mapping
        `screening` and `weighting` of them all.
    n_participants : int or None
        None where it would tell how many a few were.
    """
    return [
        {
            "universe": None,
            **choices,
            "linkage": one.linkage,
            "n_classes": one.n_classes,
            "n_participants": n_participants,
            "is_chart": None,
            "ari_with_published": one.rand,
            "n_terms_changing": len(one.changing),
            "terms_changing": one.changing,
        }
        for one in universes
    ]


def numbered(rows: Sequence[dict[str, Any]], own: dict[str, Any]) -> list[dict[str, Any]]:
    """
    Number universes from 1 and mark those that the chart's own choices made.

    Parameters
    ----------
    rows : list of dict
        With the keys of `CHOICES`.
    own : dict
        The chart's own choices, by the keys of `CHOICES`.

    Returns
    -------
    list of dict
        With `universe` and `is_chart` set.
    """
    return [
        {**row, "universe": number, "is_chart": all(row[name] == own[name] for name in CHOICES)}
        for number, row in enumerate(rows, 1)
    ]
