"""Every term's difference along a contrast of people, beside permuted contrasts."""

from functools import cached_property

import numpy as np

from felloe.comparison.exchanging.term_differences import MOST_CELLS, sparse_incidence
from felloe.ground.arrays import Floats, Ints
from felloe.ground.people.counted_pairs import AnyPairs, CountedPairs
from felloe.ground.people.pairs import PairVectors
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import upper

CURVE = 3  # power of the curve in the pooled similarity that a blur may follow
CHUNK = 100  # permutations at a time, to bound memory; no result depends on it


class Differences:
    """
    Every term's difference along a contrast of people, beside permuted contrasts.

    What follows a smooth curve in the pooled similarity is taken out of the differences of pairs
    first: that is what a blur leaves, whichever way terms go astray.

    Parameters
    ----------
    vectors : PairVectors
    contrasts : (1 + permutations, n_people) array of float
        The observed contrast first.
    """

    def __init__(self, vectors: PairVectors, contrasts: Floats) -> None:
        usual = vectors.together.sum(axis=0) / np.maximum(vectors.placed.sum(axis=0), 1.0)
        self.prepare(vectors.n_terms, contrasts, usual)
        # a pair that somebody did not place takes the share of all who did, and so says nothing
        self.sorts = np.where(vectors.placed > 0, vectors.together, usual)
        self.along = self.contrasts @ (self.sorts @ self.smooth)
        self.rows, self.columns = upper(self.n_terms)
        self.sums = self.sums_of_terms()

    def prepare(self, n_terms: int, contrasts: Floats, usual: Floats) -> None:
        """Keep what is compared, and the curves in the pooled similarity that are taken out."""
        self.n_terms, self.contrasts = n_terms, contrasts
        spread = float(usual.std())
        curve = (usual - usual.mean()) / (spread if spread > 1e-12 else 1.0)
        self.smooth = np.linalg.qr(np.stack([curve**power for power in range(CURVE + 1)], 1))[0]

    def squares(self, contrasts: slice, pairs: Ints) -> Floats:
        """Return the squared differences of some pairs, for some of the contrasts."""
        apart = self.contrasts[contrasts] @ self.sorts[:, pairs]
        apart -= self.along[contrasts] @ self.smooth[pairs].T
        return np.asarray(apart**2, dtype=float)

    def sums_of_terms(self) -> Floats:
        """Return the sum of squared differences over each term's pairs, contrast by contrast."""
        every = np.arange(len(self.rows))
        of_terms = np.zeros((len(every), self.n_terms))
        of_terms[every, self.rows] = of_terms[every, self.columns] = 1.0
        starts = range(0, len(self.contrasts), CHUNK)
        parts = [self.squares(slice(start, start + CHUNK), every) @ of_terms for start in starts]
        return np.concatenate(parts)

    def leave_out(self, term: int) -> None:
        """Take a term's pairs out of the sums of the other terms."""
        pairs = np.flatnonzero((self.rows == term) | (self.columns == term))
        others = np.where(self.rows[pairs] == term, self.columns[pairs], self.rows[pairs])
        self.sums[:, others] -= self.squares(slice(None), pairs)

    def excess(self) -> Floats:
        """Return the sums in standard deviations above their means over all contrasts, rounded."""
        scale = self.sums.std(axis=0)
        above = (self.sums - self.sums.mean(axis=0)) / np.where(scale > 1e-12, scale, 1.0)
        return np.asarray(np.round(above, PRODUCT_DECIMALS), dtype=float)


class CountedDifferences(Differences):
    """
    As `Differences`, from what people did place; sums are the same but for rounding.

    Parameters
    ----------
    vectors : CountedPairs
    contrasts : (1 + permutations, n_people) array of float
        The observed contrast first; each adds up to zero.
    """

    def __init__(self, vectors: CountedPairs, contrasts: Floats) -> None:
        (together,), (placed,) = vectors.counted(np.ones((1, vectors.n_people)))
        usual = together / np.maximum(placed, 1.0)
        self.marks = vectors.filled_in(usual)
        self.prepare(vectors.n_terms, contrasts, usual)
        self.along = contrasts @ (self.marks.T @ self.smooth)
        self.rows, self.columns = upper(self.n_terms)
        self.sums = self.sums_of_terms()

    @cached_property
    def turned(self) -> Floats:
        """The contrasts as columns, each row in one piece."""
        return np.ascontiguousarray(self.contrasts.T)

    def sums_of_terms(self) -> Floats:
        """Return the sum of squared differences over each term's pairs, contrast by contrast."""
        of_terms = sparse_incidence(self.n_terms)
        step = max(1, MOST_CELLS // max(len(self.rows), 1))
        sums = np.empty((len(self.contrasts), self.n_terms))
        for start in range(0, len(self.contrasts), step):
            some = slice(start, start + step)
            apart = self.marks @ np.ascontiguousarray(self.turned[:, some])
            apart -= self.smooth @ self.along[some].T
            np.square(apart, out=apart)
            sums[some] = (of_terms @ apart).T
        return sums

    def squares(self, contrasts: slice, pairs: Ints) -> Floats:
        """Return the squared differences of some pairs, for some of the contrasts."""
        apart = self.marks[pairs] @ self.turned[:, contrasts]
        apart -= self.smooth[pairs] @ self.along[contrasts].T
        return np.asarray((apart**2).T)


def differences_along(vectors: AnyPairs, contrasts: Floats) -> Differences:
    """Return the differences along contrasts of people whose pairs are written out, or counted."""
    if isinstance(vectors, CountedPairs):
        return CountedDifferences(vectors, contrasts)
    return Differences(vectors, contrasts)
