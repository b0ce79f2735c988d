"""From piles to counts: integers, the source of truth of everything that follows."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.sorts import UNPLACED, Sorts, membership
from felloe.ground.terms import Terms


def count_cooccurrence(piles: Array) -> tuple[Ints, Ints]:
    """
    Count how many participants put two terms together, and how many placed both.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        Pile numbers, meaningful within a row only; `UNPLACED` where a term was not placed.

    Returns
    -------
    together, both : (n_terms, n_terms) array of int64
        Symmetric; `together <= both`; the diagonals count who placed the term.
    """
    indicators = membership(piles)
    placed = (np.asarray(piles) != UNPLACED).astype(np.float32)
    # sums of zeros and ones below 2**24 are exact in single precision
    together = np.rint(indicators.T @ indicators).astype(np.int64)
    both = np.rint(placed.T @ placed).astype(np.int64)
    return together, both


def similarity(together: Array, both: Array) -> Floats:
    """
    Return the share of those who placed both terms and put them together.

    Parameters
    ----------
    together, both : (n_terms, n_terms) array of int
        As returned by `count_cooccurrence`.

    Returns
    -------
    (n_terms, n_terms) array of float
        Symmetric, unit diagonal, values in [0, 1]; not rounded.

    Raises
    ------
    ValueError
        If some pair was never placed by one and the same participant.
    """
    if (both == 0).any():
        i, j = np.argwhere(both == 0)[0]
        raise ValueError(f"terms {i} and {j} were never placed by the same participant")
    return np.asarray(together / both, dtype=float)


@dataclass(frozen=True)
class Counts:
    """
    The counts of one population.

    Attributes
    ----------
    terms : Terms
    together, both : (n_terms, n_terms) array of int
        Participants who put two terms together, and who placed both.

    Raises
    ------
    ValueError
        If they are not symmetric counts of these terms.
    """

    terms: Terms
    together: Ints
    both: Ints

    def __post_init__(self) -> None:
        """Check shape, symmetry and range."""
        object.__setattr__(self, "terms", Terms(self.terms))
        shape = (len(self.terms), len(self.terms))
        for name, counts in (("together", self.together), ("both", self.both)):
            if counts.shape != shape or not np.issubdtype(counts.dtype, np.integer):
                raise ValueError(f"{name} is no matrix of whole numbers of {len(self.terms)} terms")
            if not np.array_equal(counts, counts.T):
                raise ValueError(f"{name} is not symmetric")
        if (self.together < 0).any() or (self.together > self.both).any():
            raise ValueError("more participants put two terms together than placed both")

    def similarity(self) -> Floats:
        """
        Return the share of those who placed both terms and put them together.

        Raises
        ------
        ValueError
            Naming two terms that nobody placed both of.
        """
        if (self.both == 0).any():
            i, j = np.argwhere(self.both == 0)[0]
            one, other = self.terms[int(i)], self.terms[int(j)]
            raise ValueError(f"nobody placed both {one!r} and {other!r}")
        return similarity(self.together, self.both)

    def on(self, terms: Iterable[str]) -> "Counts":
        """Return the counts of some of the terms, in the order given."""
        wanted = Terms(terms)
        places = np.ix_(*[self.terms.places(wanted)] * 2)
        return Counts(wanted, self.together[places], self.both[places])


def counts_of(sorts: Sorts) -> Counts:
    """Count the sorts of some participants."""
    return Counts(sorts.terms, *count_cooccurrence(sorts.piles))
