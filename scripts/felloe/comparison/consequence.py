"""What pooling would do to the chart: trees of each population, cut at the same numbers."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.agreement import adjusted_rand
from felloe.ground.charting import charted, square_similarity
from felloe.ground.halves import similarities


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


def changed_terms(labels_a, labels_b):
    """
    Return the terms whose group changes between two charts.

    Groups are matched one to one so that as many terms as possible stay; where several
    matchings keep as many, the one with the larger shares of common terms is taken.

    Parameters
    ----------
    labels_a, labels_b : (n_terms,) array of int
        Labels from 0.

    Returns
    -------
    (n_terms,) array of bool

    References
    ----------
    Kuhn (1955), Naval Research Logistics Quarterly 2:83-97 (from memory).
    """
    from scipy.optimize import linear_sum_assignment

    n_a, n_b = labels_a.max() + 1, labels_b.max() + 1
    table = np.bincount(labels_a * n_b + labels_b, minlength=n_a * n_b).reshape(n_a, n_b)
    either = table.sum(axis=1, keepdims=True) + table.sum(axis=0, keepdims=True) - table
    # all shares together stay below one term, so they only decide between equal totals
    rows, columns = linear_sum_assignment(table + table / either / (n_a + n_b), maximize=True)
    partner = np.full(n_a, -1)
    partner[rows] = columns
    return partner[labels_a] != labels_b


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
            charted(square_similarity(row, vectors.n_terms), method, numbers)[1] for row in rows
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
