"""The exactly shortest circular order that a tree allows, and how many orders are as short."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import lcm

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.ordering.programme import Programme
from felloe.ground.ordering.tree import Node, hung_from_leaf
from felloe.ground.rounding import DISTANCE_DECIMALS

LARGEST_DENOMINATOR = 10_000  # shares of participants; two populations weighing the same included
DISTANCE_TOLERANCE = 2e-12  # distances are rounded to 12 decimals
GRID = 1e-9  # for distances that are no fractions
GRID_DECIMALS = 9
EXACT = 2.0**53


@dataclass(frozen=True)
class CircularOrder:
    """
    A closed tour of all terms.

    Attributes
    ----------
    order : (n,) array of int
        Terms once around, beginning with term 0, the smaller of its two neighbours second.
    length : float
        Sum of distances between neighbours, the last and the first included.
    n_optima : int or None
        Tours as short as this one, turned and mirrored drawings counted once; None if not counted.
    counted_exactly : bool
        False where the number is at or above 2**53 and only its size is right.
    """

    order: Ints
    length: float
    n_optima: int | None
    counted_exactly: bool = True


def whole_distances(D: Array) -> Floats:
    """
    Scale distances to whole numbers, so that sums that tie as fractions tie exactly.

    Parameters
    ----------
    D : (n, n) array of float

    Returns
    -------
    (n, n) array of float
        `D` times its common denominator if every distance is a fraction with a denominator up to
        `LARGEST_DENOMINATOR` and tours stay below 2**53; else `D` in units of `GRID`.
    """
    return scaled(D).whole


@dataclass(frozen=True)
class Scaled:
    """
    Distances as whole numbers.

    Attributes
    ----------
    whole : (n, n) array of float
        See `whole_distances`.
    denominator : int
        Common denominator of the distances; 0 where they are in units of `GRID`.
    """

    whole: Floats
    denominator: int

    def length(self, whole: float) -> float:
        """Return a sum of whole numbers as a length: rounded to 12 decimals, or to the grid."""
        if self.denominator:
            return round(whole / self.denominator, DISTANCE_DECIMALS)
        return round(whole * GRID, GRID_DECIMALS)


def scaled(D: Array) -> Scaled:
    """Scale distances to whole numbers; see `whole_distances`."""
    D = np.asarray(D, dtype=float)
    values, place = np.unique(D, return_inverse=True)
    denominators = denominators_of(values)
    if denominators is None:
        return Scaled(np.rint(D / GRID), 0)
    common = lcm(*denominators.tolist())
    if common >= EXACT or common * max(1.0, float(D.max(initial=0.0))) * len(D) >= EXACT:
        return Scaled(np.rint(D / GRID), 0)
    # each from its own fraction: a large common denominator would show what decimals leave out
    whole = np.rint(values * denominators) * (common // denominators)
    return Scaled(np.asarray(whole[place].reshape(D.shape), dtype=float), common)


def denominators_of(values: Floats) -> Ints | None:
    """
    Return the denominators of decimal numbers that stand for fractions.

    Parameters
    ----------
    values : (n,) array of float
        Rounded to 12 decimals.

    Returns
    -------
    (n,) array of int or None
        Of each number; None if some number is no fraction with a denominator up to
        `LARGEST_DENOMINATOR`.

    References
    ----------
    The convergents of a continued fraction include every p/q closer than 1/(2q^2) (Hardy &
    Wright, An Introduction to the Theory of Numbers, theorem 184; number from memory).
    """
    found = np.zeros(len(values), dtype=int)
    left, places = np.asarray(values, dtype=float), np.arange(len(values))
    rest = left.copy()
    numerators = np.ones(len(left)), np.floor(rest)
    denominators = np.zeros(len(left)), np.ones(len(left))
    while True:
        done = np.abs(numerators[1] / denominators[1] - left) <= DISTANCE_TOLERANCE
        found[places[done]] = denominators[1][done]
        if done.all():
            return found
        left, places, rest = left[~done], places[~done], rest[~done]
        numerators = numerators[0][~done], numerators[1][~done]
        denominators = denominators[0][~done], denominators[1][~done]
        rest = 1.0 / (rest - np.floor(rest))
        whole = np.floor(rest)
        numerators = numerators[1], whole * numerators[1] + numerators[0]
        denominators = denominators[1], whole * denominators[1] + denominators[0]
        if denominators[1].max() > LARGEST_DENOMINATOR:
            return None


def tour_length(D: Array, order: Sequence[int] | Array) -> float:
    """
    Sum of distances between neighbours once around.

    Parameters
    ----------
    D : (n, n) array of float
    order : sequence of int

    Returns
    -------
    float
        Rounded to 12 decimals; 0 for a single term.
    """
    around = np.asarray(order, dtype=int)
    return round(float(np.sum(np.asarray(D)[around, np.roll(around, -1)])), DISTANCE_DECIMALS)


def shortest_length(tree: Node, distances: Scaled) -> float:
    """
    Return the length of the shortest closed tour that a tree allows.

    It is measured in whole numbers, so that it is the same whichever of the tours that tie is
    drawn; the length of one drawn order, a sum of rounded distances, may differ from it by less
    than the grid for each term.

    Parameters
    ----------
    tree : Node
    distances : Scaled

    Returns
    -------
    float
    """
    whole = distances.whole
    if len(whole) < 4:
        around = np.arange(len(whole))
        return distances.length(float(whole[around, np.roll(around, -1)].sum()))
    programme = Programme(hung_from_leaf(tree, 0), whole, count=False)
    return distances.length(programme.least(whole[0], whole[0]))


def circular_order(
    tree: Node, D: Array, longest: bool = False, count: bool = True
) -> CircularOrder:
    """
    Find the shortest closed tour of the leaves that keeps every group of a tree together.

    For every group and every two end leaves the cheapest path through the group is found from
    those of its children, by two min-plus products; a group of two children this way, a larger
    one by a programme over the subsets of its children. The tree is hung from term 0, which
    makes circular orders plain orders. Among tours equally short the lexicographically smallest
    is taken, read from term 0 in either direction.

    Parameters
    ----------
    tree : Node
        See `ordering_tree.from_linkage` and `from_tiers`.
    D : (n, n) array of float
        Symmetric distances.
    longest : bool
        Find the longest such tour instead.
    count : bool
        Also count the tours that tie.

    Returns
    -------
    CircularOrder

    References
    ----------
    Burkard, Deineko & Woeginger (1998), The travelling salesman and the PQ-tree, Mathematics of
    Operations Research 23:613-623. Bar-Joseph, Gifford & Jaakkola (2001), Bioinformatics 17
    (Suppl. 1):S22-S29, for the path (pages from memory).
    """
    n = len(D)
    if n < 4:
        return CircularOrder(np.arange(n), tour_length(D, np.arange(n)), 1)
    cost = whole_distances(D) * (-1.0 if longest else 1.0)
    programme = Programme(hung_from_leaf(tree, 0), cost, count)
    order = np.array([0, *programme.smallest_order(cost[0], cost[0])])
    length = tour_length(D, order)
    if not count:
        return CircularOrder(order, length, None)
    ways = programme.ways(cost[0], cost[0]) / 2  # each tour runs both ways
    return CircularOrder(order, length, int(ways), ways < EXACT)
