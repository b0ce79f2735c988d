"""Counting who put what together, and how well halves of the people repeat each other."""

import numpy as np
from benchmarks.side_by_side import plain
from benchmarks.side_by_side.kernel import OURS, Kernel, Side
from felloe.ground.people.counts import count_cooccurrence
from felloe.ground.people.halves import random_groups, spearman_brown, split_half_reliability
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.people.sorts import UNPLACED

LOOP = "NumPy, person by person"
DECIMALS = 1e-9  # correlations are rounded to nine
SAMPLED = 300  # people of a large study whose halves are compared


def largest(one, other):
    """Return the largest difference of two things made of numbers."""
    return max(float(np.abs(a - b).max()) for a, b in zip(one, other, strict=True))


def repeated(work):
    """Do something so many times; return the last result."""

    def several(times):
        for _ in range(times):
            result = work()
        return result

    return several


def counting_floor(study):
    """Return the least work of counting: placed pairs one by one, or a product of matrices."""
    piles = sum(len(np.unique(row[row != UNPLACED])) for row in study.sorts.piles)
    square = study.n_terms**2
    written = {"bytes": 16.0 * square}
    dense = {"products in single precision": (piles + study.n_people) * square / 2}
    return [{"scatters": 2.0 * study.placed_pairs} | written, dense | written]


def counting(study):
    """Both matrices of counts of a whole study."""
    piles = study.sorts.piles
    return Kernel(
        name="counting",
        size=study.size,
        unit="study",
        sides={
            OURS: Side(repeated(lambda: count_cooccurrence(piles)), 3 if study.partial else 50),
            LOOP: Side(repeated(lambda: plain.counted(piles, range(len(piles)))), 1),
        },
        apart=largest,
        tolerance=0.0,
        checked=1,
        floor=counting_floor(study),
        counted="the pairs that people placed, added one by one to two matrices; or half of the "
        "product of piles by terms with itself, and of people by terms",
    )


def halves_in_a_loop(study, piles, halves):
    """Return the mean correlation of random halves, and the reliability of all."""
    rng, people = study.streams.generator("halves"), len(piles)
    upper = np.triu_indices(study.n_terms, 1)
    found = []
    for group in random_groups(rng, people, people // 2, halves):
        one, other = (
            plain.shares(*plain.counted(piles, np.flatnonzero(half)), study.sorts.prior)[upper]
            for half in (group, ~group)
        )
        found.append(np.corrcoef(one, other)[0, 1])
    mean = float(np.mean(found))
    return mean, spearman_brown(mean)


def reliability(study):
    """Correlate the matrices of random halves of the people."""
    prior, piles = study.sorts.prior, study.sorts.piles[:SAMPLED]
    n_people, n_pairs = len(piles), study.n_pairs

    def ours(halves):
        rng = study.streams.generator("halves")
        found = split_half_reliability(pair_vectors(piles, prior), halves, rng)
        return found.half_correlation, found.reliability

    placed = study.placed_pairs * n_people / study.n_people
    correlated = {"passes": 6.0 * n_pairs, "draws": float(n_people)}
    people = f", {n_people} of the people" if n_people < study.n_people else ""
    return Kernel(
        name="split halves",
        size=study.size + people,
        unit="division",
        sides={
            OURS: Side(ours, 40 if study.partial else 200),
            LOOP: Side(lambda halves: halves_in_a_loop(study, piles, halves), 2),
        },
        apart=lambda one, other: float(np.abs(np.subtract(one, other)).max()),
        tolerance=DECIMALS,
        checked=3,
        floor=[
            {"scatters": placed / 2 * (2 if study.partial else 1)} | correlated,
            {"products in single precision": n_people * n_pairs * (2.0 if study.partial else 1.0)}
            | correlated,
        ],
        counted="one half counted (the other is what is left), as for counting; six passes over "
        "all pairs for a correlation; a number drawn for each person",
    )
