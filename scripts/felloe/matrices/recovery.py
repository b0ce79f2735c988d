"""Where a study of partial sorts lies among simulated ones."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Simulated:
    """
    What simulated studies of one kind and size gave back of the groups they were made from.

    Attributes
    ----------
    terms, classes, subclasses : int
    terms_each : int
        Terms shown to each person.
    astray : float
        Chance that a term goes into one of a person's own piles at random.
    smaller_share : float
        Of the people, the smaller of two populations; 0 where there is one.
    prior : float
    people : int
    observers : float
        People who see both terms of a pair, in the mean.
    fewest_observers : int
    runs : int
    class_rand, class_error, subclass_rand, subclass_error : float
        Adjusted Rand index with the truth, mean of the runs, and its Monte-Carlo error.
    """

    terms: int
    classes: int
    subclasses: int
    terms_each: int
    astray: float
    smaller_share: float
    prior: float
    people: int
    observers: float
    fewest_observers: int
    runs: int
    class_rand: float
    class_error: float
    subclass_rand: float
    subclass_error: float

    @property
    def kind(self) -> tuple[float, ...]:
        """What sets kinds of studies apart: everything but how many people there are."""
        groups = self.terms, self.classes, self.subclasses
        return (*groups, self.terms_each, self.astray, self.smaller_share, self.prior)


@dataclass(frozen=True)
class Place:
    """
    Where a study lies among simulated studies of one kind.

    Attributes
    ----------
    observers : float
        Of the study.
    below, above : Simulated or None
        The nearest with at most as many observers a pair, and with at least as many; None where
        the study lies beyond the table's end.
    """

    observers: float
    below: Simulated | None
    above: Simulated | None


def of_one_kind(
    studies: Iterable[Simulated], astray: float, terms_each: int, prior: float
) -> list[Simulated]:
    """Return the studies of one population with these habits, by their observers."""
    wanted = astray, terms_each, prior, 0.0
    chosen = [
        one
        for one in studies
        if (one.astray, one.terms_each, one.prior, one.smaller_share) == wanted
    ]
    return sorted(chosen, key=lambda one: one.observers)


def where_it_lies(observers: float, studies: Sequence[Simulated]) -> Place:
    """
    Return where a study lies on the table.

    Parameters
    ----------
    observers : float
        People who placed both terms of a pair: the median over the pairs of the study.
    studies : sequence of Simulated
        Of one kind, as `of_one_kind` returns them; at least one.

    Returns
    -------
    Place

    Raises
    ------
    ValueError
        If there is none, or they are of several kinds.
    """
    if len({one.kind for one in studies}) != 1:
        raise ValueError("a study is held against simulated studies of one kind")
    below = [one for one in studies if one.observers <= observers]
    above = [one for one in studies if one.observers >= observers]
    return Place(
        observers,
        max(below, key=lambda one: one.observers, default=None),
        min(above, key=lambda one: one.observers, default=None),
    )
