"""Distances of redrawn participants, for many redraws at once."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.people.counts import partial_shares
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

    def __init__(self, rows: Ints, together: Bools, both: Bools, largest: int) -> None:
        """Prepare (n, n_pairs) of bool: who put, and who placed, which pair."""
        self.rows = rows
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

    def __init__(self, rows: Ints, together: Bools, both: Bools, prior: float) -> None:
        """Prepare (n, n_pairs) of bool: who put, and who placed, which pair."""
        self.rows, self.prior = rows, prior
        self.n_slots = both.shape[1]
        self.position = np.arange(self.n_slots)
        # single precision counts these exactly
        self.together, self.placed = together.astype("f4"), both.astype("f4")

    def shares(self, counts: Array) -> Floats:
        """Return the share of drawn participants who put pairs together, one a pair."""
        weights = counts.astype("f4")
        together, placed = ((weights @ one).astype(float) for one in (self.together, self.placed))
        return partial_shares(together, placed, self.prior)


class DrawDistances:
    """
    Distances of redrawn participants, for many redraws at once.

    Attributes
    ----------
    position : (n_pairs,) array of int
        Where the distance of each pair lies in a row of what a call returns.
    """

    def __init__(self, basis: "Basis", largest: int) -> None:
        """Prepare the sorts of `basis` for draws of at most `largest` participants."""
        i, j = upper(basis.n_terms)
        placed = basis.piles != UNPLACED
        both = placed[:, i] & placed[:, j]
        together = (basis.piles[:, i] == basis.piles[:, j]) & both
        strata = basis.strata if basis.weights == "equal" else (np.arange(len(both)),)
        self.strata: list[Stratum | PartialStratum] = [
            Stratum(rows, together[rows], both[rows], largest)
            if basis.prior is None
            else PartialStratum(rows, together[rows], both[rows], basis.prior)
            for rows in strata
        ]
        first = self.strata[0]
        self.position = first.position
        self.observed = np.zeros(first.n_slots)
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
