"""What a scripter writes with NumPy and SciPy: counting, trees, cuts, one after another."""

import numpy as np
from felloe.ground.people.sorts import UNPLACED
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.optimize import linear_sum_assignment
from scipy.spatial.distance import squareform


def counted(piles, people):
    """Count who put, and who placed, both of two terms: person by person."""
    n_terms = piles.shape[1]
    together, both = np.zeros((n_terms, n_terms)), np.zeros((n_terms, n_terms))
    for person in people:
        row = piles[person]
        placed = row != UNPLACED
        seen = placed[:, None] & placed[None, :]
        together += (row[:, None] == row[None, :]) & seen
        both += seen
    return together, both


def shares(together, both, prior):
    """Return the share of those who placed two terms and put them together."""
    upper = np.triu_indices(len(together), 1)
    if prior is not None:
        mean = together[upper].sum() / both[upper].sum()
        together, both = together + prior * mean, both + prior
    similar = together / both
    np.fill_diagonal(similar, 1.0)
    return similar


def distances(piles, people, prior):
    """Return distances of some people, rounded so that what is equal as a fraction is equal."""
    return np.round(1.0 - shares(*counted(piles, people), prior), 12)


def tree(apart, method="average"):
    """Return SciPy's tree of a square matrix of distances."""
    return linkage(squareform(apart, checks=False), method)


def groups(merges, number):
    """Cut a tree: `fcluster`, and where heights tie, so that it finds fewer, merge by merge."""
    labels = fcluster(merges, number, "maxclust")
    if labels.max() < number:
        labels = np.arange(len(merges) + 1)
        for clade in clades(merges)[: len(labels) - number]:
            labels[list(clade)] = min(clade)
    return labels


def clades(merges):
    """Return the groups of terms of a tree, as sets."""
    n_terms = len(merges) + 1
    below = {term: frozenset([term]) for term in range(n_terms)}
    for number, (left, right) in enumerate(merges[:, :2].astype(int).tolist()):
        below[n_terms + number] = below[left] | below[right]
    return [below[n_terms + number] for number in range(n_terms - 1)]


def table(one, other):
    """Count the terms that groups of two divisions share."""
    rows, columns = np.unique(one), np.unique(other)
    return np.array([[np.sum((one == a) & (other == b)) for b in columns] for a in rows])


def moved(one, other):
    """Count the terms that change group when groups are paired by most shared terms."""
    shared = table(one, other)
    return len(one) - int(shared[linear_sum_assignment(shared, maximize=True)].sum())


def adjusted_rand(one, other):
    """Return the adjusted Rand index of two divisions."""
    shared = table(one, other)

    def pairs(counts):
        return float((counts * (counts - 1) / 2).sum())

    both, rows, columns = pairs(shared), pairs(shared.sum(axis=1)), pairs(shared.sum(axis=0))
    expected = rows * columns / (len(one) * (len(one) - 1) / 2)
    most = (rows + columns) / 2
    return 1.0 if most == expected else (both - expected) / (most - expected)
