"""Distances of redrawn participants, for many redraws at once."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.people.counts import drawn_to_mean
from felloe.ground.people.seen_pairs import joined_marks, placed_marks
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.squares import upper

if TYPE_CHECKING:
    from scipy.sparse import csr_array

    from felloe.clustering.replicates.redraws import Basis

DISTANCES_AT_ONCE = 2**14
PAIRS_AT_ONCE = 2048  # of all draws of a batch: a quarter of a megabyte


class PairCounter:
    """
    Counts, for many redraws at once, in how many drawn participants each pair is marked.

    Several counts share one double: 6 bytes, or 3 pairs of bytes for more than 255
    participants, lie below the 53 bits that are exact. One matrix product then counts 6 pairs
    for the price of one, and its bytes are the counts.
    """

    def __init__(self, marked: Bools, largest: int) -> None:
        """Pack `marked`, (n, n_pairs) of bool; `largest` is the most participants of a draw."""
        small = largest < 2**8
        self.type, self.per_double = np.dtype(np.uint8 if small else np.uint16), 6 if small else 3
        base = float(2 ** (8 * self.type.itemsize))
        n, n_pairs = marked.shape
        padded = np.zeros((n, -(-n_pairs // self.per_double) * self.per_double))
        padded[:, :n_pairs] = marked
        powers = base ** np.arange(self.per_double)
        self.packed = padded.reshape(n, -1, self.per_double) @ powers
        slots = 8 // self.type.itemsize
        pair = np.arange(n_pairs)
        self.position = pair // self.per_double * slots + pair % self.per_double
        self.n_slots = self.packed.shape[1] * slots

    def __call__(self, counts: Array) -> Array:
        """Return counts in machine layout, (R, n_slots); pair p lies at `position[p]`."""
        product = np.asarray(counts, dtype=float) @ self.packed
        counted: Array = product.astype("<u8").view(self.type.newbyteorder("<"))
        return counted


class Stratum:
    """The pairs of participants whose counts are divided by one number of people."""

    def __init__(self, rows: Ints, piles: Array, largest: int) -> None:
        """Prepare who put, and who placed, which pair; `rows` are those of the (n, N) piles."""
        self.rows = rows
        i, j = upper(piles.shape[1])
        placed = piles[rows] != UNPLACED
        both = placed[:, i] & placed[:, j]
        together = (piles[rows][:, i] == piles[rows][:, j]) & both
        self.counter = PairCounter(together, largest)
        self.position, self.n_slots = self.counter.position, self.counter.n_slots
        patchy = np.flatnonzero(~both.all(axis=0))
        self.complete = len(patchy) == 0
        self.patchy = self.position[patchy]
        self.placed = both[:, patchy].astype("f4")  # single precision counts these exactly
        self.together = together[:, patchy].astype("f4")

    def shares(self, counts: Array) -> Floats:
        """Return the share of drawn participants who put pairs together; nan if none placed."""
        similar = self.counter(counts).astype(float)
        similar /= counts[0].sum()
        if not self.complete:
            weights = counts.astype("f4")
            marked, placed = weights @ self.together, weights @ self.placed
            empty = np.full(marked.shape, np.nan)
            similar[:, self.patchy] = np.divide(
                marked, placed, out=empty, where=placed > 0, dtype=float
            )
        return np.asarray(similar)


class PartialStratum:
    """
    The pairs of participants of whom each was shown some terms: every pair has observers of its
    own, and is drawn to the mean (`felloe.ground.people.counts.partial_shares`).
    """

    def __init__(
        self, rows: Ints, piles: Array, largest: int, placed: "csr_array | None" = None
    ) -> None:
        """
        Mark who put, and who placed, which pair; `rows` are those of the (n, N) piles.

        Marks of who placed which pair can be handed on from piles that differ in nothing else.
        """
        self.rows = rows
        kind = np.uint16 if largest < 2**16 else np.float32  # either counts these exactly
        self.together = joined_marks(piles[rows], kind)
        if placed is None or placed.dtype != kind:
            placed = placed_marks(piles[rows], kind)
        self.placed = placed
        self.n_slots = self.placed.shape[0]
        self.position = np.arange(self.n_slots)

    def counted(self, counts: Array) -> tuple[Array, Array]:
        """Return in how many drawn participants each pair is together, and placed, one a row."""
        weights = np.ascontiguousarray(counts.T, dtype=self.placed.dtype)
        return turned(self.together @ weights), turned(self.placed @ weights)


def turned(counts: Array) -> Array:
    """Return the transpose of a long array, copied in blocks that stay in the cache."""
    out = np.empty(counts.shape[::-1], counts.dtype)
    for start in range(0, len(counts), PAIRS_AT_ONCE):
        out[:, start : start + PAIRS_AT_ONCE] = counts[start : start + PAIRS_AT_ONCE].T
    return out


class PartialDraws:
    """Distances of redrawn participants of whom each was shown some terms, draw by draw."""

    def __init__(self, strata: Sequence[PartialStratum], counts: Array, prior: float) -> None:
        """Count the pairs of all draws, (R, n) of int."""
        self.counted = [stratum.counted(counts[:, stratum.rows]) for stratum in strata]
        self.prior = prior

    def distances(self, row: int) -> Floats:
        """Return the distances of one draw, worked out in blocks that stay in the cache."""
        counts = [(together[row], placed[row]) for together, placed in self.counted]
        means = [mean_of(*one) for one in counts]
        apart = np.empty(len(counts[0][0]))
        for start in range(0, len(apart), DISTANCES_AT_ONCE):
            block = slice(start, start + DISTANCES_AT_ONCE)
            similar = np.zeros(len(apart[block]))
            for (together, placed), mean in zip(counts, means, strict=True):
                similar += self.shares(together[block], placed[block], mean)
            similar /= -len(counts)
            similar += 1.0
            np.round(similar, DISTANCE_DECIMALS, out=apart[block])
        return apart

    def shares(self, together: Array, placed: Array, mean: float) -> Floats:
        """Return shares drawn to a mean; in fewer passes where a prior keeps off zeros."""
        if self.prior <= 0:
            return drawn_to_mean(together.astype(float), placed.astype(float), self.prior, mean)
        similar = np.add(together, self.prior * mean, dtype=float)
        similar /= np.add(placed, self.prior, dtype=float)
        return similar


def mean_of(together: Array, placed: Array) -> float:
    """Return the share of pairs together that `partial_shares` draws to."""
    return float(together.sum(dtype=np.int64)) / max(float(placed.sum(dtype=np.int64)), 1.0)


class DrawDistances:
    """
    Distances of redrawn participants, for many redraws at once.

    Attributes
    ----------
    position : (n_pairs,) array of int
        Where the distance of each pair lies in a row of what a call returns.
    n_slots : int
        Length of such a row.
    """

    def __init__(self, basis: "Basis", largest: int, like: "DrawDistances | None" = None) -> None:
        """
        Prepare the sorts of `basis` for draws of at most `largest` participants.

        What `like` knows of who placed which pair is taken over: its people placed the same terms.
        """
        strata, self.prior = basis.weighed, basis.prior
        self.partial: list[PartialStratum] = []
        self.strata: list[Stratum] = []
        if basis.prior is None:
            self.strata = [Stratum(rows, basis.piles, largest) for rows in strata]
        else:
            known = [one.placed for one in like.partial] if like else [None] * len(strata)
            self.partial = [
                PartialStratum(rows, basis.piles, largest, placed)
                for rows, placed in zip(strata, known, strict=True)
            ]
        first: Stratum | PartialStratum = self.partial[0] if self.partial else self.strata[0]
        self.position, self.n_slots = first.position, first.n_slots
        self.observed = np.zeros(self.n_slots)
        self.observed[self.position] = basis.observed
        # one number of people for all pairs: few distances are possible, and looked up
        self.counter: PairCounter | None = None
        if len(self.strata) == 1 and self.strata[0].complete:
            self.counter = self.strata[0].counter

    def distances(self, counts: Ints) -> Callable[[int, Ints], Floats]:
        """
        Return a function that gives the distances of each draw at given positions.

        Parameters
        ----------
        counts : (R, n) array of int

        Returns
        -------
        callable
            Takes the number of a draw and positions, gives their distances.
        """
        if self.partial:
            draws = self.draws(counts)
            return lambda row, places: draws.distances(row).take(places)
        if self.counter is not None:
            apart = self.counter(counts)
            drawn = int(counts[0].sum())
            table = np.round(1.0 - np.arange(drawn + 1) / drawn, DISTANCE_DECIMALS)
            return lambda row, places: table.take(apart[row].take(places))
        measured = self(counts)
        return lambda row, places: measured[row].take(places)

    def __call__(self, counts: Ints) -> Floats:
        """
        Measure all pairs.

        Parameters
        ----------
        counts : (R, n) array of int
            How often each participant was drawn.

        Returns
        -------
        (R, n_slots) array of float
            As `chart_dissimilarity` of the drawn participants.
        """
        if self.partial:
            draws = self.draws(counts)
            return np.array([draws.distances(row) for row in range(len(counts))])
        apart = self.strata[0].shares(counts[:, self.strata[0].rows])
        for stratum in self.strata[1:]:
            apart += stratum.shares(counts[:, stratum.rows])
        apart /= -len(self.strata)
        apart += 1.0
        np.round(apart, DISTANCE_DECIMALS, out=apart)
        missing = np.isnan(apart)
        if missing.any():
            apart[missing] = np.broadcast_to(self.observed, apart.shape)[missing]
        return apart

    @property
    def bytes_of_draw(self) -> int:
        """Return what one draw takes in memory while it is counted."""
        counts = sum(4 * one.placed.dtype.itemsize for one in self.partial)
        return int(self.n_slots * (counts or 16))

    def draws(self, counts: Array) -> PartialDraws:
        """Return the draws of partial sorts, counted and not yet measured."""
        return PartialDraws(self.partial, counts, float(self.prior or 0.0))
