"""The shortest circle after one leaf of a binary tree has moved, without beginning anew."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Floats, Ints
from felloe.ground.ordering.min_plus import min_plus

NONE = -1


@dataclass(frozen=True)
class Branch:
    """
    Leaves that stay together, and the cheapest paths through them.

    Attributes
    ----------
    places : (size,) array of int
        Of the leaves, those of the one half first.
    half : int
        The size of that half; 0 for a single leaf.
    paths : (half, size - half) array of float
        Cheapest path through all leaves, from each of the one half to each of the other.
    """

    places: Ints
    half: int
    paths: Floats

    def through(self, entry: Floats) -> Floats:
        """Extend paths that have come to one end of the branch, (rows, size), to its other end."""
        if not self.half:
            return entry
        found = np.empty(entry.shape)
        found[:, : self.half] = min_plus(entry[:, self.half :], self.paths.T)
        found[:, self.half :] = min_plus(entry[:, : self.half], self.paths)
        return found

    def joined(self, other: "Branch", cost: Floats) -> "Branch":
        """Join two branches."""
        stepped = self.through(cost[np.ix_(other.places, self.places)])
        paths = other.through(stepped.T)
        return Branch(np.concatenate([self.places, other.places]), len(self.places), paths)


class BranchCosts:
    """
    A binary tree with the cheapest paths through every branch, and around it.

    Leaves stand in places so that every branch is a run of them. The way around a branch, from
    one of its leaves to another through all leaves outside it, is known for every two leaves by
    the smallest branch that holds both: with the path through that branch it makes a circle.

    Parameters
    ----------
    Z : (n - 1, 4) array of float
        A linkage of two leaves at least.
    cost : (n, n) array of float
        Whole numbers, symmetric.

    References
    ----------
    Burkard, Deineko & Woeginger (1998), Mathematics of Operations Research 23:613-623, for the
    paths; the ways around are the same programme run from the root down.
    """

    def __init__(self, Z: Floats, cost: Floats) -> None:
        n = len(Z) + 1
        merges = [(int(left), int(right)) for left, right in np.asarray(Z)[:, :2]]
        self.children = [(NONE, NONE)] * n + merges
        self.parent = [NONE] * len(self.children)
        self.first, self.size = (
            [0] * len(self.children),
            [1] * n + np.asarray(Z)[:, 3].astype(int).tolist(),
        )
        for node in range(len(self.children) - 1, n - 1, -1):
            left, right = self.children[node]
            self.parent[left] = self.parent[right] = node
            self.first[left] = self.first[node]
            self.first[right] = self.first[node] + self.size[left]
        self.place = np.array(self.first[:n])
        leaves = np.argsort(self.place)
        self.cost = np.asarray(cost[np.ix_(leaves, leaves)])
        self.branches = [Branch(self._places(leaf), 0, np.empty((0, 0))) for leaf in range(n)]
        for left, right in merges:
            self.branches.append(self.branches[left].joined(self.branches[right], self.cost))
        self.around = self.cost.copy()
        for node in range(len(self.children) - 2, n - 1, -1):
            self._go_around(node)

    def _places(self, node: int) -> Ints:
        return np.arange(self.first[node], self.first[node] + self.size[node])

    def _go_around(self, node: int) -> None:
        """Fill in the ways around a branch between its two children; those above are known."""
        left, right = (self.branches[child].places for child in self.children[node])
        beside = self.branches[self.sibling(node)]
        ways = ways_around(self.branches[node], beside, self.cost, self._known(beside, node))
        self.around[np.ix_(left, right)] = ways
        self.around[np.ix_(right, left)] = ways.T

    def _known(self, beside: Branch, node: int) -> Floats:
        return self.around[np.ix_(beside.places, self.branches[node].places)]

    def sibling(self, node: int) -> int:
        """Return what stands beside a node that is not the root."""
        left, right = self.children[self.parent[node]]
        return right if node == left else left

    def node_of(self, leaves: Sequence[int]) -> int:
        """Return the node that has exactly these leaves, which are a branch."""
        node = int(leaves[0])
        while self.size[node] < len(leaves):
            node = self.parent[node]
        return node

    @property
    def shortest(self) -> float:
        """The length of the shortest circle."""
        left, right = (self.branches[child].places for child in self.children[-1])
        return float((self.branches[-1].paths + self.cost[np.ix_(left, right)]).min())


def ways_around(branch: Branch, beside: Branch, cost: Floats, known: Floats) -> Floats:
    """
    Return the cheapest ways around a branch between its two halves.

    Parameters
    ----------
    branch, beside : Branch
        Together they are the branch above.
    cost : (n, n) array of float
    known : (size of beside, size of branch) array of float
        Ways around the branch above.

    Returns
    -------
    (half, size - half) array of float
    """
    half = branch.half
    passed = beside.through(cost[np.ix_(branch.places, beside.places)])
    there = min_plus(passed[:half], known[:, half:])
    back = min_plus(passed[half:], known[:, :half])
    return np.minimum(there, back.T)


class MovedLeaf:
    """
    A tree from which one leaf is taken, and the shortest circle wherever it is put.

    Nothing is worked out twice: of the branches that lose the leaf the paths are joined anew, the
    ways around those that gain it are followed from the top to where it is put.

    Parameters
    ----------
    tree : BranchCosts
    leaf : int
    """

    def __init__(self, tree: BranchCosts, leaf: int) -> None:
        self.tree, self.leaf = tree, leaf
        self.to_leaf = tree.cost[tree.place[leaf]]
        self.beside: list[int] = []  # what stands beside each ancestor, from the leaf up
        self.above = {}
        node = leaf
        while tree.parent[node] != NONE:
            self.beside.append(tree.sibling(node))
            self.above[self.beside[-1]] = len(self.beside) - 1
            node = tree.parent[node]
        self.left = [tree.branches[self.beside[0]]]  # what ancestors hold without the leaf
        self.ways_to_leaf = self._ways_to_leaf()
        self._known_onward: dict[int, Floats] = {}
        self._known_between: dict[int, Floats] = {}

    def _ways_to_leaf(self) -> list[Floats]:
        """
        Return the ways around every ancestor that end at the leaf, from the nearest up.

        Each is (n,), by the place where the way begins, of use within the ancestor.
        """
        found = [self.to_leaf]
        for level in range(len(self.beside) - 1, 0, -1):
            within = np.concatenate(
                [self.tree.branches[other].places for other in self.beside[:level]]
            )
            branch = self.tree.branches[self.beside[level]]
            known = self.tree.around[np.ix_(branch.places, within)]
            ways = np.full(len(self.to_leaf), np.inf)
            ways[within] = self._to_leaf(within, branch, known, found[-1][branch.places])
            found.append(ways)
        return found[::-1]

    def _to_leaf(self, within: Ints, beside: Branch, known: Floats, onward: Floats) -> Floats:
        """
        Return the ways around some places that end at the leaf, which stands beside them.

        Parameters
        ----------
        within : (m,) array of int
        beside : Branch
            What stands with them in the branch above.
        known : (size of beside, m) array of float
            Ways around the branch above, without the leaf.
        onward : (size of beside,) array of float
            The same, to the leaf.
        """
        passed = beside.through(np.stack([onward, self.to_leaf[beside.places]]))
        first = self.tree.cost[np.ix_(within, beside.places)] + passed[0]
        last = known + passed[1][:, None]
        return np.asarray(np.minimum(first.min(axis=1), last.min(axis=0)))

    def _without(self, level: int) -> Branch:
        """Return the branch of an ancestor without the leaf."""
        while len(self.left) <= level:
            other = self.tree.branches[self.beside[len(self.left)]]
            self.left.append(self.left[-1].joined(other, self.tree.cost))
        return self.left[level]

    def _over(self, node: int) -> tuple[Branch, Floats, Floats]:
        """Return what `_to_leaf` needs of what stands beside a node once the leaf is gone."""
        tree = self.tree
        level = self.above.get(node)
        places = tree.branches[node].places
        if level is None:
            parent, beside = tree.parent[node], tree.branches[tree.sibling(node)]
            half, ways = tree.branches[parent].half, self._between_halves(parent)
            known = ways.T if node == tree.children[parent][0] else ways
            at = slice(half, None) if node == tree.children[parent][0] else slice(0, half)
            return beside, known, self._onward(parent)[at]
        if level == 0:
            beside, above = tree.branches[self.beside[1]], self.ways_to_leaf[1]
        else:
            beside, above = self._without(level - 1), self.ways_to_leaf[level]
        return beside, tree.around[np.ix_(beside.places, places)], above[beside.places]

    def _is_all(self, node: int) -> bool:
        """Say whether nothing is left outside a node once the leaf is gone."""
        return self.beside == [node]

    def _onward(self, node: int) -> Floats:
        """Return the ways around a node to the leaf."""
        if node not in self._known_onward:
            places = self.tree.branches[node].places
            self._known_onward[node] = (
                self.to_leaf[places]
                if self._is_all(node)
                else self._to_leaf(places, *self._over(node))
            )
        return self._known_onward[node]

    def _between_halves(self, node: int) -> Floats:
        """Return the ways around a branch between its halves, without the leaf."""
        if node not in self._known_between:
            branch, cost = self.tree.branches[node], self.tree.cost
            if self._is_all(node):
                found = cost[np.ix_(branch.places[: branch.half], branch.places[branch.half :])]
            else:
                beside, known, _ = self._over(node)
                found = ways_around(branch, beside, cost, known)
            self._known_between[node] = found
        return self._known_between[node]

    def length_beside(self, node: int) -> float:
        """Return the length of the shortest circle once the leaf is put beside a node."""
        branch = self.tree.branches[node]
        entered = branch.through(self.to_leaf[branch.places][None])
        return float((entered[0] + self._onward(node)).min())
