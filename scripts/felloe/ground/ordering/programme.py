"""The cheapest paths through every group of a tree, and the orders made of them."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple, Self

import numpy as np

from felloe.ground.arrays import Floats
from felloe.ground.ordering.min_plus import min_plus, min_plus_counted
from felloe.ground.ordering.tree import Node, Run, laid_out

NOT_ENTERED = -1


class Paths(NamedTuple):
    """
    What paths cost, and in how many ways each cost is reached.

    Attributes
    ----------
    costs : (rows, columns) array of float
    ways : (rows, columns) array of float or None
        None where nobody counts.
    """

    costs: Floats
    ways: Floats | None

    @classmethod
    def unset(cls, shape: tuple[int, ...], counted: bool) -> Self:
        """Return paths to be filled in: not to be had yet, in no way."""
        return cls(np.full(shape, np.inf), np.zeros(shape) if counted else None)

    def at(self, rows: Any, columns: Any) -> "Paths":
        """Return a part, by slices or by one array of places."""
        ways = None if self.ways is None else self.ways[rows, columns]
        return Paths(self.costs[rows, columns], ways)

    def put(self, rows: Any, columns: Any, found: "Paths") -> None:
        """Fill in a part."""
        self.costs[rows, columns] = found.costs
        if self.ways is not None and found.ways is not None:
            self.ways[rows, columns] = found.ways

    @property
    def turned(self) -> "Paths":
        """The same paths run in the other direction."""
        return Paths(self.costs.T, None if self.ways is None else self.ways.T)

    def cheaper(self, other: "Paths") -> "Paths":
        """Return the cheaper of both, cell by cell, ways added where they tie."""
        costs = np.minimum(self.costs, other.costs)
        if self.ways is None or other.ways is None:
            return Paths(costs, None)
        ways = self.ways * (self.costs == costs) + other.ways * (other.costs == costs)
        return Paths(costs, ways)


class Task(NamedTuple):
    """
    A group still to be put in order.

    Attributes
    ----------
    run : (int, int)
        The group's places.
    ends : (size,) array of float
        What it costs to end at each of its leaves.
    start : int
        The place to start from; `NOT_ENTERED` where that is still to be chosen.
    table : dict of int to Paths
        What it costs to cover some of the children from each leaf, as `Programme._completions`
        gives it; empty where it is still to be worked out.
    remaining : int
        The children still to be covered, as bits.
    """

    run: Run
    ends: Floats
    start: int
    table: Mapping[int, Paths] = MappingProxyType({})
    remaining: int = 0


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

    def __init__(self, tree: Node, cost: Floats, count: bool) -> None:
        laid = laid_out(tree)
        self.leaves = laid.leaves
        self.cost = cost[np.ix_(laid.leaves, laid.leaves)]
        n = len(laid.leaves)
        self.children = {(runs[0][0], runs[-1][1]): runs for runs in laid.groups}
        self.root = (0, n)
        # by the smallest group that holds both leaves
        self.paths = Paths.unset((n, n), count)
        self.paths.put(np.arange(n), np.arange(n), Paths(np.zeros(n), np.ones(n)))
        # no path runs through the whole tree and on: `_best` closes it
        for runs in laid.groups[:-1]:
            if len(runs) == 2:
                self._join_two(*runs)
            else:
                self._join_many(runs)

    @property
    def counting(self) -> bool:
        """Whether the paths that tie are counted."""
        return self.paths.ways is not None

    def _within(self, run: Run) -> Iterator[tuple[slice, list[slice]]]:
        """Yield (places of one child, places of its siblings) of a group; a leaf is its own."""
        runs = self.children.get(run)
        if runs is None:
            yield slice(*run), [slice(*run)]
            return
        for start, end in runs:
            around = [slice(run[0], start), slice(end, run[1])]
            yield slice(start, end), [places for places in around if places.stop > places.start]

    def _through(self, entry: Paths, run: Run) -> Paths:
        """
        Extend paths at one end of a group by the cheapest path to its other end.

        `entry` is (rows, size of the run); ways are counted if it has them.
        """
        through = np.empty(entry.costs.shape)
        ways = None if entry.ways is None else np.empty(through.shape)
        first = run[0]
        for child, around in self._within(run):
            target = slice(child.start - first, child.stop - first)
            found = self._onward(entry, first, around[0], child)
            for places in around[1:]:
                found = found.cheaper(self._onward(entry, first, places, child))
            through[:, target] = found.costs
            if ways is not None:
                ways[:, target] = found.ways
        return Paths(through, ways)

    def _onward(self, entry: Paths, first: int, places: slice, child: slice) -> Paths:
        """Extend paths that have come to some places by the cheapest step to each of a child's."""
        source = slice(places.start - first, places.stop - first)
        costs, step = entry.costs[:, source], self.paths.costs[places, child]
        if entry.ways is None or self.paths.ways is None:
            return Paths(min_plus(costs, step), None)
        ways, step_ways = entry.ways[:, source], self.paths.ways[places, child]
        return Paths(*min_plus_counted(costs, ways, step, step_ways))

    def _join_two(self, left: Run, right: Run) -> None:
        """Fill in the paths that run through both children of a group of two."""
        rows, columns = slice(*left), slice(*right)
        between = self.cost[columns, rows]
        entry = Paths(between, np.ones(between.shape) if self.counting else None)
        found = self._through(self._through(entry, left).turned, right)
        self.paths.put(rows, columns, found)
        self.paths.put(columns, rows, found.turned)

    def _join_many(self, runs: tuple[Run, ...]) -> None:
        """Fill in the paths that run through all children of a larger group."""
        first, last = runs[0][0], runs[-1][1]
        size = last - first
        ends = np.where(np.eye(size, dtype=bool), 0.0, np.inf)
        ways = np.eye(size) if self.counting else None
        found = self._completions(runs, Paths(ends, ways), own=True)[(1 << len(runs)) - 1]
        apart = np.ones((size, size), dtype=bool)
        for start, end in runs:
            apart[start - first : end - first, start - first : end - first] = False
        rows, columns = np.nonzero(apart)
        self.paths.put(rows + first, columns + first, found.turned.at(rows, columns))

    def _completions(
        self, runs: tuple[Run, ...], ends: Paths, own: bool = False
    ) -> dict[int, Paths]:
        """
        Cost of the best path that starts at a leaf, covers a set of children, and ends.

        Parameters
        ----------
        runs : tuple of (int, int)
            The children of a group.
        ends : Paths of (rows, size)
            Cost of ending at each leaf of the group, for several cases at once.
        own : bool
            Row `b` stands for the order that ends at leaf `b`: of these only the rows of a set's
            own leaves are worked out.

        Returns
        -------
        dict of int to Paths
            Keyed by the set of children as bits; arrays (rows, size), infinity outside the set.
        """
        first, last = runs[0][0], runs[-1][1]
        inner = self.cost[first:last, first:last]
        local = [slice(start - first, end - first) for start, end in runs]
        places = places_of_sets(local)
        table: dict[int, Paths] = {}
        for chosen in range(1, 1 << len(runs)):
            table[chosen] = Paths.unset(ends.costs.shape, ends.ways is not None)
            for number, run in enumerate(runs):
                if not chosen >> number & 1:
                    continue
                here, rest = local[number], chosen & ~(1 << number)
                others = places[rest]
                rows = (others if rest else here) if own else slice(None)
                if rest:
                    entry = stepped(table[rest], rows, others, inner[others, here])
                else:
                    entry = ends.at(rows, here)
                table[chosen].put(rows, here, self._through(entry, run))
        return table

    def _best(self, opening: Floats, closing: Floats, counted: bool) -> Paths:
        """Cost of the best order from each first leaf, its opening included, by place."""
        ends = closing[self.leaves][None, :]
        last = Paths(ends, np.ones(ends.shape) if counted else None)
        if self.root in self.children:
            runs = self.children[self.root]
            last = self._completions(runs, last)[(1 << len(runs)) - 1]
        ways = None if last.ways is None else last.ways[0]
        return Paths(opening[self.leaves] + last.costs[0], ways)

    def least(self, opening: Floats, closing: Floats) -> float:
        """Return the cost of the cheapest orders."""
        return float(self._best(opening, closing, counted=False).costs.min())

    def ways(self, opening: Floats, closing: Floats) -> float:
        """
        Return the number of cheapest orders, exact below 2**53.

        Raises
        ------
        ValueError
            If the programme was not asked to count.
        """
        found = self._best(opening, closing, counted=self.counting)
        if found.ways is None:
            raise ValueError("this programme was not asked to count")
        return float(found.ways[found.costs == found.costs.min()].sum())

    def smallest_order(self, opening: Floats, closing: Floats) -> list[int]:
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
        order: list[int] = []
        entry = opening[self.leaves]
        start = self._smallest(self._best(opening, closing, counted=False).costs, 0)
        tasks = [Task(self.root, closing[self.leaves], start)]
        while tasks:
            task = tasks.pop()
            if task.start == NOT_ENTERED:
                totals = entry[slice(*task.run)] + task.table[task.remaining].costs[0]
                start = self._smallest(totals, task.run[0])
                # with no child left apart, the group as a whole is what was to be covered
                task = task._replace(start=start, table=task.table if task.remaining else {})
            if task.run in self.children:
                tasks.extend(self._divided(task))
            else:
                order.append(int(self.leaves[task.start]))
                entry = self.cost[task.start]
        return order

    def _smallest(self, totals: Floats, first: int) -> int:
        """Return the place of the smallest leaf number among the cheapest."""
        best = np.flatnonzero(totals == totals.min())
        return int(best[np.argmin(self.leaves[first + best])]) + first

    def _divided(self, task: Task) -> Iterator[Task]:
        """Yield what comes after the child that holds the start, then that child."""
        runs, first = self.children[task.run], task.run[0]
        number = next(i for i, (low, high) in enumerate(runs) if low <= task.start < high)
        low, high = runs[number]
        after = task.ends[low - first : high - first]
        if len(runs) == 2:
            other = runs[1 - number]
            left = task.ends[other[0] - first : other[1] - first]
            covered = self._through(Paths(left[None, :], None), other)
            after = min_plus(covered.costs, self.cost[slice(*other), low:high])[0]
            yield Task(other, left, NOT_ENTERED, {0: covered})
        else:
            table, remaining = task.table, task.remaining
            if not table:
                table = self._completions(runs, Paths(task.ends[None, :], None))
                remaining = (1 << len(runs)) - 1
            rest = remaining & ~(1 << number)
            if rest:
                after = min_plus(table[rest].costs, self.cost[slice(*task.run), low:high])[0]
                yield Task(task.run, task.ends, NOT_ENTERED, table, rest)
        yield Task((low, high), after, task.start)


def stepped(after: Paths, rows: Any, others: Any, step: Floats) -> Paths:
    """Put one step between groups before paths that are already complete."""
    costs = after.costs[rows][:, others]
    if after.ways is None:
        return Paths(min_plus(costs, step), None)
    ways = after.ways[rows][:, others]
    return Paths(*min_plus_counted(costs, ways, step, np.ones(step.shape)))


def places_of_sets(children: list[slice]) -> dict[int, Any]:
    """Return the places of the leaves of every set of children, keyed by the set as bits."""
    places: dict[int, Any] = {0: np.arange(0)}
    for chosen in range(1, 1 << len(children)):
        low = chosen & -chosen
        child = children[low.bit_length() - 1]
        own = np.arange(child.start, child.stop)
        places[chosen] = np.concatenate([own, places[chosen ^ low]])
    return places
