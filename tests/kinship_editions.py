"""Published sorts of 15 kinship terms as editions, and the laws of terms dealt at random."""

import itertools
from math import factorial, prod

import numpy as np
from felloe.clustering.tree_similarity import joining_heights
from felloe.editions.comparison import Edition
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.counts import count_cooccurrence
from felloe.ground.people.sorts import Sorts

PAIRS = {
    "kin_women_single_vs_men_single": ("women_single", "men_single"),
    "kin_women_first_vs_men_first": ("women_first_of_two", "men_first_of_two"),
}


def distances_of(reference, source):
    """Return the distances of one of the six groups of people."""
    counts, people, terms = reference.source_counts(source)
    return Distances(terms, rounded_dissimilarity(counts / people))


def classes_of(distances, n_classes, linkage="average"):
    """Return the class of every term, by name."""
    labels = cut(build_tree(distances.D, linkage), n_classes)
    return tuple(f"c{label}" for label in labels.tolist())


def edition_of(distances, n_classes=4, piles=None):
    """Return an edition; without `piles` one person's sort stands in, which no drawing reads."""
    classes = classes_of(distances, n_classes)
    piles = np.unique(classes, return_inverse=True)[1][None] if piles is None else piles
    people = tuple(f"p{i}" for i in range(len(piles)))
    groups = {"class": classes, "subclass": classes_of(distances, 8)}
    return Edition(
        sorts=Sorts(people, ("all",) * len(people), distances.terms, piles),
        distances=distances,
        heights=Distances(distances.terms, joining_heights(build_tree(distances.D, "average"))),
        groups={"published": groups, "data_only": groups},
        order=tuple(distances.terms),
    )


def edition_of_sorts(piles, terms):
    """Return an edition as whole sorts of all terms make it."""
    together, both = count_cooccurrence(piles)
    return edition_of(Distances(terms, rounded_dissimilarity(together / both)), piles=piles)


def dealt_tables(rows, columns):
    """Yield every table of counts with these sums, and how probable it is if terms are dealt."""
    ways = prod(map(factorial, rows)) * prod(map(factorial, columns)) / factorial(sum(rows))
    for table in tables(tuple(rows), tuple(columns)):
        yield np.array(table), ways / prod(factorial(cell) for row in table for cell in row)


def tables(rows, columns):
    """Yield every table of counts with these sums."""
    if len(rows) == 1:
        yield (columns,)
        return
    for first in itertools.product(*(range(most + 1) for most in columns)):
        if sum(first) == rows[0]:
            left = tuple(most - cell for most, cell in zip(columns, first, strict=True))
            yield from ((first, *rest) for rest in tables(rows[1:], left))


def adjusted_rand_of(table):
    """Return the adjusted Rand index of a table, by Hubert & Arabie (1985)."""
    pairs = (table * (table - 1) / 2).sum()
    rows, columns = (sums * (sums - 1) / 2 for sums in (table.sum(1), table.sum(0)))
    expected = rows.sum() * columns.sum() / (table.sum() * (table.sum() - 1) / 2)
    return (pairs - expected) / ((rows.sum() + columns.sum()) / 2 - expected)


def correlation_spread(one, other):
    """
    Return the standard deviation of the correlation of two matrices if terms are dealt anew.

    By Mantel (1967): products of two pairs go by how many terms the two pairs share.
    """
    upper = list(itertools.combinations(range(len(one)), 2))
    values = [np.array([matrix[pair] for pair in upper]) for matrix in (one, other)]
    a, b = ((value - value.mean()) / np.linalg.norm(value - value.mean()) for value in values)
    shared = np.array([[len({*p} & {*q}) for q in upper] for p in upper])
    square = sum(
        np.outer(a, a)[shared == k].sum() * np.outer(b, b)[shared == k].mean() for k in range(3)
    )
    return float(np.sqrt(square))
