"""
The order of the classes of two editions in which fewest of their terms' ways cross.

A term's way leads from its class on the left to its class on the right, and each class is one run.
Within a class the terms lie in the order of the classes on the other side, so that two terms of
one class never cross; all that is left to choose is the order of the classes in either column.
"""

from dataclasses import dataclass
from itertools import pairwise, permutations

import numpy as np

from felloe.ground.arrays import Array, Ints

EXACT_SIDE = 8  # classes on the smaller side up to which every order of them is tried
SUBSETS_SIDE = 12  # classes up to which one side is put into its best order without trying
CHUNK = 2000  # orders at a time
STARTS = 4  # orders from which the exchanges begin
Order = tuple[int, ...]


@dataclass(frozen=True)
class Columns:
    """
    The classes of both editions in an order with few crossings.

    Attributes
    ----------
    older, newer : tuple of int
        Rows and columns of the table of shared terms, from the top.
    before, after : int
        Crossings in the given orders, and in these.
    exact : bool
        Whether it is known that no order of either side has fewer.
    """

    older: Order
    newer: Order
    before: int
    after: int
    exact: bool


def count_crossings(shared: Ints, older: Order, newer: Order) -> int:
    """
    Count the pairs of terms whose ways cross.

    Parameters
    ----------
    shared : (n_older, n_newer) array of int
        Terms in each class of the one edition and of the other.
    older, newer : tuple of int
        Rows and columns from the top.

    Returns
    -------
    int
        Of each two classes of either side, the terms of the upper one that end in the lower one
        times those of the lower one that end in the upper.
    """
    table = np.asarray(shared)[np.ix_(older, newer)]
    later_rows = table[::-1].cumsum(axis=0)[::-1]
    below = np.vstack([later_rows[1:], np.zeros((1, table.shape[1]), dtype=table.dtype)])
    before = below.cumsum(axis=1) - below  # of the lower rows, in the columns before
    return int((table * before).sum())


def fewest_crossings(shared: Ints) -> Columns:
    """
    Put the classes of both editions into an order with as few crossings as can be found.

    Up to `EXACT_SIDE` classes on the smaller side every order of them is tried, and for each that
    can be better the best order of the other side is found (Held & Karp's programme over subsets);
    so nothing is better. Beyond that the sides take turns: each is set to its best order beside
    the other, or, beyond `SUBSETS_SIDE` classes, to the order of its classes' mean place
    (barycentre) and then bettered by exchanging neighbours, until neither gains; then single
    classes are put elsewhere, until that gains nothing either.

    Parameters
    ----------
    shared : (n_older, n_newer) array of int
        Terms in each class of the one edition and of the other, in orders that are given; among
        orders with as few crossings one near these is taken.

    Returns
    -------
    Columns

    References
    ----------
    Sugiyama, Tagawa & Toda (1981), IEEE Transactions on Systems, Man, and Cybernetics 11:109-125;
    Held & Karp (1962), Journal of the SIAM 10:196-210 (both from memory).
    """
    shared = np.asarray(shared)
    rows, columns = shared.shape
    before = count_crossings(shared, tuple(range(rows)), tuple(range(columns)))
    turned = rows > columns
    table = shared.T if turned else shared
    exact = table.shape[0] <= EXACT_SIDE and table.shape[1] <= SUBSETS_SIDE
    first, second = every_order(table) if exact else taking_turns(table)
    older, newer = (second, first) if turned else (first, second)
    after = count_crossings(shared, older, newer)
    return Columns(older, newer, before, after, exact or after == 0)


def costs_beside(table: Ints, order: Order) -> Ints:
    """
    Return what it costs to put one column before another, the rows being in an order.

    Returns
    -------
    (n_columns, n_columns) array of int
        At (j, l) the crossings between the terms of column j and those of column l if j stands
        above l: those of j that come from lower rows than those of l.
    """
    ordered = np.asarray(table)[list(order)]
    above = ordered.cumsum(axis=0) - ordered  # in the rows before
    found: Ints = ordered.T @ above
    return found


def least_beside(table: Ints, orders: Ints) -> Ints:
    """
    Return how few crossings any order of the columns can have beside orders of the rows.

    Parameters
    ----------
    table : (n_rows, n_columns) array of int
    orders : (n_orders, n_rows) array of int

    Returns
    -------
    (n_orders,) array of int
        Of each two columns the cheaper way round; no order may have that for all at once.
    """
    rows, columns = table.shape
    places = np.argsort(orders, axis=1)
    above = places[:, None, :] < places[:, :, None]  # at (k, i): row i above row k
    pairs = np.triu_indices(columns, 1)
    costs = np.einsum("kj,il->kijl", table, table).reshape(rows * rows, columns, columns)
    flat = above.reshape(len(orders), -1).astype(float)  # products of floats are faster, and exact
    one = flat @ costs[:, pairs[0], pairs[1]].astype(float)
    other = flat @ costs[:, pairs[1], pairs[0]].astype(float)
    least: Ints = np.minimum(one, other).sum(axis=1).astype(np.int64)
    return least


def every_order(table: Ints) -> tuple[Order, Order]:
    """Try every order of the rows, one of each with its mirror image, with the best of columns."""
    rows = table.shape[0]
    # both columns upside down have as many crossings
    orders = np.array([one for one in permutations(range(rows)) if one[0] <= one[-1]])
    least = np.concatenate([least_beside(table, part) for part in in_chunks(orders)])
    best: tuple[int, Order, Order] | None = None
    for at in np.argsort(least, kind="stable"):
        if best is not None and least[at] >= best[0]:
            break
        order = tuple(orders[at].tolist())
        other = best_order(costs_beside(table, order))
        crossings = count_crossings(table, order, other)
        if best is None or crossings < best[0]:
            best = crossings, order, other
    if best is None:
        raise ValueError("there are no classes to put into an order")
    return best[1], best[2]


def in_chunks(orders: Ints) -> list[Ints]:
    """Return orders some at a time, to bound memory; no result depends on it."""
    return [orders[start : start + CHUNK] for start in range(0, len(orders), CHUNK)]


def best_order(costs: Ints) -> Order:
    """
    Put classes into the order that costs least.

    Parameters
    ----------
    costs : (n, n) array of int
        At (j, l) what j above l costs; at most `SUBSETS_SIDE` of them.

    Returns
    -------
    tuple of int
        The first in the given order among equals.
    """
    n = len(costs)
    if n == 0:
        return ()
    bits = 1 << np.arange(n)
    inside = (np.arange(2**n)[:, None] & bits) > 0
    to_rest = ~inside @ costs.T - np.diag(costs)  # of each class to all others not in the subset
    least = np.zeros(2**n, dtype=np.int64)  # cost of the best order of what is not in it yet
    choice = np.zeros(2**n, dtype=np.int64)
    sizes = inside.sum(axis=1)
    for size in range(n - 1, -1, -1):
        some = np.flatnonzero(sizes == size)
        whole = to_rest[some] + least[some[:, None] | bits]
        whole[inside[some]] = np.iinfo(np.int64).max
        choice[some], least[some] = whole.argmin(axis=1), whole.min(axis=1)
    order, subset = [], 0
    for _ in range(n):
        order.append(int(choice[subset]))
        subset |= 1 << order[-1]
    return tuple(order)


def taking_turns(table: Ints) -> tuple[Order, Order]:
    """Better each side beside the other until neither gains, from several orders."""
    found: list[tuple[int, int, Order, Order]] = []
    for start in starts_of(table):
        here, there = in_turn(table, start, tuple(range(table.shape[1])))
        here, there = in_turn(table, put_elsewhere(table, here), there)
        found.append((count_crossings(table, here, there), len(found), here, there))
    return min(found)[2:]


def in_turn(table: Ints, here: Order, there: Order) -> tuple[Order, Order]:
    """Better the columns beside the rows and the rows beside the columns, until neither gains."""
    there = bettered(table, here, there)
    least = count_crossings(table, here, there)
    while True:
        here = bettered(table.T, there, here)
        there = bettered(table, here, there)
        now = count_crossings(table, here, there)
        if now >= least:
            return here, there
        least = now


def put_elsewhere(table: Ints, order: Order) -> Order:
    """Put one row at a time where it gains most, while any does."""
    least = int(least_beside(table, np.array([order]))[0])
    while len(order) > 1:
        ways = np.array(
            [
                (*rest[:place], row, *rest[place:])
                for row in order
                for rest in [tuple(other for other in order if other != row)]
                for place in range(len(order))
            ]
        )
        found = np.concatenate([least_beside(table, part) for part in in_chunks(ways)])
        at = int(found.argmin())
        if found[at] >= least:
            break
        least, order = int(found[at]), tuple(ways[at].tolist())
    return order


def starts_of(table: Ints) -> list[Order]:
    """Return orders of the rows to begin with: the given one, by mean place, and by likeness."""
    rows = table.shape[0]
    given = tuple(range(rows))
    by_place = barycentres(table, tuple(range(table.shape[1])), given)
    share = table / np.sqrt(
        np.maximum(table.sum(axis=1, keepdims=True), 1) * np.maximum(table.sum(axis=0), 1)
    )
    # the first axes of a correspondence analysis lay rows with alike terms side by side
    axes = np.linalg.svd(share)[0][:, 1 : STARTS - 1]
    alike = [tuple(np.lexsort((given, np.round(axis, 9))).tolist()) for axis in axes.T]
    return list(dict.fromkeys([given, by_place, *alike]))


def bettered(table: Ints, beside: Order, order: Order) -> Order:
    """Return an order of the columns with no more crossings beside an order of the rows."""
    costs = costs_beside(table, beside)
    if len(order) <= SUBSETS_SIDE:
        best = best_order(costs)
        return best if cost_of(costs, best) < cost_of(costs, order) else order
    by_place = exchanged(costs, barycentres(table.T, beside, order))
    as_it_is = exchanged(costs, order)
    return by_place if cost_of(costs, by_place) < cost_of(costs, as_it_is) else as_it_is


def cost_of(costs: Ints, order: Order) -> int:
    """Return what an order costs: every class above every later one."""
    return int(np.triu(costs[np.ix_(order, order)], 1).sum())


def barycentres(table: Ints, beside: Order, order: Order) -> Order:
    """Sort the rows by the mean place of their terms in an order of the columns; ties stay."""
    place: Array = np.argsort(np.asarray(beside))
    sums = table @ place
    numbers = np.maximum(table.sum(axis=1), 1)
    return tuple(sorted(order, key=lambda row: round(float(sums[row] / numbers[row]), 9)))


def exchanged(costs: Ints, order: Order) -> Order:
    """Exchange neighbours while that gains; every round costs less, so it ends."""
    found = list(order)
    gained = True
    while gained:
        gained = False
        for at, (upper, lower) in enumerate(pairwise(list(found))):
            if found[at] == upper and costs[lower, upper] < costs[upper, lower]:
                found[at], found[at + 1] = lower, upper
                gained = True
    return tuple(found)
