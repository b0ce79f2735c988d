"""The sensitivity grid: other weights, linkages and numbers of classes."""

from itertools import product

import numpy as np
from benchmarks.side_by_side import plain
from benchmarks.side_by_side.kernel import OURS, Kernel, Side
from benchmarks.side_by_side.of_counts import repeated
from benchmarks.side_by_side.of_trees import LOOP, linkage_work
from felloe.ground.people.sorts import UNPLACED
from felloe.sensitivity.universes import around, explore
from felloe.sensitivity.weighting import weighted_distances

LINKAGES = ("average", "complete", "weighted", "ward")
WEIGHTINGS = ("plain", "standardised", "information")
ROUNDED = 1e-9


def worth(row, together, seen, weighting):
    """Return what each pair of one person counts."""
    upper = np.triu_indices(len(row), 1)
    if weighting == "plain":
        return together.astype(float)
    if weighting == "standardised":
        pairs = together[upper][seen[upper]]
        share = pairs.mean()
        spread = np.sqrt(share * (1 - share))
        return (together - share) / spread * seen if spread > 0 else np.zeros(together.shape)
    told = np.zeros(together.shape)
    placed = (row != UNPLACED).sum()
    for pile in np.unique(row[row != UNPLACED]):
        inside = row == pile
        size = inside.sum()
        if size > 1:
            chance = size * (size - 1) / (placed * (placed - 1))
            told[np.ix_(inside, inside)] = np.round(-np.log2(chance), 12)
    return told


def weighted(study, weighting):
    """Return distances under one way of weighing, person by person."""
    n_terms, prior = study.n_terms, study.sorts.prior
    total, counted = np.zeros((n_terms, n_terms)), np.zeros((n_terms, n_terms))
    for row in study.sorts.piles:
        placed = row != UNPLACED
        seen = placed[:, None] & placed[None, :]
        total += worth(row, (row[:, None] == row[None, :]) & seen, seen, weighting)
        counted += seen
    similar = plain.shares(total, counted, prior)
    upper = np.triu_indices(n_terms, 1)
    low, high = similar[upper].min(), similar[upper].max()
    apart = 1.0 - similar if weighting == "plain" else (high - similar) / (high - low)
    np.fill_diagonal(apart, 0.0)
    return np.round(apart, 12)


def grid_in_a_loop(study, numbers):
    """Return the agreement with the published classes, and the terms that change, of every cut."""
    published, found = study.published.labels, []
    for weighting in WEIGHTINGS:
        apart = weighted(study, weighting)
        for linkage, number in product(LINKAGES, numbers):
            merges = plain.tree(np.sqrt(apart) if linkage == "ward" else apart, linkage)
            labels = plain.groups(merges, number)
            found.append([plain.adjusted_rand(labels, published), plain.moved(published, labels)])
    return np.array(found)


def grid(study):
    """Every chart of three weights, four linkages and three numbers of classes."""
    numbers = around(study.classes, 1, study.n_terms)

    def ours():
        charts = [
            (one.rand, len(one.changing))
            for weighting in WEIGHTINGS
            for one in explore(
                weighted_distances(study.sorts, weighting), study.published, LINKAGES, numbers
            )
        ]
        return np.array(charts)

    n_trees = len(WEIGHTINGS) * len(LINKAGES)
    trees = linkage_work(study.n_terms)["passes"] * n_trees
    return Kernel(
        name="sensitivity grid",
        size=study.size,
        unit="grid",
        sides={
            OURS: Side(repeated(ours), 2 if study.partial else 5),
            LOOP: Side(repeated(lambda: grid_in_a_loop(study, numbers)), 1),
        },
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=ROUNDED,
        checked=1,
        floor=[{"scatters": 2.0 * len(WEIGHTINGS) * study.placed_pairs, "passes": trees}],
        counted="three times the pairs that people placed, added one by one to two matrices; "
        f"{n_trees} linkages",
    )
