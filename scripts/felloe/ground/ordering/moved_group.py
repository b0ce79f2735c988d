"""The shortest circle after one leaf has moved among groups whose children stand in any order."""

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Floats, Ints
from felloe.ground.ordering.min_plus import min_plus
from felloe.ground.ordering.tree import Node

# Largest table of ways out of one group that is kept: 160 MB of numbers.
MOST_WAYS = 20_000_000


@dataclass(frozen=True)
class Group:
    """
    Leaves that stay together, and the cheapest paths through all of them.

    Attributes
    ----------
    leaves : (size,) array of int
    paths : (size, size) array of float
        From each leaf to each; infinite where no such path keeps the parts together.
    """

    leaves: Ints
    paths: Floats


def slices_of(groups: list[Group]) -> list[slice]:
    """Return where the leaves of each group stand when they are written one after another."""
    ends = np.cumsum([len(group.leaves) for group in groups])
    return [slice(int(end) - len(one.leaves), int(end)) for one, end in zip(groups, ends)]


def ways_out(
    entry: Floats, groups: list[Group], within: list[slice], cost: Floats, passed: int
) -> Floats:
    """
    Return the cheapest ways through every set of groups, up to the step to every leaf.

    Parameters
    ----------
    entry : (rows, n) array of float
        Cost of the first step to every leaf.
    groups : list of Group
    within : list of slice
        Of the n leaves those of each group.
    cost : (n, n) array of float
    passed : int
        A group that no way goes through; -1 for none.

    Returns
    -------
    (2**number of groups, rows, n) array of float
        By the set of groups passed through, as bits; infinite for sets with `passed`.
    """
    rows, n = entry.shape
    found = np.full((1 << len(groups), rows, n), np.inf)
    found[0] = entry
    others = [number for number in range(len(groups)) if number != passed]
    sets, sizes = sets_of(others, len(groups))
    at = np.empty(len(sets), dtype=int)
    for size in range(len(others)):
        before, after = sets[sizes == size], sets[sizes == size + 1]
        at[after] = np.arange(len(after))
        ends = np.full((len(after), rows, n), np.inf)
        for number in others:
            chosen, own = before[(before >> number & 1) == 0], within[number]
            entered = found[chosen][:, :, own]
            through = min_plus(entered.reshape(-1, entered.shape[2]), groups[number].paths)
            ends[at[chosen | 1 << number], :, own] = through.reshape(entered.shape)
        found[after] = min_plus(ends.reshape(-1, n), cost).reshape(ends.shape)
    return found


def sets_of(numbers: list[int], most: int) -> tuple[Ints, Ints]:
    """Return all sets of numbers below `most` as bits, and their sizes: -1 where others are in."""
    sets = np.arange(1 << most)
    allowed = sum(1 << number for number in numbers)
    sizes = np.sum([sets >> number & 1 for number in range(most)], axis=0)
    return sets, np.where(sets & ~allowed == 0, sizes, -1)


def joined(groups: list[Group], cost: Floats) -> Group:
    """Return groups that stay together, in whatever order, as one."""
    if len(groups) == 1:
        return groups[0]
    leaves, within = np.concatenate([one.leaves for one in groups]), slices_of(groups)
    inner = cost[np.ix_(leaves, leaves)]
    paths = np.full(inner.shape, np.inf)
    for number, own in enumerate(within):
        entry = min_plus(groups[number].paths, inner[own])
        entry[:, own] = np.inf
        rest = (1 << len(groups)) - 1 ^ 1 << number
        ways = ends_of(entry, groups, within, inner, number, rest)
        paths[own] = ways
        paths[own, own] = np.inf
    return Group(leaves, paths)


def ends_of(
    entry: Floats, groups: list[Group], within: list[slice], cost: Floats, start: int, rest: int
) -> Floats:
    """Return the cheapest ways through all groups but the first, by the leaf where they end."""
    ways = ways_out(entry, groups, within, cost, start)
    found = np.full(entry.shape, np.inf)
    for number, own in enumerate(within):
        if number != start:
            found[:, own] = min_plus(ways[rest ^ 1 << number][:, own], groups[number].paths)
    return found


class GroupedCircle:
    """
    Groups around a circle, of which one or two change at a time.

    Parameters
    ----------
    root : Node
        Its children are the groups.
    cost : (n, n) array of float
        Whole numbers, over all leaves.
    """

    def __init__(self, root: Node, cost: Floats) -> None:
        self.cost = cost
        self._known: dict[Hashable, Group] = {}
        self.keys = [key_of(child) for child in root.children]
        self.groups = [self.group(child) for child in root.children]
        self.within = slices_of(self.groups)
        self.leaves = np.concatenate([one.leaves for one in self.groups])
        self.own = [frozenset(one.leaves.tolist()) for one in self.groups]
        self._ways: tuple[int, Floats] | None = None

    def group(self, node: Node) -> Group:
        """Return the paths through a group; those of a group met before are known."""
        key = key_of(node)
        if key not in self._known:
            if node.leaf >= 0:
                found = Group(np.array([node.leaf]), np.zeros((1, 1)))
            else:
                found = joined([self.group(child) for child in node.children], self.cost)
            self._known[key] = found
        return self._known[key]

    def ways(self, number: int) -> Floats:
        """Return the ways out of a group through every set of the others; see `ways_out`."""
        if self._ways is None or self._ways[0] != number:
            inner = self.cost[np.ix_(self.leaves, self.leaves)]
            entry = inner[self.within[number]]
            found = ways_out(entry, self.groups, self.within, inner, number)
            self._ways = number, found
        return self._ways[1]

    def length_after(self, root: Node, leaf: int) -> float | None:
        """
        Return the length of the shortest circle once a leaf has moved.

        Parameters
        ----------
        root : Node
            The groups after the move.
        leaf : int
            Moved from one group to another, or within one.

        Returns
        -------
        float or None
            None where other groups than these have changed, or tables would be too large.
        """
        number = next(place for place, own in enumerate(self.own) if leaf in own)
        size = (len(self.leaves) * len(self.own[number])) << len(self.groups)
        if len(root.children) != len(self.groups) or size > MOST_WAYS:
            return None
        known = set(self.keys)
        changed = [self.group(child) for child in root.children if key_of(child) not in known]
        if len(changed) == 1 and frozenset(changed[0].leaves.tolist()) == self.own[number]:
            return self._within(number, changed[0])
        if len(changed) != 2:
            return None
        left, joins = sorted(changed, key=lambda one: leaf in one.leaves)
        gained = frozenset(joins.leaves.tolist()) - {leaf}
        if frozenset(left.leaves.tolist()) != self.own[number] - {leaf} or gained not in self.own:
            return None
        return self._between(number, left, self.own.index(gained), joins)

    def _columns(self, group: Group) -> Ints:
        place = np.empty(len(self.cost), dtype=int)
        place[self.leaves] = np.arange(len(self.leaves))
        return np.asarray(place[group.leaves])

    def _within(self, number: int, group: Group) -> float:
        """The circle where the leaf has moved within its group."""
        others, at = (1 << len(self.groups)) - 1 ^ 1 << number, self._columns(group)
        around = self.ways(number)[others][np.ix_(at - self.within[number].start, at)]
        return float((group.paths + around).min())

    def _between(self, number: int, left: Group, other: int, joins: Group) -> float:
        """The circle where the leaf has left a group for another."""
        ways, start = self.ways(number), self.within[number].start
        rows, columns = self._columns(left) - start, self._columns(joins)
        others = (1 << len(self.groups)) - 1 ^ 1 << number ^ 1 << other
        sets = np.arange(1 << len(self.groups))
        sets = sets[sets & ~others == 0]  # those on one of the two arcs; the rest on the other
        out = ways[sets][:, rows][:, :, columns]
        back = ways[others ^ sets][:, rows][:, :, columns]
        many, size, gained = out.shape
        before = min_plus(left.paths, out.transpose(1, 0, 2).reshape(size, -1))
        passed = min_plus(before.reshape(-1, gained), joins.paths)
        whole = passed.reshape(size, many, gained) + back.transpose(1, 0, 2)
        return float(whole.min())


def key_of(node: Node) -> Hashable:
    """Return what two groups of the same leaves and the same parts have in common."""
    return node.leaf if node.leaf >= 0 else frozenset(map(key_of, node.children))
