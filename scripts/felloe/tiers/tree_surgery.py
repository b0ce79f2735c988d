"""A tree of terms that the committee may change: leaves taken off and put elsewhere."""

import numpy as np


class GrowingTree:
    """
    A binary tree with heights that never fall from a leaf to the root.

    Parameters
    ----------
    Z : (n - 1, 4) array of float
        SciPy's convention.
    """

    def __init__(self, Z):
        Z = np.asarray(Z, dtype=float)
        self.n_terms = len(Z) + 1
        self.children, self.parent = {}, {}
        self.height = dict.fromkeys(range(self.n_terms), 0.0)
        for merge, (left, right, height) in enumerate(Z[:, :3].tolist()):
            self._join(self.n_terms + merge, int(left), int(right), height)
        self.root = self.n_terms + len(Z) - 1
        self._next = self.root + 1

    def _join(self, node, left, right, height):
        self.children[node] = [left, right]
        self.parent[left] = self.parent[right] = node
        self.height[node] = height

    def _put(self, new, old):
        """Put a node where another hangs."""
        above = self.parent.pop(old, None)
        if above is None:
            self.root = new
            self.parent.pop(new, None)
            return
        self.children[above] = [new if child == old else child for child in self.children[above]]
        self.parent[new] = above

    def terms_below(self, node):
        """Return the terms below a node, in sorted order."""
        found, waiting = [], [node]
        while waiting:
            top = waiting.pop()
            waiting.extend(self.children.get(top, []))
            if top < self.n_terms:
                found.append(top)
        return sorted(found)

    def node_of(self, terms):
        """
        Return the node whose terms are exactly these.

        Raises
        ------
        ValueError
            If they are not one branch.
        """
        wanted = sorted(terms)
        node = wanted[0]
        while len(below := self.terms_below(node)) < len(wanted) and node in self.parent:
            node = self.parent[node]
        if below != wanted:
            raise ValueError(f"terms {wanted} are not one branch of the tree")
        return node

    def prune(self, term):
        """
        Take a term off; what stood beside it moves up.

        Raises
        ------
        ValueError
            If it is the last term.
        """
        if term == self.root:
            raise ValueError("the last term cannot be taken off a tree")
        above = self.parent[term]
        sibling = next(child for child in self.children[above] if child != term)
        self.parent.pop(sibling)
        self._put(sibling, above)
        del self.children[above], self.height[above]
        self.parent.pop(term, None)

    def graft(self, term, node, height):
        """
        Put a term that is off the tree beside a node.

        Parameters
        ----------
        term, node : int
        height : float
            Where they join; brought between the height of the node and that of the next join
            above it, so that heights never fall.
        """
        ceiling = self.height[self.parent[node]] if node in self.parent else np.inf
        new, self._next = self._next, self._next + 1
        self._put(new, node)
        self._join(new, node, term, float(min(max(height, self.height[node]), ceiling)))

    def linkage(self):
        """
        Return the tree in SciPy's convention.

        Returns
        -------
        terms : (m,) array of int
            The terms that are on the tree, in sorted order.
        Z : (m - 1, 4) array of float
            Over the places of these terms.
        """
        terms = self.terms_below(self.root)
        place = {term: number for number, term in enumerate(terms)}
        first = {node: self.terms_below(node) for node in self.children}
        # a group comes after its parts: larger after smaller where heights tie
        order = sorted(
            self.children, key=lambda node: (self.height[node], len(first[node]), first[node][0])
        )
        rows = []
        for number, node in enumerate(order):
            left, right = sorted(place[child] for child in self.children[node])
            rows.append([left, right, self.height[node], len(first[node])])
            place[node] = len(terms) + number
        return np.array(terms), np.array(rows, dtype=float).reshape(-1, 4)


def pruned(Z, kept):
    """
    Return the tree of some of its terms.

    Parameters
    ----------
    Z : (n - 1, 4) array of float
    kept : (n,) array of bool
        At least one.

    Returns
    -------
    (m - 1, 4) array of float
        Over the places of the kept terms among themselves.
    """
    tree = GrowingTree(Z)
    for term in np.flatnonzero(~np.asarray(kept)):
        tree.prune(int(term))
    return tree.linkage()[1]
