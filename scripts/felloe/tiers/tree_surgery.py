"""A tree of terms that the committee may change: leaves taken off and put elsewhere."""

from collections.abc import Iterable
from copy import copy

import numpy as np

from felloe.ground.groups.tree import Tree
from felloe.ground.terms import Terms


class GrowingTree:
    """
    A binary tree with heights that never fall from a leaf to the root.

    Its nodes are numbers: the terms first, in their order, then merges as they come.

    Parameters
    ----------
    tree : Tree
    """

    def __init__(self, tree: Tree) -> None:
        self.terms = tree.terms
        self.children: dict[int, list[int]] = {}
        self.parent: dict[int, int] = {}
        n_terms = len(tree.terms)
        self.height = dict.fromkeys(range(n_terms), 0.0)
        for merge, (left, right, height) in enumerate(tree.Z[:, :3].tolist()):
            self._join(n_terms + merge, int(left), int(right), height)
        self.root = n_terms + len(tree.Z) - 1
        self._next = self.root + 1

    def _join(self, node: int, left: int, right: int, height: float) -> None:
        self.children[node] = [left, right]
        self.parent[left] = self.parent[right] = node
        self.height[node] = height

    def _put(self, new: int, old: int) -> None:
        """Put a node where another hangs."""
        above = self.parent.pop(old, None)
        if above is None:
            self.root = new
            self.parent.pop(new, None)
            return
        self.children[above] = [new if child == old else child for child in self.children[above]]
        self.parent[new] = above

    def _place(self, term: str) -> int:
        return self.terms.places([term])[0]

    def leaves_below(self, node: int) -> list[int]:
        """Return the numbers of the terms below a node, in their order."""
        found, waiting = [], [node]
        while waiting:
            top = waiting.pop()
            waiting.extend(self.children.get(top, []))
            if top < len(self.terms):
                found.append(top)
        return sorted(found)

    def node_of(self, terms: Iterable[str]) -> int:
        """
        Return the node whose terms are exactly these.

        Raises
        ------
        ValueError
            If they are not one branch.
        """
        wanted = sorted(self.terms.places(terms))
        node = wanted[0]
        while len(below := self.leaves_below(node)) < len(wanted) and node in self.parent:
            node = self.parent[node]
        if below != wanted:
            names = [self.terms[place] for place in wanted]
            raise ValueError(f"terms {names} are not one branch of the tree")
        return node

    def prune(self, term: str) -> None:
        """
        Take a term off; what stood beside it moves up.

        Raises
        ------
        ValueError
            If it is the last term.
        """
        self.prune_branch(self._place(term))

    def prune_branch(self, node: int) -> None:
        """
        Take a branch off; what stood beside it moves up.

        Raises
        ------
        ValueError
            If it is the whole tree.
        """
        if node == self.root:
            raise ValueError("the last term cannot be taken off a tree")
        above = self.parent[node]
        sibling = self.sibling(node)
        self.parent.pop(sibling)
        self._put(sibling, above)
        del self.children[above], self.height[above]
        self.parent.pop(node, None)

    def sibling(self, node: int) -> int:
        """Return what stands beside a node that is not the root."""
        return next(child for child in self.children[self.parent[node]] if child != node)

    def copy(self) -> "GrowingTree":
        """Return a tree that can be changed apart from this one."""
        other = copy(self)
        other.children = {node: list(below) for node, below in self.children.items()}
        other.parent, other.height = dict(self.parent), dict(self.height)
        return other

    def graft(self, term: str, node: int, height: float) -> None:
        """
        Put a term that is off the tree beside a node.

        Parameters
        ----------
        term : str
        node : int
        height : float
            Where they join; brought between the height of the node and that of the next join
            above it, so that heights never fall.
        """
        joined = self.between(height, node, self.parent.get(node))
        self._hang(self._place(term), node, joined)

    def between(self, height: float, node: int, above: int | None) -> float:
        """Bring a height between those of a node and of the one above it, None for none."""
        ceiling = self.height[above] if above is not None else np.inf
        return float(min(max(height, self.height[node]), ceiling))

    def graft_branch(self, branch: int, node: int, height: float) -> None:
        """
        Put a branch that is off the tree beside a node.

        Parameters
        ----------
        branch, node : int
        height : float
            Where they join; not below the heights of both. Joins above that are lower are raised
            to it, so that heights never fall.
        """
        joined = max(height, self.height[node], self.height[branch])
        self._hang(branch, node, joined)
        above = self.parent[node]
        while above in self.parent:
            above = self.parent[above]
            self.height[above] = max(self.height[above], joined)

    def _hang(self, branch: int, node: int, height: float) -> None:
        new, self._next = self._next, self._next + 1
        self._put(new, node)
        self._join(new, node, branch, float(height))

    def tree(self) -> Tree:
        """Return the tree of the terms that are on it, in their order."""
        leaves = self.leaves_below(self.root)
        place = {leaf: number for number, leaf in enumerate(leaves)}
        below = {node: self.leaves_below(node) for node in self.children}
        # a group comes after its parts: larger after smaller where heights tie
        order = sorted(
            self.children, key=lambda node: (self.height[node], len(below[node]), below[node][0])
        )
        rows = []
        for number, node in enumerate(order):
            left, right = sorted(place[child] for child in self.children[node])
            rows.append([left, right, self.height[node], len(below[node])])
            place[node] = len(leaves) + number
        kept = Terms(self.terms[leaf] for leaf in leaves)
        return Tree(kept, np.array(rows, dtype=float).reshape(-1, 4))


def pruned(tree: Tree, kept: Iterable[str]) -> Tree:
    """
    Return the tree of some of its terms.

    Parameters
    ----------
    tree : Tree
    kept : iterable of str
        One at least.

    Returns
    -------
    Tree
        Its terms in the order of the whole tree.
    """
    growing, staying = GrowingTree(tree), set(kept)
    growing.terms.places(staying)  # refuses what is no term of the tree
    for term in tree.terms:
        if term not in staying:
            growing.prune(term)
    return growing.tree()
