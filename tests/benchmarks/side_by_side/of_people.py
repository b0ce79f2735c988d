"""The people: how they agree, and whether two populations are exchangeable."""

from functools import cache

import numpy as np
from benchmarks.side_by_side import in_r, plain
from benchmarks.side_by_side.kernel import OURS, Kernel, Side
from benchmarks.side_by_side.of_counts import LOOP
from benchmarks.side_by_side.of_trees import linkage_work
from felloe.comparison.consequence import compare_splits
from felloe.comparison.exchanging.label_tests import permanova, shuffled_people
from felloe.comparison.exchanging.term_differences import term_differences
from felloe.ground.people.halves import random_groups
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.squares import doubly_centred
from felloe.validation.screened.consensus import agreement_with_others

ROUNDED = 1e-9
SAMPLED = 100  # people of a large study who are held against the others


def agreement_in_a_loop(piles, prior):
    """Return everybody's adjusted Rand index with the tree of the others."""
    together, both = plain.counted(piles, range(len(piles)))
    upper = np.triu_indices(piles.shape[1], 1)
    mean = together[upper].sum() / both[upper].sum() if prior is not None else 0.0
    found = []
    for person, row in enumerate(piles):
        own, seen = plain.counted(piles, [person])
        rest = both - seen
        apart = 1.0 - np.where(rest > 0, (together - own) / np.maximum(rest, 1), mean)
        np.fill_diagonal(apart, 0.0)
        placed = row != UNPLACED
        if len(np.unique(row[placed])) in (1, placed.sum()):  # one pile, or singles
            found.append(0.0)
            continue
        labels = plain.groups(plain.tree(np.round(apart, 12)), len(np.unique(row[placed])))
        found.append(plain.adjusted_rand(row[placed], labels[placed]))
    return np.array(found)


def screening(study):
    """Everybody against the tree of all the others."""
    piles, prior = study.sorts.piles, study.sorts.prior
    people = min(SAMPLED, len(piles))
    square = float(study.n_terms) ** 2
    size = study.size if people == len(piles) else f"{study.size}, {people} of the people"
    return Kernel(
        name="agreement with the others",
        size=size,
        unit="person",
        sides={
            OURS: Side(lambda n: agreement_with_others(piles[:n], study.partial), people),
            LOOP: Side(lambda n: agreement_in_a_loop(piles[:n], prior), people),
        },
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=ROUNDED,
        checked=people,
        floor=[{"passes": 2 * square / 2 + square}],
        counted="the own sort taken out of half of both matrices; a linkage",
    )


@cache
def apart_of(study):
    """Return the share of pairs that two people do not agree on, of a hundred terms."""
    piles = study.sorts.piles[:, :100]
    apart = np.zeros((len(piles), len(piles)))
    for person, row in enumerate(piles):
        mine = np.flatnonzero(row != UNPLACED)
        rows, columns = np.triu_indices(len(mine), 1)
        rows, columns = mine[rows], mine[columns]
        seen = (piles[:, rows] != UNPLACED) & (piles[:, columns] != UNPLACED)
        other = (piles[:, rows] == piles[:, columns]) & seen
        differs = (other != (row[rows] == row[columns])) & seen
        apart[person] = differs.sum(axis=1) / np.maximum(seen.sum(axis=1), 1)
    return apart


def labels_in_a_loop(study, apart, permutations):
    """Return the share of the scatter that lies between two populations, and its p."""
    first, n_people = study.first, len(apart)

    def among(group):
        within = sum(apart[np.ix_(one, one)].sum() / (2 * one.sum()) for one in (group, ~group))
        total = apart.sum() / (2 * n_people)
        return round((total - within) / total, 9)

    observed = among(first)
    rng = study.streams.generator("labels")
    reached = sum(
        among(first[order]) >= observed for order in shuffled_people(rng, n_people, permutations)
    )
    return observed, (reached + 1) / (permutations + 1)


def label_test(study):
    """Whether people are exchangeable between two populations."""
    apart, first = apart_of(study), study.first
    n_people, n_first = len(first), int(study.first.sum())

    def ours(permutations):
        orders = shuffled_people(study.streams.generator("labels"), n_people, permutations)
        found = permanova(doubly_centred(apart), first, orders)
        return found.r_squared, found.p_value

    def told_to_r(permutations):
        orders = shuffled_people(study.streams.generator("labels"), n_people, permutations)
        return {"apart": apart, "first": np.concatenate([first[None], first[orders]]).astype(int)}

    drawn, few = {"draws": float(n_people)}, 20 if n_people > 100 else 500
    return Kernel(
        name="label test",
        size=f"{n_people:,} people",
        unit="permutation",
        sides={
            OURS: Side(ours, 999 if n_people > 100 else 9999),
            LOOP: Side(lambda n: labels_in_a_loop(study, apart, n), few),
        }
        | (in_r.sides(in_r.LABELS, told_to_r, few) if n_people <= 100 else {}),
        apart=lambda one, other: float(np.abs(np.subtract(one, other)).max()),
        tolerance=ROUNDED,
        checked=99,
        floor=[
            {"products in double precision": float(n_people**2)} | drawn,
            {"gathers": n_first * (n_first - 1) / 2} | drawn,
        ],
        counted="a number drawn for each person; a quadratic form of all people, or the "
        "distances within the first population added up",
    )


def term_differences_in_a_loop(study, permutations):
    """Return every term's mean difference between two populations and its p, and each pair's."""
    piles, first = study.sorts.piles, study.first
    n_terms = study.n_terms
    together = (piles[:, :, None] == piles[:, None, :]).astype(float)
    upper = np.triu_indices(n_terms, 1)

    def of(group):
        apart = together[group].mean(axis=0) - together[~group].mean(axis=0)
        return np.abs(apart)

    observed = np.round(of(first), 9)
    terms = np.round(observed.sum(axis=1) / (n_terms - 1), 9)
    by_term, by_pair = np.zeros(n_terms), np.zeros(len(upper[0]))
    rng = study.streams.generator("terms")
    for order in shuffled_people(rng, len(first), permutations):
        permuted = of(first[order])
        by_term += np.round(permuted.sum(axis=1) / (n_terms - 1), 9).max() >= terms - 1.5 * ROUNDED
        by_pair += permuted[upper] >= observed[upper] - ROUNDED
    return np.concatenate([terms, (by_term + 1) / (permutations + 1),
                           (by_pair + 1) / (permutations + 1)])  # fmt: skip


def differences(study):
    """Which terms and pairs two populations place differently, people exchanged."""
    piles, first = study.sorts.piles, study.first

    def ours(permutations):
        orders = shuffled_people(study.streams.generator("terms"), len(first), permutations)
        found = term_differences(pair_vectors(piles, study.sorts.prior), first, orders)
        return np.concatenate([found.terms, found.p_terms, found.p_pairs])

    return Kernel(
        name="differences of terms and pairs",
        size=study.size,
        unit="permutation",
        sides={
            OURS: Side(ours, 1000),
            LOOP: Side(lambda n: term_differences_in_a_loop(study, n), 20),
        },
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=ROUNDED,
        checked=50,
        floor=[
            {
                "products in double precision": len(first) * study.n_pairs / 6,
                "passes": 4.0 * study.n_pairs,
                "draws": float(len(first)),
            }
        ],
        counted="people x pairs products, six pairs in one double; four passes over all pairs",
    )


def splits_in_a_loop(study, splits):
    """Return how many terms change class and subclass between charts of random divisions."""
    piles, first = study.sorts.piles, study.first
    rng = study.streams.generator("splits")
    found = []
    for group in random_groups(rng, len(first), int(first.sum()), splits):
        trees = [
            plain.tree(plain.distances(piles, np.flatnonzero(half), study.sorts.prior))
            for half in (group, ~group)
        ]
        found.append(
            [
                plain.moved(*(plain.groups(tree, number) for tree in trees))
                for number in (study.classes, study.subclasses)
            ]
        )
    return np.array(found)


def splits(study):
    """Charts of random divisions of the people: what chance changes."""
    piles, first = study.sorts.piles, study.first

    def ours(number):
        vectors = pair_vectors(piles, study.sorts.prior)
        rng = study.streams.generator("splits")
        groups = random_groups(rng, len(first), int(first.sum()), number)
        numbers = study.classes, study.subclasses
        pooled = 1.0 - study.distances.pairs
        return compare_splits(vectors, groups, pooled, "average", numbers)[1]

    floor = {"products in double precision": len(first) * study.n_pairs / 6}
    floor |= {"draws": float(len(first))} | linkage_work(study.n_terms)
    floor["passes"] *= 2
    return Kernel(
        name="charts of random divisions",
        size=study.size,
        unit="division",
        sides={
            OURS: Side(ours, 100),
            LOOP: Side(lambda number: splits_in_a_loop(study, number), 20),
        },
        apart=lambda one, other: float(np.abs(one - other).max()),
        tolerance=0.0,
        checked=20,
        floor=[floor],
        counted="one half counted, six pairs in one double; two linkages",
    )
