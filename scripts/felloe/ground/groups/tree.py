"""A tree of terms that knows its terms."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Bools, Floats
from felloe.ground.distances import Distances
from felloe.ground.groups import linkage
from felloe.ground.groups.partition import Partition
from felloe.ground.terms import Terms


@dataclass(frozen=True)
class Tree:
    """
    A tree of some terms.

    Attributes
    ----------
    terms : Terms
    Z : (n_terms - 1, 4) array of float
        SciPy's convention: the two nodes merged (terms 0 to N - 1 in the order of `terms`, merge
        `t` makes node N + t), height, number of terms. Heights never fall.

    Raises
    ------
    ValueError
        If `Z` is no tree of these terms.
    """

    terms: Terms
    Z: Floats

    def __post_init__(self) -> None:
        """Check that every term and every merge but the last is merged once, and heights."""
        object.__setattr__(self, "terms", Terms(self.terms))
        object.__setattr__(self, "Z", np.asarray(self.Z, dtype=float))
        n = len(self.terms)
        if self.Z.shape != (n - 1, 4):
            raise ValueError(f"{n} terms do not fit a tree of {self.Z.shape}")
        if sorted(self.Z[:, :2].astype(int).ravel().tolist()) != list(range(2 * n - 2)):
            raise ValueError("a tree merges every term and every group once")
        if (np.diff(self.Z[:, 2]) < 0).any():
            raise ValueError("the heights of a tree may not fall")

    def cut(self, k: int) -> Partition:
        """Cut the tree into exactly `k` groups; see `linkage.cut`."""
        return Partition(self.terms, linkage.cut(self.Z, k))

    def members(self) -> Bools:
        """Return the terms below every merge, (n_terms - 1, n_terms); see `linkage.members`."""
        return linkage.members(self.Z)

    def cophenetic(self) -> Distances:
        """Return the heights at which terms join, as distances."""
        return Distances(self.terms, linkage.cophenetic(self.Z))


def tree_of(distances: Distances, method: str) -> Tree:
    """Build the tree of some distances; see `linkage.build_tree`."""
    return Tree(distances.terms, linkage.build_tree(distances.D, method))
