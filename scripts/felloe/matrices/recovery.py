"""Where a study of partial sorts lies among simulated ones."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

ASTRAY = (0.1, 0.3, 0.5)  # shares of the simulated studies that are told side by side
EACH = {120: 30, 300: 60}  # terms of a simulated lexicon, of which so many before each person
LARGE_CLASSES = 19  # terms a class: from here on nearer to 30 (300 terms) than to 12 (120 terms)
# Ends within which what came back lay at most 0.12 above the table, which has 10 classes only, and
# 0.09 below it; with smaller classes up to 0.23 below (`bench_recovery_beyond.py around`)
TERMS, CLASSES, TERMS_A_CLASS, TERMS_EACH = (100, 600), (5, 20), (10, 60), (15, 150)
PRIORS = (0.0, 1.0)


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
    effective : float
        Observers of every pair that would leave distances as noisy; see `effective_observers`.
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
    effective: float
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
class Studied:
    """
    What the table is asked of a study.

    Attributes
    ----------
    terms : int
    classes : int
        Of its chart.
    terms_each : float
        Shown to each person, in the median.
    prior : float
    effective : float
        Effective observers of a pair behind the chart.
    """

    terms: int
    classes: int
    terms_each: float
    prior: float
    effective: float

    @property
    def terms_a_class(self) -> float:
        """How large its classes are; what comes back hangs on it more than on the terms."""
        return self.terms / self.classes


@dataclass(frozen=True)
class Place:
    """
    Where a study lies among simulated studies of one kind.

    Attributes
    ----------
    below, above : Simulated
        The nearest with at most as many effective observers, and with at least as many.
    """

    below: Simulated
    above: Simulated


def of_one_kind(
    studies: Iterable[Simulated], astray: float, terms: int, prior: float
) -> list[Simulated]:
    """
    Return the studies of one population with these habits, by their observers.

    Parameters
    ----------
    studies : iterable of Simulated
    astray : float
    terms : int
        Of the lexicon; one of `EACH`.
    prior : float
    """
    wanted = astray, terms, EACH[terms], prior, 0.0
    chosen = [
        one
        for one in studies
        if (one.astray, one.terms, one.terms_each, one.prior, one.smaller_share) == wanted
    ]
    return sorted(chosen, key=lambda one: one.effective)


def kinds_like(studied: Studied, studies: Iterable[Simulated]) -> dict[float, list[Simulated]]:
    """Return the studies that a study is held against, by the share of terms that went astray."""
    every = tuple(studies)
    prior = PRIORS[studied.prior >= PRIORS[1]]  # between them: the one that gives back less
    terms = max(EACH) if studied.terms_a_class >= LARGE_CLASSES else min(EACH)
    return {one: of_one_kind(every, one, terms, prior) for one in ASTRAY}


def outside(studied: Studied, kind: Sequence[Simulated]) -> dict[str, tuple[float, float, float]]:
    """
    Return in what a study lies outside the table.

    Parameters
    ----------
    studied : Studied
    kind : sequence of Simulated
        As `of_one_kind` returns them; at least one.

    Returns
    -------
    dict
        By attribute of `Studied`: its value, and the ends of what was simulated or comes near it.
    """
    ends = {
        "terms": TERMS,
        "classes": CLASSES,
        "terms_a_class": TERMS_A_CLASS,
        "terms_each": TERMS_EACH,
        "prior": PRIORS,
        "effective": (kind[0].effective, kind[-1].effective),
    }
    found = {name: (getattr(studied, name), *both) for name, both in ends.items()}
    return {name: one for name, one in found.items() if not one[1] <= one[0] <= one[2]}


def where_it_lies(effective: float, studies: Sequence[Simulated]) -> Place:
    """
    Return where a study lies on the table.

    Parameters
    ----------
    effective : float
        Effective observers of a pair.
    studies : sequence of Simulated
        Of one kind, as `of_one_kind` returns them.

    Returns
    -------
    Place

    Raises
    ------
    ValueError
        If they are of several kinds, or the study lies beyond them.
    """
    if len({one.kind for one in studies}) != 1:
        raise ValueError("a study is held against simulated studies of one kind")
    below = [one for one in studies if one.effective <= effective]
    above = [one for one in studies if one.effective >= effective]
    if not below or not above:
        raise ValueError("a study is not held against simulated studies that end before it")
    return Place(
        max(below, key=lambda one: one.effective), min(above, key=lambda one: one.effective)
    )
