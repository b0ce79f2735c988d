"""Who put what together: the sorts that every analysis starts from."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array
from felloe.ground.terms import Terms

UNPLACED = -1  # missing, never "apart"
POOLED = "pooled"  # every population together; reserved, no population's id


@dataclass(frozen=True)
class Sorts:
    """
    Some people's sorts of the same terms.

    Attributes
    ----------
    participants, populations : tuple of str
        One entry per participant.
    terms : Terms
        One entry per column of `piles`.
    piles : (n_participants, n_terms) array of int
        Pile numbers, meaningful within a row only; `UNPLACED` where a term was not placed, or
        not shown.
    prior : float, optional
        Of partial sorts, of which everybody was shown some terms: see `counts.drawn_to_mean`.
        None where everybody was shown every term.

    Raises
    ------
    ValueError
        If the sizes do not fit together, or a participant stands twice.
    """

    participants: tuple[str, ...]
    populations: tuple[str, ...]
    terms: Terms
    piles: Array
    prior: float | None = None

    def __post_init__(self) -> None:
        """Check that rows and columns are those of the participants and terms."""
        object.__setattr__(self, "terms", Terms(self.terms))
        people = len(self.participants)
        if len(self.populations) != people or self.piles.shape != (people, len(self.terms)):
            raise ValueError(
                f"{people} participants of {len(self.populations)} populations and "
                f"{len(self.terms)} terms do not fit piles of shape {self.piles.shape}"
            )
        if len(set(self.participants)) < people:
            raise ValueError("a participant stands twice")

    def of(self, population: str) -> "Sorts":
        """Return the sorts of one population, or all of them for `POOLED`."""
        if population == POOLED:
            return self
        return self.rows(i for i, name in enumerate(self.populations) if name == population)

    def rows(self, chosen: Iterable[int]) -> "Sorts":
        """Return the sorts of some participants, by their numbers."""
        keep = list(chosen)
        return Sorts(
            tuple(self.participants[i] for i in keep),
            tuple(self.populations[i] for i in keep),
            self.terms,
            self.piles[keep],
            self.prior,
        )

    def on(self, terms: Iterable[str]) -> "Sorts":
        """Return the sorts cut down to some of the terms, in the order given."""
        wanted = Terms(terms)
        piles = self.piles[:, self.terms.places(wanted)]
        return Sorts(self.participants, self.populations, wanted, piles, self.prior)

    @property
    def names(self) -> list[str]:
        """The populations that have a participant, in sorted order."""
        return sorted(set(self.populations))


def membership(piles: Array) -> Array:
    """
    Return one indicator row per pile of every participant.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        `UNPLACED` where a term was not placed.

    Returns
    -------
    (n_piles_of_all, n_terms) array of float32
        Zeros and ones.
    """
    rows = [row == pile for row in np.asarray(piles) for pile in np.unique(row[row != UNPLACED])]
    return np.array(rows, dtype=np.float32).reshape(len(rows), np.shape(piles)[1])
