"""From piles to counts: integers, the source of truth of everything that follows."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.people.seen_pairs import joined_pairs
from felloe.ground.people.sorts import UNPLACED, Sorts, membership
from felloe.ground.squares import upper
from felloe.ground.terms import Terms

# below this share of placed terms it is quicker to go through the pairs that people placed
FEW_PLACED, PEOPLE_AT_ONCE = 0.5, 512


def count_observers(seen: Array) -> Ints:
    """
    Count how many people saw both of two terms.

    Parameters
    ----------
    seen : (n_people, n_terms) array of bool
        The terms that each person was shown, or placed.

    Returns
    -------
    (n_terms, n_terms) array of int64
        Symmetric; the diagonal counts who saw the term.
    """
    seen = np.asarray(seen, dtype=np.float32)  # sums of zeros and ones below 2**24 are exact
    return np.asarray(np.rint(seen.T @ seen), dtype=np.int64)


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
    piles = np.asarray(piles)
    placed = piles != UNPLACED
    if placed.any() and placed.mean() < FEW_PLACED:
        return count_together(piles), count_observers(placed)
    together = np.zeros((piles.shape[1],) * 2, dtype=np.int64)
    for start in range(0, len(piles), PEOPLE_AT_ONCE):
        indicators = membership(piles[start : start + PEOPLE_AT_ONCE])
        # sums of zeros and ones below 2**24 are exact in single precision
        together += np.rint(indicators.T @ indicators).astype(np.int64)
    return together, count_observers(placed)


def count_together(piles: Array) -> Ints:
    """Count who put two terms together, from the pairs in the piles of each and no others."""
    n_terms = piles.shape[1]
    together = np.zeros(n_terms * (n_terms - 1) // 2, dtype=np.int64)
    for start in range(0, len(piles), PEOPLE_AT_ONCE):
        numbers, _ = joined_pairs(piles[start : start + PEOPLE_AT_ONCE])
        together += np.bincount(numbers, minlength=len(together))
    square = np.zeros((n_terms, n_terms), dtype=np.int64)
    square[upper(n_terms)] = together
    return square + square.T + np.diag((piles != UNPLACED).sum(axis=0))


def mean_share(together: Array, both: Array) -> float:
    """
    Return the share of pairs put together, of all pairs that anybody placed; 0 without any.

    It is the mean over people of the share of pairs that each put together, weighed by the pairs
    that each placed.
    """
    pairs = np.triu_indices(len(together), 1)
    placed = int(both[pairs].sum())
    return int(together[pairs].sum()) / placed if placed else 0.0


def drawn_to_mean(together: Array, both: Array, prior: float, mean: Floats | float) -> Floats:
    """
    Return shares of partial sorts: `prior` further observers of every pair stand at the mean.

    Where few people saw a pair, its share is drawn to what pairs have in the mean; a pair that
    nobody saw takes the mean, also with a `prior` of 0.

    Parameters
    ----------
    together, both : array of int or float
        Who put a pair together, and who placed both.
    prior : float
        From 0, in observers.
    mean : array of float, or float
        Share of pairs together in the mean.
    """
    observers = both + prior
    if prior > 0:
        return np.asarray((together + prior * np.asarray(mean)) / observers, dtype=float)
    shares = np.divide(together + prior * np.asarray(mean), np.where(observers > 0, observers, 1.0))
    return np.asarray(np.where(observers > 0, shares, mean), dtype=float)


def partial_shares(together: Array, both: Array, prior: float) -> Floats:
    """
    Return shares of partial sorts, drawn to the mean of the pairs given (`drawn_to_mean`).

    Parameters
    ----------
    together, both : (..., n_pairs) array of float
        Every pair once, for some people or for several choices of people.
    prior : float
    """
    placed = np.maximum(both.sum(axis=-1, keepdims=True), 1.0)
    return drawn_to_mean(together, both, prior, together.sum(axis=-1, keepdims=True) / placed)


def similarity(together: Array, both: Array, prior: float | None = None) -> Floats:
    """
    Return the share of those who placed both terms and put them together.

    Parameters
    ----------
    together, both : (n_terms, n_terms) array of int
        As returned by `count_cooccurrence`.
    prior : float, optional
        Of partial sorts: see `drawn_to_mean`. None where everybody was shown every term.

    Returns
    -------
    (n_terms, n_terms) array of float
        Symmetric, unit diagonal, values in [0, 1]; not rounded.

    Raises
    ------
    ValueError
        If some pair was never placed by one and the same participant; never with a `prior`.
    """
    if prior is not None:
        similar = drawn_to_mean(together, both, prior, mean_share(together, both))
        np.fill_diagonal(similar, 1.0)
        return similar
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
    prior : float, optional
        Of partial sorts: observers that every pair has at the mean; see `drawn_to_mean`.

    Raises
    ------
    ValueError
        If they are not symmetric counts of these terms.
    """

    terms: Terms
    together: Ints
    both: Ints
    prior: float | None = None

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
            Naming two terms that nobody placed both of; never with a prior.
        """
        if self.prior is None and (self.both == 0).any():
            i, j = np.argwhere(self.both == 0)[0]
            one, other = self.terms[int(i)], self.terms[int(j)]
            raise ValueError(f"nobody placed both {one!r} and {other!r}")
        return similarity(self.together, self.both, self.prior)

    def on(self, terms: Iterable[str]) -> "Counts":
        """Return the counts of some of the terms, in the order given."""
        wanted = Terms(terms)
        places = np.ix_(*[self.terms.places(wanted)] * 2)
        return Counts(wanted, self.together[places], self.both[places], self.prior)

    @property
    def unseen(self) -> list[tuple[str, str]]:
        """Pairs of terms that nobody placed both of, in the order of the terms."""
        places = np.argwhere(np.triu(self.both == 0, 1)).tolist()
        return [(self.terms[i], self.terms[j]) for i, j in places]


def counts_of(sorts: Sorts) -> Counts:
    """Count the sorts of some participants."""
    return Counts(sorts.terms, *count_cooccurrence(sorts.piles), sorts.prior)
