"""Of very many people some are drawn: for tests of people, which cost their number squared."""

from dataclasses import dataclass

import numpy as np

from felloe.comparison.correlating.corrected import CorrectedCorrelation
from felloe.comparison.correlating.noise_ceiling import NoiseCeiling
from felloe.ground.arrays import Bools, Ints
from felloe.ground.rounding import PRODUCT_DECIMALS


@dataclass(frozen=True)
class Drawn:
    """
    The people that tests of people look at.

    Attributes
    ----------
    people : (n_drawn,) array of int
        Their numbers, rising; everybody's where they are few enough.
    first : (n_drawn,) array of bool
        Who of them belongs to the first population.
    of : (int, int)
        People of the first and of the second population, drawn or not.
    """

    people: Ints
    first: Bools
    of: tuple[int, int]

    @property
    def sizes(self) -> tuple[int, int]:
        """The people drawn, of the first and of the second population."""
        return int(self.first.sum()), int((~self.first).sum())

    @property
    def everybody(self) -> bool:
        """Whether nobody is left out."""
        return self.sizes == self.of


def draw_people(first: Bools, most: int | None, rng: np.random.Generator) -> Drawn:
    """
    Draw at most so many people of two populations, each as likely as any other of theirs.

    A permutation test of people drawn so holds its level as one of all does: under exchangeable
    people those drawn are exchangeable too. It finds less.

    Parameters
    ----------
    first : (n_people,) array of bool
        Who belongs to the first population; people in an order that hangs on no id.
    most : int or None
        Of both together; None for everybody.
    rng : numpy.random.Generator
        Left as it is where nobody has to be left out.

    Returns
    -------
    Drawn
    """
    n_first = int(first.sum())
    of = n_first, len(first) - n_first
    kept = []
    for group, size in zip((first, ~first), shared_out(most, of), strict=True):
        members = np.flatnonzero(group)
        if size < len(members):
            members = rng.choice(members, size=size, replace=False, shuffle=False)
        kept.append(members)
    people = np.sort(np.concatenate(kept))
    return Drawn(people, first[people], of)


def shared_out(most: int | None, of: tuple[int, int]) -> tuple[int, int]:
    """Return how many are drawn of two populations: half each; what one lacks, the other has."""
    if most is None or sum(of) <= most:
        return of
    smaller = min(*of, most // 2)
    larger = most - smaller if smaller < most // 2 else most // 2
    return (smaller, larger) if of[0] <= of[1] else (larger, smaller)


def error_of_drawing(found: CorrectedCorrelation, drawn: Drawn) -> float:
    """
    Return how far a corrected correlation of the people drawn lies from that of all, typically.

    The people drawn are some of all, so that the two estimates differ by what was left out alone:
    the variance of their difference is the variance with those drawn less that with all.

    Parameters
    ----------
    found : CorrectedCorrelation
        Of the people drawn.
    drawn : Drawn

    Returns
    -------
    float
        Standard error, 0 where nobody was left out; nan where nothing is known.
    """
    if found.parts is None:
        return float("nan")
    some, every = (found.parts.standard_error(*sizes) for sizes in (drawn.sizes, drawn.of))
    return round(float(np.sqrt(max(some**2 - every**2, 0.0))), PRODUCT_DECIMALS)


def stepped_to(reliability: float, of: int, people: int) -> float:
    """
    Return the reliability of the matrix of fewer or more people of the same kind.

    Parameters
    ----------
    reliability : float
        Of the matrix of `of` people.
    of, people : int

    References
    ----------
    Spearman (1910) and Brown (1910), British Journal of Psychology 3 (from memory).
    """
    times = people / of
    return times * reliability / (1.0 + (times - 1.0) * reliability)


def reliabilities_drawn(noise: NoiseCeiling, drawn: Drawn) -> tuple[float, float]:
    """Return the reliability of each population's matrix as those drawn of it would give it."""
    one, other = (
        stepped_to(halves.reliability, of, people)
        for halves, of, people in zip(noise.reliabilities, drawn.of, drawn.sizes, strict=True)
    )
    return one, other
