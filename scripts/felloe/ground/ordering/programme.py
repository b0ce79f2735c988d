"""The cheapest paths through every group of a tree, and the orders made of them."""

import numpy as np

from felloe.ground.ordering.min_plus import min_plus, min_plus_counted
from felloe.ground.ordering.tree import Node, laid_out


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
        costs, ways = self._completions(runs, ends, ways, own=True)[(1 << len(runs)) - 1]
        apart = np.ones((size, size), dtype=bool)
        for start, end in runs:
            inside = slice(start - places.start, end - places.start)
            apart[inside, inside] = False
        self.path[places, places][apart] = costs.T[apart]
        if ways is not None:
            self.counts[places, places][apart] = ways.T[apart]

    def _completions(self, runs, ends, ways=None, own=False):
        """
        Cost of the best path that starts at a leaf, covers a set of children, and ends.

        Parameters
        ----------
        runs : tuple of (int, int)
            The children of a group.
        ends : (rows, size) array of float
            Cost of ending at each leaf of the group, for several cases at once.
        ways : (rows, size) array of float, optional
        own : bool
            Row `b` stands for the order that ends at leaf `b`: of these only the rows of a set's
            own leaves are worked out.

        Returns
        -------
        dict of int to (costs, counts)
            Keyed by the set of children as bits; arrays (rows, size), infinity outside the set.
        """
        first, last = runs[0][0], runs[-1][1]
        inner = self.cost[first:last, first:last]
        local = [slice(start - first, end - first) for start, end in runs]
        table, places = {}, {0: np.arange(0)}
        for chosen in range(1, 1 << len(runs)):
            low = chosen & -chosen
            first_run = local[low.bit_length() - 1]
            own_places = np.arange(first_run.start, first_run.stop)
            places[chosen] = np.concatenate([own_places, places[chosen ^ low]])
        for chosen in range(1, 1 << len(runs)):
            costs = np.full(ends.shape, np.inf)
            counts = None if ways is None else np.zeros(ends.shape)
            for number, run in enumerate(runs):
                if not chosen >> number & 1:
                    continue
                here, rest = local[number], chosen & ~(1 << number)
                others = places[rest]
                rows = (others if rest else here) if own else slice(None)
                entry = ends[rows, here], None if ways is None else ways[rows, here]
                if rest:
                    entry = self._step(table[rest], rows, others, inner[others, here])
                costs[rows, here], found = self._through(entry[0], run, entry[1])
                if ways is not None:
                    counts[rows, here] = found
            table[chosen] = costs, counts
        return table

    def _step(self, after, rows, others, step):
        """Put one step between groups before paths that are already complete."""
        costs, counts = after
        if counts is None:
            return min_plus(costs[rows][:, others], step), None
        return min_plus_counted(
            costs[rows][:, others], counts[rows][:, others], step, np.ones(step.shape)
        )

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
        order, entry = [], opening[self.leaves]
        totals = self._total(opening, closing)[0]
        start = self._smallest(totals, 0)
        # a task is a group with the cost of each end and the leaf to start from, or, still to
        # be entered, with what it costs to cover it (or some of its children) from each leaf
        tasks = [(self.root, closing[self.leaves], start, None, None)]
        while tasks:
            run, ends, start, table, remaining = tasks.pop()
            if start is None:
                start = self._smallest(entry[slice(*run)] + table[remaining][0][0], run[0])
                if not remaining:
                    table = None
            if run not in self.children:
                order.append(int(self.leaves[start]))
                entry = self.cost[start]
                continue
            self._divide(tasks, run, ends, start, table, remaining)
        return order

    def _smallest(self, totals, first):
        """Return the place of the smallest leaf number among the cheapest."""
        best = np.flatnonzero(totals == totals.min())
        return int(best[np.argmin(self.leaves[first + best])]) + first

    def _divide(self, tasks, run, ends, start, table, remaining):
        """Put the child that holds the start, and before it what comes after, on the tasks."""
        runs, first = self.children[run], run[0]
        number = next(i for i, (low, high) in enumerate(runs) if low <= start < high)
        low, high = runs[number]
        after = ends[low - first : high - first]
        if len(runs) == 2:
            other = runs[1 - number]
            left = ends[other[0] - first : other[1] - first]
            covered = self._through(left[None, :], other)
            after = min_plus(covered[0], self.cost[slice(*other), low:high])[0]
            tasks.append((other, left, None, {0: covered}, 0))
        else:
            if table is None:
                table, remaining = self._completions(runs, ends[None, :]), (1 << len(runs)) - 1
            rest = remaining & ~(1 << number)
            if rest:
                after = min_plus(table[rest][0], self.cost[slice(*run), low:high])[0]
                tasks.append((run, ends, None, table, rest))
        tasks.append(((low, high), after, start, None, None))


def cheaper(one, other):
    """Return the cheaper of two arrays of costs, cell by cell, counts added where they tie."""
    costs = np.minimum(one[0], other[0])
    if one[1] is None:
        return costs, None
    counts = one[1] * (one[0] == costs) + other[1] * (other[0] == costs)
    return costs, counts
