"""What the distances of a map should be: monotone or proportional to the dissimilarities."""

from dataclasses import dataclass
from typing import Self

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints

METRIC, ORDINAL = KINDS = ("metric", "ordinal")
PRIMARY, SECONDARY = TIES = ("primary", "secondary")


@dataclass(frozen=True)
class Model:
    """
    What distances on a map have to follow.

    Attributes
    ----------
    kind : {'metric', 'ordinal'}
        Metric: the dissimilarities times the best factor. Ordinal: the best monotone values.
    ties : {'primary', 'secondary'}
        Equal dissimilarities may get different monotone values, or must get the same.
    """

    kind: str
    ties: str = PRIMARY

    def __post_init__(self) -> None:
        """Refuse what is unknown."""
        if self.kind not in KINDS or self.ties not in TIES:
            raise ValueError(f"kind is one of {KINDS} and ties one of {TIES}, not {self}")


@dataclass(frozen=True)
class Targets:
    """
    What the distances of a map should be, given the dissimilarities.

    Attributes
    ----------
    model : Model
    given : (cases, n_pairs) array of float
        The dissimilarities: one row per map, or one row for all.
    size : (cases,) array of float
        Their sums of squares.
    block : (cases, n_pairs) array of int
        Rank of the block of equal dissimilarities that each pair belongs to.
    """

    model: Model
    given: Floats
    size: Floats
    block: Ints

    @classmethod
    def of(cls, dissimilarities: Array, model: Model) -> Self:
        """Take (n_pairs,) or (cases, n_pairs) dissimilarities."""
        given = np.atleast_2d(np.asarray(dissimilarities, dtype=float))
        block = np.stack([np.unique(row, return_inverse=True)[1] for row in given])
        return cls(model, given, (given**2).sum(axis=1), block)

    def rows(self, chosen: Ints) -> "Targets":
        """Return the targets of some of the maps."""
        if len(self.given) == 1:
            return self
        return Targets(self.model, self.given[chosen], self.size[chosen], self.block[chosen])

    def disparities(self, distances: Floats) -> Floats:
        """
        Return the best-fitting targets of given distances.

        Parameters
        ----------
        distances : (maps, n_pairs) array of float

        Returns
        -------
        (maps, n_pairs) array of float
        """
        if self.model.kind == METRIC:
            factor = (distances * self.given).sum(axis=1) / self.size
            return np.asarray(self.given * factor[:, None])
        if self.model.ties == SECONDARY:
            return self._tied(distances)
        return self._untied(distances)

    def _untied(self, distances: Floats) -> Floats:
        """Monotone regression after sorting each block of ties by distance."""
        from scipy.optimize import isotonic_regression

        # any spread above the largest distance keeps the blocks in order
        key = self.block * (1.0 + distances.max()) + distances
        order = np.argsort(key, axis=1)
        fitted = np.empty_like(distances)
        for target, row, places in zip(fitted, distances, order, strict=True):
            target[places] = isotonic_regression(row[places]).x
        return fitted

    def _tied(self, distances: Floats) -> Floats:
        """Monotone regression on the mean distance of each block of ties."""
        from scipy.optimize import isotonic_regression

        fitted = np.empty_like(distances)
        blocks = np.broadcast_to(self.block, distances.shape)
        for target, row, block in zip(fitted, distances, blocks, strict=True):
            weights = np.bincount(block)
            means = np.bincount(block, row) / weights
            target[:] = isotonic_regression(means, weights=weights).x[block]
        return fitted
