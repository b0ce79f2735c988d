"""Distances of redrawn participants, for many redraws at once."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.people.counts import partial_shares
from felloe.ground.people.seen_pairs import seen_pairs
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.squares import upper

if TYPE_CHECKING:
    from felloe.clustering.replicates.redraws import Basis


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

    def __init__(self, rows: Ints, piles: Array, prior: float) -> None:
        """Mark who put, and who placed, which pair; `rows` are those of the (n, N) piles."""
        self.rows, self.prior = rows, prior
        self.together, self.placed = seen_pairs(piles[rows])
        self.n_slots = self.placed.shape[0]
        self.position = np.arange(self.n_slots)

    def shares(self, counts: Array) -> Floats:
        """Return the share of drawn participants who put pairs together, one a pair."""
        weights = np.ascontiguousarray(counts.T, dtype="f4")  # single precision counts exactly
        together, placed = (
            np.ascontiguousarray((one @ weights).T) for one in (self.together, self.placed)
        )
        similar = np.empty(placed.shape)
        for row in range(len(similar)):  # one at a time stays in the processor's cache
            similar[row] = partial_shares(
                together[row].astype(float), placed[row].astype(float), self.prior
            )
        return similar


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

    def __init__(self, basis: "Basis", largest: int) -> None:
        """Prepare the sorts of `basis` for draws of at most `largest` participants."""
        strata = basis.strata if basis.weights == "equal" else (np.arange(len(basis.piles)),)
        self.strata: list[Stratum | PartialStratum] = [
            Stratum(rows, basis.piles, largest)
            if basis.prior is None
            else PartialStratum(rows, basis.piles, basis.prior)
            for rows in strata
        ]
        first = self.strata[0]
        self.position, self.n_slots = first.position, first.n_slots
        self.observed = np.zeros(self.n_slots)
        self.observed[self.position] = basis.observed
        # one number of people for all pairs: few distances are possible, and looked up
        self.counter: PairCounter | None = None
        if len(strata) == 1 and isinstance(first, Stratum) and first.complete:
            self.counter = first.counter

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
