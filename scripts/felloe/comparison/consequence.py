"""What pooling would do to the chart: trees of each population, cut at the same numbers."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.agreement import adjusted_rand
from felloe.ground.charting import charted
from felloe.ground.contingency import changed_terms
from felloe.ground.halves import similarities
from felloe.ground.squares import squared


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
    changes: np.ndarray


def compare_tier(labels_a, labels_b):
    """Compare two charts in one tier; labels from 0 per term."""
    return TierComparison(adjusted_rand(labels_a, labels_b), changed_terms(labels_a, labels_b))


def changes_of_splits(vectors, groups, fallback, method, numbers):
    """
    Count the terms that change group between the charts of random divisions of the people.

    Parameters
    ----------
    vectors : PairVectors
    groups : (splits, n_people) array of bool
    fallback : (n_pairs,) array of float
        Similarity of pairs that nobody of a group placed.
    method : str
    numbers : sequence of int

    Returns
    -------
    (splits, len(numbers)) array of int
    """
    changes = np.zeros((len(groups), len(numbers)), dtype=int)
    for number, group in enumerate(groups):
        rows = similarities(vectors, np.stack([group, ~group]))
        rows = np.where(np.isfinite(rows), rows, fallback)
        one, other = (
            charted(squared(row, vectors.n_terms, diagonal=1.0), method, numbers)[1] for row in rows
        )
        changes[number] = [int(changed_terms(a, b).sum()) for a, b in zip(one, other, strict=True)]
    return changes


def leaf_order(tree):
    """
    Return the terms in the order of a tree's leaves.

    Parameters
    ----------
    tree : (n_terms - 1, 4) array of float

    Returns
    -------
    (n_terms,) array of int
        At every merge the branch that holds the alphabetically first term comes first.
    """
    n_terms = len(tree) + 1
    leaves = {term: [term] for term in range(n_terms)}
    for merge, (left, right) in enumerate(tree[:, :2].astype(int)):
        branches = sorted((leaves.pop(left), leaves.pop(right)), key=min)
        leaves[n_terms + merge] = branches[0] + branches[1]
    return np.array(leaves[2 * n_terms - 2])


def group_names(labels, terms):
    """Return, per term, the alphabetically first term of its group; terms are sorted."""
    first = {}
    for label, term in zip(labels.tolist(), terms, strict=True):
        first.setdefault(label, term)
    return [first[label] for label in labels.tolist()]
