"""Pairs of terms counted for many choices of people, from what people placed and no more."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.people.counts import FEW_PLACED, PEOPLE_AT_ONCE
from felloe.ground.people.seen_pairs import marked_pairs
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.squares import upper

if TYPE_CHECKING:
    from scipy.sparse import csr_array

MANTISSA = 53  # bits of a double whose whole numbers are exact
MOST_KEPT = 2**26  # marks held at a time, half a gigabyte; of more, blocks are made anew each time


@dataclass(frozen=True)
class ChosenPairs:
    """
    The sorts of some people, for counts of many choices of them: as `PairVectors`, only that the
    cost is that of the pairs that people put together and of the pairs that they placed, or, where
    most is placed, did not place.

    Attributes
    ----------
    piles : (n_people, n_terms) array of int
        `UNPLACED` where a term was not placed.
    prior : float, optional
        Of partial sorts; see `counts.drawn_to_mean`.
    """

    piles: Array
    prior: float | None = None

    @property
    def n_terms(self) -> int:
        """The number of terms."""
        return int(self.piles.shape[1])

    @cached_property
    def mostly_placed(self) -> bool:
        """Whether it is shorter to tell who did not place a term."""
        return not self.piles.size or bool((self.piles != UNPLACED).mean() >= FEW_PLACED)

    @cached_property
    def blocks(self) -> "list[tuple[csr_array, csr_array]] | None":
        """The marks of all people, None where they are too many to be held."""
        found, held = [], 0
        for block in self.made_blocks():
            found.append(block)
            held += sum(marks.nnz for marks in block)
            if held > MOST_KEPT:
                return None
        return found

    def made_blocks(self) -> "Iterator[tuple[csr_array, csr_array]]":
        """Yield who put together, and who placed or did not place, pairs: people after people."""
        for start in range(0, len(self.piles), PEOPLE_AT_ONCE):
            piles = self.piles[start : start + PEOPLE_AT_ONCE]
            together = marked_pairs(piles, together=True)
            if self.mostly_placed:
                piles = np.where(piles == UNPLACED, 0, UNPLACED)
            yield together, marked_pairs(piles, together=False)

    def counts(self, chosen: Array) -> tuple[Floats, Floats]:
        """
        Count who of the chosen put two terms together, and who placed both.

        Parameters
        ----------
        chosen : (n_choices, n_people) array of bool

        Returns
        -------
        together, both : (n_choices, n_pairs) array of float
            Whole numbers; pairs are the upper triangle of terms by terms, row by row.
        """
        chosen = np.asarray(chosen, dtype=np.int64)
        bits = max(1, len(self.piles).bit_length())
        shared = MANTISSA // bits  # choices whose counts lie side by side in one double
        groups = [chosen[start : start + shared] for start in range(0, len(chosen), shared)]
        packed = [sum(one << bits * place for place, one in enumerate(each)) for each in groups]
        weights = np.ascontiguousarray(np.transpose(packed), dtype=float)
        shape = (self.n_terms * (self.n_terms - 1) // 2, len(groups))
        found = [np.zeros(shape) for _ in range(2)]
        blocks = self.made_blocks() if self.blocks is None else self.blocks
        for number, block in enumerate(blocks):
            start = number * PEOPLE_AT_ONCE
            for total, marks in zip(found, block, strict=True):
                total += marks @ weights[start : start + PEOPLE_AT_ONCE]
        together, both = (unpacked(total, bits, len(chosen)) for total in found)
        return together, self.placed_by(chosen, both) if self.mostly_placed else both

    def placed_by(self, chosen: Array, by_nobody: Floats) -> Floats:
        """Return who placed both of a pair, from who placed neither and who left one out."""
        left_out = (self.piles == UNPLACED).astype(np.float32)
        without = np.asarray(chosen.astype(np.float32) @ left_out, dtype=float)
        first, second = upper(self.n_terms)
        all_chosen = chosen.sum(axis=1, dtype=float)[:, None]
        return np.asarray(all_chosen - without[:, first] - without[:, second] + by_nobody)


def unpacked(total: Floats, bits: int, n_choices: int) -> Floats:
    """Return the counts of each choice, (n_choices, n_pairs), from doubles that hold several."""
    numbers = np.ascontiguousarray(total.T).astype(np.int64)
    shared, most = MANTISSA // bits, (1 << bits) - 1
    found = np.empty((n_choices, numbers.shape[1]))
    for choice in range(n_choices):
        found[choice] = (numbers[choice // shared] >> bits * (choice % shared)) & most
    return found
