"""What pooling would do to the chart: trees of each population, cut at the same numbers."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Bools, Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.groups.charting import cut_pairs
from felloe.ground.groups.contingency import changed_terms
from felloe.ground.groups.linkage import build_tree
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree
from felloe.ground.people.halves import correlate_rows, divided_similarities
from felloe.ground.people.pairs import SomePairs

TIERS = ("class", "subclass")


@dataclass(frozen=True)
class Chart:
    """
    One tree, cut.

    Attributes
    ----------
    tree : Tree
    tiers : (Partition, Partition)
        Classes and subclasses.
    """

    tree: Tree
    tiers: tuple[Partition, Partition]


@dataclass(frozen=True)
class TierComparison:
    """
    Two charts compared in one tier.

    Attributes
    ----------
    adjusted_rand : float
    changes : (n_terms,) array of bool
        Terms that are not in the group of the other chart that stands for their own.
    """

    adjusted_rand: float
    changes: Bools


def chart_at(distances: Distances, method: str, numbers: tuple[int, int]) -> Chart:
    """
    Build the tree of some distances and cut it.

    Parameters
    ----------
    distances : Distances
    method : str
        Linkage.
    numbers : (int, int)
        Numbers of classes and of subclasses.
    """
    tree = Tree(distances.terms, build_tree(distances.D, method))
    return Chart(tree, (tree.cut(numbers[0]), tree.cut(numbers[1])))


def compare_charts(one: Chart, other: Chart) -> tuple[TierComparison, TierComparison]:
    """
    Compare two charts of the same terms in both tiers.

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If they are not about the same terms in the same order.
    """
    classes, subclasses = (
        TierComparison(a.adjusted_rand(b), a.changed(b))
        for a, b in zip(one.tiers, other.tiers, strict=True)
    )
    return classes, subclasses


def compare_splits(
    vectors: SomePairs, groups: Bools, fallback: Floats, method: str, numbers: Sequence[int]
) -> tuple[Floats, Ints]:
    """
    Compare the two groups of random divisions of the people: their matrices, and their charts.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    groups : (splits, n_people) array of bool
    fallback : (n_pairs,) array of float
        Similarity of pairs that nobody of a group placed.
    method : str
    numbers : sequence of int

    Returns
    -------
    correlations : (splits,) array of float
        As returned by `divided_correlations`.
    changes : (splits, len(numbers)) array of int
        Terms that change group.
    """
    correlations, changes = [], []
    for inside, outside in divided_similarities(vectors, groups):
        correlations.append(correlate_rows(inside, outside))
        for both in zip(inside, outside, strict=True):
            rows = [np.where(np.isfinite(row), row, fallback) for row in both]
            one, other = (cut_pairs(row, method, numbers) for row in rows)
            changes.append(
                [int(changed_terms(a, b).sum()) for a, b in zip(one, other, strict=True)]
            )
    return np.concatenate(correlations), np.array(changes, dtype=int)


def places_by_first_term(tree: Tree) -> list[int]:
    """
    Return where each term stands in a drawing of its tree, from 1.

    At every merge the branch that holds the alphabetically first term comes first, so that the
    places of a table hang on nothing but the tree. (The order of the published tree, which brings
    near ends together, is the clustering's.)

    Parameters
    ----------
    tree : Tree

    Returns
    -------
    list of int
        In the order of the tree's terms.
    """
    leaves = {node: [term] for node, term in enumerate(tree.terms)}
    for merge, (left, right) in enumerate(tree.Z[:, :2].astype(int).tolist()):
        one, other = sorted((leaves.pop(left), leaves.pop(right)), key=min)
        leaves[len(tree.terms) + merge] = one + other
    (order,) = leaves.values()
    return [order.index(term) + 1 for term in tree.terms]
