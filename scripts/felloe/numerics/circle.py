"""The exactly shortest circular order that a tree allows, and how many orders are as short."""

from dataclasses import dataclass
from fractions import Fraction
from math import lcm

import numpy as np

from felloe.numerics.min_plus import min_plus, min_plus_counted
from felloe.numerics.ordering_tree import Node, hung_from_leaf, laid_out

LARGEST_DENOMINATOR = 10_000  # shares of participants; two populations weighing the same included
DISTANCE_TOLERANCE = 2e-12  # distances are rounded to 12 decimals
GRID = 1e-9  # for distances that are no fractions
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

    order: np.ndarray
    length: float
    n_optima: int | None
    counted_exactly: bool = True


def whole_distances(D):
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
    D = np.asarray(D, dtype=float)
    common = 1
    for value in np.unique(D).tolist():
        fraction = Fraction(value).limit_denominator(LARGEST_DENOMINATOR)
        if abs(float(fraction) - value) > DISTANCE_TOLERANCE:
            return np.rint(D / GRID)
        common = lcm(common, fraction.denominator)
        if common * max(1.0, D.max()) * len(D) >= EXACT:
            return np.rint(D / GRID)
    return np.rint(D * common)


def tour_length(D, order):
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
    order = np.asarray(order, dtype=int)
    return round(float(np.sum(np.asarray(D)[order, np.roll(order, -1)])), 12)


def circular_order(tree, D, longest=False, count=True):
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
    order = programme.smallest_order(cost[0], cost[0])
    ways = programme.ways(cost[0], cost[0]) / 2 if count else None  # each tour runs both ways
    order = np.array([0, *order])
    return CircularOrder(
        order, tour_length(D, order), None if ways is None else int(ways), not ways or ways < EXACT
    )


def path_order(tree, D):
    """
    Find the shortest open path of the leaves that keeps every group of a tree together.

    Parameters
    ----------
    tree : Node
    D : (n, n) array of float

    Returns
    -------
    order : (n,) array of int
    length : float
        Rounded to 12 decimals.
    """
    cost = whole_distances(D)
    free = np.zeros(len(D))
    order = np.array(Programme(tree, cost, False).smallest_order(free, free))
    return order, round(float(np.asarray(D)[order[:-1], order[1:]].sum()), 12)


class Programme:
    """
    Cheapest paths through every group of a tree, for every two end leaves.

    Leaves are handled by their place in the tree, where every group is a run.

    Parameters
    ----------
    tree : Node
    cost : (n, n) array of float
        Whole numbers, over all leaf numbers (the tree may lack some).
    count : bool
        Also count the paths that tie.
    """

    def __init__(self, tree: Node, cost, count):
        laid = laid_out(tree)
        self.leaves = laid.leaves
        self.cost = cost[np.ix_(laid.leaves, laid.leaves)]
        n = len(laid.leaves)
        self.children = {(runs[0][0], runs[-1][1]): runs for runs in laid.groups}
        self.root = (0, n)
        self.path = np.full((n, n), np.inf)  # by the smallest group that holds both leaves
        np.fill_diagonal(self.path, 0.0)
        self.counts = np.eye(n) if count else None
        for runs in laid.groups:
            if len(runs) == 2:
                self._join_two(*runs)
            else:
                self._join_many(runs)

    def _within(self, run):
        """Yield (places of one child, places of its siblings) of a group; a leaf is its own."""
        runs = self.children.get(run)
        if runs is None:
            yield slice(*run), [slice(*run)]
            return
        for start, end in runs:
            around = [slice(run[0], start), slice(end, run[1])]
            yield slice(start, end), [places for places in around if places.stop > places.start]

    def _through(self, entry, run, ways=None):
        """
        Extend costs at one end of a group by the cheapest path to its other end.

        `entry` is (rows, size of the run); returns costs, and counts if `ways` are given.
        """
        costs = np.empty(entry.shape)
        counts = None if ways is None else np.empty(entry.shape)
        first = run[0]
        for child, around in self._within(run):
            target = slice(child.start - first, child.stop - first)
            for number, places in enumerate(around):
                source = slice(places.start - first, places.stop - first)
                step = self.path[places, child]
                if ways is None:
                    found = min_plus(entry[:, source], step), None
                else:
                    found = min_plus_counted(
                        entry[:, source], ways[:, source], step, self.counts[places, child]
                    )
                if number:
                    found = cheaper(
                        (costs[:, target], None if ways is None else counts[:, target]), found
                    )
                costs[:, target] = found[0]
                if ways is not None:
                    counts[:, target] = found[1]
        return costs, counts

    def _join_two(self, left, right):
        """Fill in the paths that run through both children of a group of two."""
        rows, columns = slice(*left), slice(*right)
        between = self.cost[columns, rows]
        counting = self.counts is not None
        costs, ways = self._through(between, left, np.ones(between.shape) if counting else None)
        costs, ways = self._through(costs.T, right, ways.T if counting else None)
        self.path[rows, columns], self.path[columns, rows] = costs, costs.T
        if counting:
            self.counts[rows, columns], self.counts[columns, rows] = ways, ways.T

    def _join_many(self, runs):
        """Fill in the paths that run through all children of a larger group."""
        places = slice(runs[0][0], runs[-1][1])
        size = places.stop - places.start
        ends = np.where(np.eye(size, dtype=bool), 0.0, np.inf)
        ways = np.eye(size) if self.counts is not None else None
        costs, ways = self._completions(runs, ends, ways)[(1 << len(runs)) - 1]
        apart = np.ones((size, size), dtype=bool)
        for start, end in runs:
            inside = slice(start - places.start, end - places.start)
            apart[inside, inside] = False
        self.path[places, places][apart] = costs.T[apart]
        if ways is not None:
            self.counts[places, places][apart] = ways.T[apart]

    def _completions(self, runs, ends, ways=None):
        """
        Cost of the best path that starts at a leaf, covers a set of children, and ends.

        Parameters
        ----------
        runs : tuple of (int, int)
            The children of a group.
        ends : (rows, size) array of float
            Cost of ending at each leaf of the group, for several cases at once.
        ways : (rows, size) array of float, optional

        Returns
        -------
        dict of int to (costs, counts)
            Keyed by the set of children as bits; arrays (rows, size), infinity outside the set.
        """
        first, last = runs[0][0], runs[-1][1]
        inner = self.cost[first:last, first:last]
        local = [slice(start - first, end - first) for start, end in runs]
        table = {}
        for chosen in range(1, 1 << len(runs)):
            costs = np.full(ends.shape, np.inf)
            counts = None if ways is None else np.zeros(ends.shape)
            for number, run in enumerate(runs):
                if not chosen >> number & 1:
                    continue
                here, rest = local[number], chosen & ~(1 << number)
                entry = ends[:, here], None if ways is None else ways[:, here]
                if rest:
                    others = np.concatenate(
                        [np.arange(s.start, s.stop) for i, s in enumerate(local) if rest >> i & 1]
                    )
                    entry = self._step(table[rest], others, inner[others, here])
                costs[:, here], found = self._through(entry[0], run, entry[1])
                if ways is not None:
                    counts[:, here] = found
            table[chosen] = costs, counts
        return table

    def _step(self, after, others, step):
        """Put one step between groups before paths that are already complete."""
        costs, counts = after
        if counts is None:
            return min_plus(costs[:, others], step), None
        return min_plus_counted(costs[:, others], counts[:, others], step, np.ones(step.shape))

    def _total(self, opening, closing, ways=None):
        """Cost of the best order from each first leaf, its opening included, by place."""
        ends = closing[self.leaves][None, :]
        if self.root not in self.children:
            return opening[self.leaves] + ends[0], ways
        runs = self.children[self.root]
        given = None if ways is None else np.ones(ends.shape)
        costs, counts = self._completions(runs, ends, given)[(1 << len(runs)) - 1]
        return opening[self.leaves] + costs[0], None if counts is None else counts[0]

    def ways(self, opening, closing):
        """Return the number of cheapest orders, as a float, exact below 2**53."""
        costs, counts = self._total(opening, closing, ways=True)
        return float(counts[costs == costs.min()].sum())

    def smallest_order(self, opening, closing):
        """
        Return the lexicographically smallest of the cheapest orders.

        Parameters
        ----------
        opening, closing : (n,) array of float
            Cost of beginning and of ending at each leaf number.

        Returns
        -------
        list of int
            Leaf numbers.
        """
        order, previous = [], None
        # a task is a group, the children still to come, and the cost of each end of the group
        tasks = [(self.root, None, None, closing[self.leaves])]
        entry = opening[self.leaves]
        while tasks:
            run, table, remaining, ends = tasks.pop()
            if previous is not None:
                entry = self.cost[previous]
            runs = self.children.get(run)
            if runs is None:
                previous = run[0]
                order.append(int(self.leaves[previous]))
                continue
            if table is None:
                table = self._completions(runs, ends[None, :])
                remaining = (1 << len(runs)) - 1
            self._descend(tasks, run, table, remaining, ends, entry)
        return order

    def _descend(self, tasks, run, table, remaining, ends, entry):
        """Choose the next child of a group and put it, and what is left, on the pile of tasks."""
        runs, first = self.children[run], run[0]
        totals = entry[run[0] : run[1]] + table[remaining][0][0]
        best = np.flatnonzero(totals == totals.min())
        start = best[np.argmin(self.leaves[first + best])] + first
        number = next(i for i, (low, high) in enumerate(runs) if low <= start < high)
        low, high = runs[number]
        rest = remaining & ~(1 << number)
        after = ends[low - first : high - first]
        if rest:
            tasks.append((run, table, rest, ends))
            inner = self.cost[run[0] : run[1], low:high]
            after = min_plus(table[rest][0], inner)[0]
        tasks.append(((low, high), None, None, after))


def cheaper(one, other):
    """Return the cheaper of two arrays of costs, cell by cell, counts added where they tie."""
    costs = np.minimum(one[0], other[0])
    if one[1] is None:
        return costs, None
    counts = one[1] * (one[0] == costs) + other[1] * (other[0] == costs)
    return costs, counts
