"""Short tours that ignore the tree: what keeping the tree together costs."""

from collections.abc import Sequence

import numpy as np

from felloe.circle.ring.near_moves import LONGEST_SEGMENT, improved_nearby, near_terms, put
from felloe.ground.arrays import Array, Ints

ALL_MOVES_UP_TO = 300  # terms; of more, terms are joined to near ones only: 1,000 took minutes
SHAKES = 15  # for each start
LONGEST_SHAKE = 30  # terms that a shake reaches; longer ones mostly lengthen a tour


def shortest_found(
    cost: Array, first: Sequence[int] | Ints, rng: np.random.Generator, starts: int
) -> Ints:
    """
    Search for a short closed tour; nothing is claimed to be optimal.

    Nearest-neighbour tours from random terms, and one given tour, are improved by reversing
    and moving segments until no such change helps; then the best is shaken, by exchanging two
    segments beside each other, and improved again, `SHAKES` times for each start. With more than
    `ALL_MOVES_UP_TO` terms only changes that join near terms are tried (`near_moves`).

    Parameters
    ----------
    cost : (n, n) array of float
        Whole numbers, symmetric.
    first : sequence of int
        A tour to start from; the result is never longer.
    rng : numpy.random.Generator
    starts : int

    Returns
    -------
    (n,) array of int

    References
    ----------
    Croes (1958), Operations Research 6:791-812, for reversals; Or (1976), thesis, Northwestern
    University, for moved segments; Martin, Otto & Felten (1991), Complex Systems 5:299-326, for
    shaken tours (all three from memory).
    """
    n = len(cost)
    near = near_terms(cost) if n > ALL_MOVES_UP_TO else None

    def better(tour: Ints) -> Ints:
        return improved(cost, tour) if near is None else improved_nearby(cost, tour, near)

    best = better(np.array(first))
    for begin in rng.integers(n, size=starts):
        best = shorter_of(cost, best, better(nearest_neighbours(cost, int(begin))))
    for _ in range(starts * SHAKES if n >= 8 else 0):
        best = shorter_of(cost, best, better(shaken(best, rng)))
    return best


def shorter_of(cost: Array, one: Ints, other: Ints) -> Ints:
    """Return the shorter of two tours, the first where they tie."""
    return other if length(cost, other) < length(cost, one) else one


def shaken(tour: Ints, rng: np.random.Generator) -> Ints:
    """Return a tour with two short segments beside each other exchanged."""
    n = len(tour)
    tour = np.roll(tour, -int(rng.integers(n)))
    reach = min(n - 1, LONGEST_SHAKE)
    middle, end = np.sort(rng.choice(np.arange(1, reach + 1), 2, replace=False))
    return np.concatenate([tour[middle:end], tour[:middle], tour[end:]])


def length(cost: Array, tour: Ints) -> float:
    """Return the length of a closed tour."""
    return float(cost[tour, np.roll(tour, -1)].sum())


def nearest_neighbours(cost: Array, begin: int) -> Ints:
    """Return the tour that always goes to the nearest term not yet visited, ties by number."""
    left = cost.astype(float).copy()
    np.fill_diagonal(left, np.inf)
    tour = [begin]
    for _ in range(len(cost) - 1):
        left[:, tour[-1]] = np.inf
        tour.append(int(np.argmin(left[tour[-1]])))
    return np.array(tour)


def improved(cost: Array, tour: Ints) -> Ints:
    """Improve a tour until neither a reversal nor a moved segment shortens it."""
    while len(tour) > 3:
        shorter = _reversed(cost, tour)
        if shorter is None:
            shorter = _moved(cost, tour)
        if shorter is None:
            return tour
        tour = shorter
    return tour


def _reversed(cost: Array, tour: Ints) -> Ints | None:
    """Return the tour after the best reversal of a segment, None if none helps."""
    between = cost[np.ix_(tour, tour)]
    step = cost[tour, np.roll(tour, -1)]
    change = between + np.roll(between, (-1, -1), axis=(0, 1)) - step[:, None] - step[None, :]
    np.fill_diagonal(change, 0.0)
    i, j = divmod(int(np.argmin(change)), len(tour))
    if change[i, j] >= 0:
        return None
    i, j = min(i, j), max(i, j)
    return np.concatenate([tour[: i + 1], tour[i + 1 : j + 1][::-1], tour[j + 1 :]])


def _moved(cost: Array, tour: Ints) -> Ints | None:
    """Return the tour after the best move of a short segment, None if none helps."""
    n, shortest, best = len(tour), 0.0, None
    step = cost[tour, np.roll(tour, -1)]
    place = np.arange(n)
    for size in range(1, min(LONGEST_SEGMENT, n - 3) + 1):
        head, tail = tour, np.roll(tour, 1 - size)
        before, after = np.roll(tour, 1), np.roll(tour, -size)
        gain = cost[before, after] - cost[before, head] - cost[tail, after]
        following = np.roll(tour, -1)
        offset = (place[None, :] - place[:, None]) % n  # of an insertion point from the segment
        outside = (offset >= size) & (offset < n - 1)
        for turned, (one, other) in enumerate(((head, tail), (tail, head))):
            change = cost[np.ix_(one, tour)] + cost[np.ix_(other, following)]
            change = np.where(outside, change - step[None, :] + gain[:, None], np.inf)
            found = int(np.argmin(change))
            if change.flat[found] < shortest:
                shortest, best = float(change.flat[found]), (size, turned, divmod(found, n))
    if best is None:
        return None
    size, turned, (start, behind) = best
    return put(tour, size, turned, start, behind)
