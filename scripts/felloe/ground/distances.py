"""Distances between terms: the share of participants who kept two of them apart."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.squares import condensed
from felloe.ground.terms import Terms


def rounded_dissimilarity(similar: Array) -> Floats:
    """
    Return `1 - similar`, rounded once to `DISTANCE_DECIMALS`, with a zero diagonal.

    Of the share who put two terms together it makes the share who kept them apart: Miller (1969),
    Journal of Mathematical Psychology 6:169-191 (from memory).
    """
    apart: Floats = np.round(1.0 - similar, DISTANCE_DECIMALS)
    np.fill_diagonal(apart, 0.0)
    return apart


@dataclass(frozen=True)
class Distances:
    """
    How far some terms are from one another.

    Attributes
    ----------
    terms : Terms
    D : (n_terms, n_terms) array of float
        Symmetric, finite, not negative, zero diagonal; 0 to 1 where it is a share of people.

    Raises
    ------
    ValueError
        If `D` is no matrix of distances of these terms.
    """

    terms: Terms
    D: Floats

    def __post_init__(self) -> None:
        """Check shape, symmetry and range."""
        object.__setattr__(self, "terms", Terms(self.terms))
        object.__setattr__(self, "D", np.asarray(self.D, dtype=float))
        if self.D.shape != (len(self.terms), len(self.terms)):
            raise ValueError(f"{len(self.terms)} terms do not fit distances of {self.D.shape}")
        if not np.isfinite(self.D).all() or (self.D < 0).any():
            raise ValueError("distances must be finite and not negative")
        if not np.array_equal(self.D, self.D.T) or self.D.diagonal().any():
            raise ValueError("distances must be symmetric and zero from a term to itself")

    def on(self, terms: Iterable[str]) -> "Distances":
        """Return the distances between some of the terms, in the order given."""
        wanted = Terms(terms)
        return Distances(wanted, self.D[np.ix_(*[self.terms.places(wanted)] * 2)])

    @property
    def pairs(self) -> Floats:
        """The distances pair by pair, row by row of the upper triangle."""
        return condensed(self.D)

    @property
    def similarity(self) -> Floats:
        """One minus the distances: shares of people who put two terms together."""
        return 1.0 - self.D
