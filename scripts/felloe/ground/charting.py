"""Trees cut alike, so that charts of different people can be compared."""

from collections.abc import Sequence

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.counts import count_cooccurrence, similarity
from felloe.ground.distances import dissimilarity, rounded_dissimilarity
from felloe.ground.linkage import build_tree, cut
from felloe.ground.ranges import Asked, GroupNumbers


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


def common_numbers(
    classes: Asked,
    classes_range: Sequence[int],
    subclasses: Asked,
    subclasses_range: Sequence[int],
    n_terms: int,
) -> tuple[int, int]:
    """Return `GroupNumbers.common` of the settings one by one; goes with its last caller."""
    return GroupNumbers(classes, classes_range, subclasses, subclasses_range).common(n_terms)


def chart_dissimilarity(
    piles: Array, populations: Sequence[str] | Array, source: str, weights: str
) -> Floats:
    """
    Return the distances that the chart is made from.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
    populations : sequence of str
        The population of each participant.
    source : str
        "pooled", or the population that the chart is for.
    weights : {"plain", "equal"}
        "equal" averages the populations' similarities, so that each weighs the same.

    Returns
    -------
    (n_terms, n_terms) array of float
        As `dissimilarity`.
    """
    of_people = np.asarray(populations)
    if source != "pooled":
        return dissimilarity(*count_cooccurrence(np.asarray(piles)[of_people == source]))
    if weights == "plain":
        return dissimilarity(*count_cooccurrence(piles))
    if weights != "equal":
        raise ValueError(f"weights are 'plain' or 'equal', not {weights!r}")
    parts = [
        similarity(*count_cooccurrence(np.asarray(piles)[of_people == name]))
        for name in np.unique(of_people)
    ]
    return rounded_dissimilarity(np.asarray(sum(parts)) / len(parts))
