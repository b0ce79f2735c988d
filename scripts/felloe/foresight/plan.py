"""People by terms a person: what studies of invented people would show, before there are data."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from felloe.foresight.assumptions import Habits, Truth, moved_truth
from felloe.foresight.disagreement import mirkin_of_many
from felloe.foresight.expected import recovery, reliability
from felloe.foresight.movement import (
    PERMUTATIONS,
    Movement,
    difference_p,
    numbers_tried,
    smallest_movement,
)
from felloe.foresight.sorters import drawn_sorts, least_seen
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.people.counts import count_observers
from felloe.ground.randomness import Streams
from felloe.ground.squares import condensed

STUDIES = 20  # drawn for each number of terms a person; all numbers of people are looked at in each
RANGE = (0.05, 0.95)  # quantiles of the drawn studies that are told beside the mean


@dataclass(frozen=True)
class Assumed:
    """
    Everything that a plan rests on.

    Attributes
    ----------
    truth : Truth
    habits : Habits
    smaller_share : float
        Of the people, who belong to the smaller of two populations; at most one half.
    prior : float
        Observers of every pair at the mean, of partial sorts.
    linkage : str
    alpha : float
        Level of the test of a difference.
    studies : int
        Drawn for each number of terms a person.
    """

    truth: Truth
    habits: Habits
    smaller_share: float
    prior: float
    linkage: str
    alpha: float
    studies: int = STUDIES


@dataclass(frozen=True)
class Spread:
    """Mean over studies, its Monte-Carlo error, and where all but one in ten studies lie."""

    mean: float
    error: float
    low: float
    high: float


@dataclass(frozen=True)
class Cell:
    """
    What studies of one size would show.

    Attributes
    ----------
    people, smaller, each : int
        People in all, those of the smaller population, terms shown to each.
    observers, fewest_observers : float
        People who see both terms of a pair: mean, and least of all pairs.
    reliability, smaller_reliability : Spread
        Stepped-up split halves of everybody, and of the smaller population alone.
    classes, subclasses : Spread
        Adjusted Rand index with the truth.
    movement : Movement
    studies : int
    """

    people: int
    smaller: int
    each: int
    observers: float
    fewest_observers: int
    reliability: Spread
    smaller_reliability: Spread
    classes: Spread
    subclasses: Spread
    movement: Movement
    studies: int


def spread_of(values: Iterable[float]) -> Spread:
    """Return mean, error and range of what the studies show; unknown ones are left out."""
    known = np.array([value for value in values if not math.isnan(value)])
    if not len(known):
        return Spread(math.nan, math.nan, math.nan, math.nan)
    error = float(known.std(ddof=1)) / math.sqrt(len(known)) if len(known) > 1 else math.nan
    low, high = (float(end) for end in np.quantile(known, RANGE))
    return Spread(float(known.mean()), error, low, high)


def sizes_of(people: int, smaller_share: float) -> tuple[int, int]:
    """Return the people of the larger and of the smaller population."""
    smaller = math.floor(people * smaller_share + 0.5)
    return people - smaller, smaller


class Invented:
    """
    Studies of the largest size; those of fewer people are their first people.

    Parameters
    ----------
    assumed : Assumed
    each : int
        Terms shown to each person.
    people : sequence of int
        Rising.
    streams : felloe.ground.randomness.Streams
    """

    def __init__(
        self, assumed: Assumed, each: int, people: Sequence[int], streams: Streams
    ) -> None:
        self.assumed, self.streams = assumed, streams
        self.each = min(each, assumed.truth.n_terms)
        self.people = people
        self.sizes = [sizes_of(number, assumed.smaller_share) for number in people]
        self.prior = None if self.each == assumed.truth.n_terms else assumed.prior
        largest = (max(sizes[place] for sizes in self.sizes) for place in (0, 1))
        self.shown = [
            least_seen(self.draw("shown", place), size, assumed.truth.n_terms, self.each)
            for place, size in enumerate(largest)
        ]
        self.outcomes = cache(self._outcomes)

    def draw(self, purpose: str, number: int) -> np.random.Generator:
        """Return the random numbers of one purpose."""
        return self.streams.generator(f"plan {purpose}\n{self.each}", number)

    def sorts(self, study: int, place: int, truth: Truth) -> Ints:
        """Return the sorts of the larger (0) or of the smaller (1) population of one study."""
        rng = self.draw("sorts", 2 * study + place)
        return drawn_sorts(rng, truth, self.assumed.habits, self.shown[place])

    def pooled(self, study: int) -> list[tuple[Ints, Ints]]:
        """Return the sorts of both populations at every number of people."""
        both = [self.sorts(study, place, self.assumed.truth) for place in (0, 1)]
        return [(both[0][:large], both[1][:small]) for large, small in self.sizes]

    def compared(self, study: int, n_moved: int) -> list[float]:
        """Return p of the test between the populations at every number of people."""
        truth = self.assumed.truth
        moved = moved_truth(self.draw("moved", study), truth, n_moved)
        piles = [self.sorts(study, 0, truth), self.sorts(study, 1, moved)]
        apart = mirkin_of_many(np.concatenate(piles))
        start = len(piles[0])
        found = []
        for large, small in self.sizes:
            chosen = np.r_[:large, start : start + small]
            rng = self.draw("labels", study)
            found.append(
                difference_p(
                    rng,
                    np.concatenate([piles[0][:large], piles[1][:small]]),
                    np.arange(len(chosen)) < large,
                    PERMUTATIONS,
                    apart[np.ix_(chosen, chosen)],
                )
            )
        return found

    def _outcomes(self, n_moved: int) -> Floats:
        """Return the share of studies that see a movement, at every number of people."""
        p = np.array([self.compared(study, n_moved) for study in range(self.assumed.studies)])
        return np.asarray((p <= self.assumed.alpha).mean(axis=0))

    def movements(self, told: Callable[[], None]) -> list[Movement]:
        """Return the smallest movement seen at every number of people; never more for more."""
        numbers = numbers_tried(self.assumed.truth.n_terms)
        found: list[Movement] = []
        for place in range(len(self.people)):
            known = found[-1].terms if found else None
            found.append(smallest_movement(numbers, self.seen_at(place), known))
            told()
        return found

    def seen_at(self, place: int) -> Callable[[int], float]:
        """Return what tells, at one number of people, the share of studies that see a movement."""
        return lambda n_moved: float(self.outcomes(n_moved)[place])


def observers_of(shown: Sequence[Bools], sizes: tuple[int, int]) -> tuple[float, int]:
    """Return how many people see a pair of terms, in the mean and at the least."""
    both = np.concatenate([one[:size] for one, size in zip(shown, sizes, strict=True)])
    pairs = condensed(count_observers(both))
    return float(pairs.mean()), int(pairs.min())


def seen_by_halves(invented: Invented, study: int, parts: tuple[Array, Array]) -> list[float]:
    """Return the reliability of everybody, and of the smaller population alone."""
    everybody = np.concatenate(parts)
    return [
        reliability(invented.draw(name, study), piles, invented.prior)
        for name, piles in (("halves", everybody), ("halves of the smaller", parts[1]))
    ]


def column(
    assumed: Assumed,
    each: int,
    people: Sequence[int],
    streams: Streams,
    told: Callable[[], None] = lambda: None,
) -> list[Cell]:
    """
    Return what studies would show with so many terms for each person.

    Parameters
    ----------
    assumed : Assumed
    each : int
    people : sequence of int
        In all, rising.
    streams : felloe.ground.randomness.Streams
    told : callable
        Called after every piece of work; `pieces` says how many there are.

    Returns
    -------
    list of Cell
        One for each number of people.
    """
    invented = Invented(assumed, each, people, streams)
    halves: list[list[list[float]]] = [[] for _ in people]
    groups: list[list[tuple[float, float]]] = [[] for _ in people]
    for study in range(assumed.studies):
        for place, parts in enumerate(invented.pooled(study)):
            halves[place].append(seen_by_halves(invented, study, parts))
            back = recovery(np.concatenate(parts), assumed.truth, invented.prior, assumed.linkage)
            groups[place].append((back.classes, back.subclasses))
        told()
    movements = invented.movements(told)
    cells = []
    for place, number in enumerate(people):
        mean, least = observers_of(invented.shown, invented.sizes[place])
        everybody, smaller = zip(*halves[place], strict=True)
        classes, subclasses = zip(*groups[place], strict=True)
        cells.append(
            Cell(
                people=number,
                smaller=invented.sizes[place][1],
                each=invented.each,
                observers=mean,
                fewest_observers=least,
                reliability=spread_of(everybody),
                smaller_reliability=spread_of(smaller),
                classes=spread_of(classes),
                subclasses=spread_of(subclasses),
                movement=movements[place],
                studies=assumed.studies,
            )
        )
    return cells


def pieces(people: Sequence[int], studies: int) -> int:
    """Return how many pieces of work a column is told in."""
    return studies + len(people)
