"""How sure a robust move is: what simulated pairs of editions showed whose history is known."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isfinite

NEAR = 0.05  # reliabilities further apart than this are not held against each other


@dataclass(frozen=True)
class Simulated:
    """
    What the grades said of simulated pairs of editions of one kind and size.

    Attributes
    ----------
    make : str
        How people were invented; see `tests/calibration`.
    people : int
        Of each edition.
    terms, classes, planted, runs : int
        Terms and classes of either edition, terms that the newer one places elsewhere, and pairs
        of editions.
    reliability : float
        Of the older edition, from random halves, as a study tells it; mean of the runs.
    moved_robust, moved_possible : float
        Share of the planted moves called so; nan where none was planted.
    still_robust, still_possible : float
        Share of all other terms called so.
    false_robust : float
        Share of the pairs of editions with a robust move that was not planted.
    """

    make: str
    people: int
    terms: int
    classes: int
    planted: int
    runs: int
    reliability: float
    moved_robust: float
    moved_possible: float
    still_robust: float
    still_possible: float
    false_robust: float


@dataclass(frozen=True)
class Expected:
    """
    What simulated pairs of editions as reliable as two studies showed: least and most over makes.

    Attributes
    ----------
    makes, people : tuple of str, tuple of int
        Of the simulated editions, people from the fewest to the most.
    terms, planted, runs : int
        Terms, planted moves where there were any, pairs of editions of each kind.
    reliability : float
        Of the studies: the smaller of the two.
    false_robust, still_robust : (float, float)
        Where nothing had moved: share of pairs of editions with a robust move, and of terms.
    moved_robust, moved_possible : (float, float)
        Share of planted moves called so.
    """

    makes: tuple[str, ...]
    people: tuple[int, ...]
    terms: int
    planted: int
    runs: int
    reliability: float
    false_robust: tuple[float, float]
    still_robust: tuple[float, float]
    moved_robust: tuple[float, float]
    moved_possible: tuple[float, float]


def expected_moves(
    reliabilities: Sequence[float], simulated: Iterable[Simulated]
) -> Expected | None:
    """
    Return what simulated editions as reliable as two studies showed.

    Of every make the size is taken whose reliability lies nearest to the smaller of the two
    studies'; a make without one within `NEAR` is left out.

    Parameters
    ----------
    reliabilities : sequence of float
        Of the older and the newer edition; nan where nothing is known.
    simulated : iterable of Simulated
        Of every make and size, one without planted moves and one with some.

    Returns
    -------
    Expected or None
        None where no simulated edition is as reliable, or nothing is known.
    """
    if not all(map(isfinite, reliabilities)):
        return None
    least, every = min(reliabilities), list(simulated)
    still = [one for one in every if one.planted == 0]
    chosen = [nearest(least, [one for one in still if one.make == make]) for make in makes(still)]
    chosen = [one for one in chosen if abs(one.reliability - least) <= NEAR]
    if not chosen:
        return None
    sizes = {(one.make, one.people) for one in chosen}
    moved = [one for one in every if one.planted and (one.make, one.people) in sizes]
    return Expected(
        makes=tuple(one.make for one in chosen),
        people=tuple(sorted({one.people for one in chosen})),
        terms=chosen[0].terms,
        planted=moved[0].planted,
        runs=chosen[0].runs,
        reliability=least,
        false_robust=ends([one.false_robust for one in chosen]),
        still_robust=ends([one.still_robust for one in chosen]),
        moved_robust=ends([one.moved_robust for one in moved]),
        moved_possible=ends([one.moved_possible for one in moved]),
    )


def makes(simulated: Iterable[Simulated]) -> list[str]:
    """Return the makes in the order in which they come."""
    return list(dict.fromkeys(one.make for one in simulated))


def nearest(reliability: float, simulated: Sequence[Simulated]) -> Simulated:
    """Return the simulated editions nearest in reliability, the smaller of two as near."""
    return min(simulated, key=lambda one: (abs(one.reliability - reliability), one.people))


def ends(values: Sequence[float]) -> tuple[float, float]:
    """Return the least and the most of some values."""
    return min(values), max(values)
