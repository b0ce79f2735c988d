"""Shorter tours by moves to near terms alone: for so many terms that trying all moves is slow."""

import numpy as np

from felloe.ground.arrays import Array, Ints

NEAR = 10  # nearest terms that a term is joined to; at 1,000 terms tours are .7 % longer or less
LONGEST_SEGMENT = 3  # terms that are moved together


def near_terms(cost: Array, number: int = NEAR) -> Ints:
    """
    Return the nearest other terms of each term, the nearest first, ties by number.

    Parameters
    ----------
    cost : (n, n) array of float
    number : int
        At the most n - 1 are returned.

    Returns
    -------
    (n, number) array of int
    """
    apart = np.array(cost, dtype=float)
    np.fill_diagonal(apart, np.inf)
    return np.argsort(apart, axis=1, kind="stable")[:, : min(number, len(apart) - 1)]


def improved_nearby(cost: Array, tour: Ints, near: Ints) -> Ints:
    """
    Improve a tour until no reversal or moved segment that joins near terms shortens it.

    A reversal joins two terms anew, twice: in one of them one term is near to the other. A moved
    segment has an end that comes beside one of the terms near to it. Each step takes the best of
    these moves: n times the number of near terms and not n squared.
    With every other term near, the tours are as good as those of all moves.

    Parameters
    ----------
    cost : (n, n) array of float
        Symmetric, of whole numbers.
    tour : (n,) array of int
    near : (n, k) array of int
        As `near_terms`.

    Returns
    -------
    (n,) array of int

    References
    ----------
    Lin & Kernighan (1973), Operations Research 21:498-516, for candidate sets of near
    neighbours (from memory).
    """
    while len(tour) > 3:
        shorter = _reversed(cost, tour, near)
        if shorter is None:
            shorter = _moved(cost, tour, near)
        if shorter is None:
            return tour
        tour = shorter
    return tour


def _reversed(cost: Array, tour: Ints, near: Ints) -> Ints | None:
    """Return the tour after the best reversal that joins near terms, None if none helps."""
    n = len(tour)
    place = _places(tour)
    following = np.roll(tour, -1)
    step = cost[tour, following]
    here = np.arange(n)[:, None]
    there = place[near[tour]]
    # a reversal between i and j joins (i, j) and (i + 1, j + 1): near terms are either
    first = np.concatenate([here + 0 * there, (here - 1 + 0 * there) % n])
    second = np.concatenate([there, (there - 1) % n])
    change = cost[tour[first], tour[second]] + cost[following[first], following[second]]
    change = change - step[first] - step[second]
    best = int(np.argmin(change))
    if change.flat[best] >= 0:
        return None
    i, j = sorted((int(first.flat[best]), int(second.flat[best])))
    return np.concatenate([tour[: i + 1], tour[i + 1 : j + 1][::-1], tour[j + 1 :]])


def _moved(cost: Array, tour: Ints, near: Ints) -> Ints | None:
    """Return the tour after the best move of a segment to near terms, None if none helps."""
    n, shortest, best = len(tour), 0.0, None
    place, following = _places(tour), np.roll(tour, -1)
    step = cost[tour, following]
    for size in range(1, min(LONGEST_SEGMENT, n - 3) + 1):
        head, tail = tour, np.roll(tour, 1 - size)
        before, after = np.roll(tour, 1), np.roll(tour, -size)
        gain = cost[before, after] - cost[before, head] - cost[tail, after]
        for turned, (one, other) in enumerate(((head, tail), (tail, head))):
            # behind a term near its one end, or before a term near its other
            behind = np.concatenate([place[near[one]], (place[near[other]] - 1) % n], axis=1)
            offset = (behind - np.arange(n)[:, None]) % n
            outside = (offset >= size) & (offset < n - 1)
            change = cost[one[:, None], tour[behind]] + cost[other[:, None], following[behind]]
            change = np.where(outside, change - step[behind] + gain[:, None], np.inf)
            found = int(np.argmin(change))
            if change.flat[found] < shortest:
                start = found // behind.shape[1]
                shortest = float(change.flat[found])
                best = size, turned, start, int(behind.flat[found])
    return None if best is None else put(tour, *best)


def put(tour: Ints, size: int, turned: int, start: int, behind: int) -> Ints:
    """Return the tour with the segment that begins at a place put behind another place."""
    segment, rest = np.roll(tour, -start)[:size], np.roll(tour, -start)[size:]
    cut = (behind - start) % len(tour) - size + 1
    return np.concatenate([rest[:cut], segment[:: -1 if turned else 1], rest[cut:]])


def _places(tour: Ints) -> Ints:
    """Return where each term stands on a tour."""
    place = np.empty(len(tour), dtype=int)
    place[tour] = np.arange(len(tour))
    return place
