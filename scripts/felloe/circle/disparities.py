"""What the distances of a map should be: monotone or proportional to the dissimilarities."""

import numpy as np

KINDS = ("metric", "ordinal")
TIES = ("primary", "secondary")


class Targets:
    """
    What the distances of a map should be, given the dissimilarities.

    Metric: the dissimilarities times the best factor. Ordinal: the best monotone values;
    equal dissimilarities may get different ones (`primary`) or must get the same (`secondary`).

    Parameters
    ----------
    dissimilarities : (cases, n_pairs) array of float
        One row per map, or one row for all.
    kind : {'metric', 'ordinal'}
    ties : {'primary', 'secondary'}
    """

    def __init__(self, dissimilarities, kind, ties="primary"):
        if kind not in KINDS or ties not in TIES:
            raise ValueError(f"kind is one of {KINDS} and ties one of {TIES}, not {kind}, {ties}")
        self.given = np.atleast_2d(np.asarray(dissimilarities, dtype=float))
        self.kind, self.ties = kind, ties
        self.size = (self.given**2).sum(axis=1)
        if kind == "ordinal":
            # rank of the block of equal dissimilarities that each pair belongs to
            self.block = np.stack([np.unique(row, return_inverse=True)[1] for row in self.given])

    def rows(self, chosen):
        """Return the targets of some of the maps."""
        if len(self.given) == 1:
            return self
        part = object.__new__(Targets)
        part.__dict__.update(self.__dict__)
        part.given, part.size = self.given[chosen], self.size[chosen]
        if self.kind == "ordinal":
            part.block = self.block[chosen]
        return part

    def disparities(self, distances):
        """
        Return the best-fitting targets of given distances.

        Parameters
        ----------
        distances : (maps, n_pairs) array of float

        Returns
        -------
        (maps, n_pairs) array of float
        """
        if self.kind == "metric":
            return self.given * ((distances * self.given).sum(axis=1) / self.size)[:, None]
        if self.ties == "secondary":
            return self._tied(distances)
        return self._untied(distances)

    def _untied(self, distances):
        """Monotone regression after sorting each block of ties by distance."""
        from scipy.optimize import isotonic_regression

        # any spread above the largest distance keeps the blocks in order
        key = self.block * (1.0 + distances.max()) + distances
        order = np.argsort(key, axis=1)
        fitted = np.empty_like(distances)
        for target, row, places in zip(fitted, distances, order, strict=True):
            target[places] = isotonic_regression(row[places]).x
        return fitted

    def _tied(self, distances):
        """Monotone regression on the mean distance of each block of ties."""
        from scipy.optimize import isotonic_regression

        fitted = np.empty_like(distances)
        blocks = np.broadcast_to(self.block, distances.shape)
        for target, row, block in zip(fitted, distances, blocks, strict=True):
            weights = np.bincount(block)
            means = np.bincount(block, row) / weights
            target[:] = isotonic_regression(means, weights=weights).x[block]
        return fitted
