"""How sure the neighbours on a circle are: classes around the circles of redrawn participants."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from felloe.clustering.replicates.redraws import Basis, each_redrawn, redraw_trees
from felloe.ground.arrays import Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage
from felloe.ground.randomness import Streams
from felloe.ground.squares import squared
from felloe.ground.terms import Terms
from felloe.tiers.tree_surgery import pruned


@dataclass(frozen=True)
class Adjacency:
    """
    Share of redrawn studies in which two classes are neighbours.

    Attributes
    ----------
    classes : tuple of str
    shares : (K, K) array of float
        Symmetric; 1 everywhere off the diagonal for three classes or fewer.
    """

    classes: tuple[str, ...]
    shares: Floats

    def pairs(self) -> Iterator[tuple[str, str, float]]:
        """Yield each two classes once, with their share."""
        for one, other in combinations(self.classes, 2):
            yield one, other, self.of(one, other)

    def of(self, one: str, other: str) -> float:
        """Return the share of two classes."""
        return float(self.shares[self.classes.index(one), self.classes.index(other)])


def class_sequence(order: Sequence[int] | Ints, labels: Ints) -> list[int]:
    """
    Read the order of classes from an order of terms in which they need not be whole.

    A class stands where its longest unbroken run stands, the first of them where several are
    as long.

    Parameters
    ----------
    order : (n,) array of int
    labels : (n,) array of int
        Class of every term, 0 to K - 1.

    Returns
    -------
    list of int
        Classes around the circle.
    """
    ring = np.asarray(labels)[np.asarray(order)]
    starts = np.flatnonzero(ring != np.roll(ring, 1))
    if not len(starts):
        return [int(ring[0])]
    sizes = np.diff(np.append(starts, starts[0] + len(ring)))
    longest: dict[int, tuple[int, int]] = {}
    for start, size in zip(starts.tolist(), sizes.tolist()):
        label = int(ring[start])
        if label not in longest or size > longest[label][0]:
            longest[label] = size, start
    return sorted(longest, key=lambda label: longest[label][1])


@dataclass(frozen=True)
class Redraws:
    """
    The first redraws of the bootstrap.

    Attributes
    ----------
    basis : felloe.clustering.replicates.redraws.Basis
    method : str
        Linkage.
    streams : Streams
    replicates : int
    """

    basis: Basis
    method: str
    streams: Streams
    replicates: int


def adjacency(redraws: Redraws, classes: Partition, ring: Collection[str]) -> Adjacency:
    """
    Share of redrawn studies in which two classes are neighbours on the circle.

    For every redraw of the participants the tree is built and its shortest circle found anew;
    classes are those of the published chart (see `class_sequence`).

    Parameters
    ----------
    redraws : Redraws
    classes : Partition
        Of all terms.
    ring : collection of str
        Terms of the outer ring.

    Returns
    -------
    Adjacency
    """
    merges = redraw_trees(redraws.basis, redraws.method, redraws.streams, range(redraws.replicates))
    measured = each_redrawn(redraws.basis, redraws.streams, redraws.replicates)
    terms = classes.terms
    around = Terms(terms[place] for place in sorted(terms.places(ring)))
    labels = classes.labels[terms.places(around)]
    neighbours = np.zeros((classes.n_groups, classes.n_groups), dtype=int)
    for merge, pairs in zip(merges, measured, strict=True):
        apart = Distances(terms, squared(pairs, len(terms))).on(around)
        heights = np.arange(1.0, len(terms))  # those of the merges do not matter
        tree = pruned(Tree(terms, np.column_stack([merge, heights, heights])), around)
        order = circular_order(from_linkage(tree.Z), apart.D, count=False).order
        found = class_sequence(order, labels)
        if len(found) < 2:
            continue
        for one, other in {frozenset(pair) for pair in zip(found, found[1:] + found[:1])}:
            neighbours[one, other] += 1
            neighbours[other, one] += 1
    return Adjacency(classes.ids, neighbours / redraws.replicates)
