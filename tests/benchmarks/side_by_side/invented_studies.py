"""Invented sorts of two populations, whole or in parts, for benchmarks."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from felloe.ground.distances import Distances
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import tree_of
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.randomness import Streams
from felloe.ground.terms import Terms
from felloe.matrices.distances import sorts_distances

CLASSES, SUBCLASSES = 9, 27
ASTRAY = 0.35
PRIOR = 1.0


@dataclass(frozen=True, eq=False)
class Study:
    """
    Invented sorts and what kernels start from.

    Attributes
    ----------
    sorts : Sorts
    shown : (n_people, n_terms) array of bool
    """

    sorts: Sorts
    shown: np.ndarray

    @property
    def n_people(self) -> int:
        """The number of people."""
        return len(self.sorts.participants)

    @property
    def n_terms(self) -> int:
        """The number of terms."""
        return len(self.sorts.terms)

    @property
    def n_pairs(self) -> int:
        """The number of pairs of terms."""
        return self.n_terms * (self.n_terms - 1) // 2

    @property
    def partial(self) -> bool:
        """Whether everybody was shown some terms."""
        return self.sorts.prior is not None

    @property
    def size(self) -> str:
        """How large it is, in words."""
        some = f", {int(self.shown[0].sum())} each" if self.partial else ""
        return f"{self.n_terms:,} terms, {self.n_people:,} people{some}"

    @property
    def placed_pairs(self) -> int:
        """Pairs that people placed, added up over people."""
        placed = (self.sorts.piles != UNPLACED).sum(axis=1)
        return int((placed * (placed - 1) // 2).sum())

    @property
    def first(self) -> np.ndarray:
        """Who belongs to the first population."""
        return np.array(self.sorts.populations) == self.sorts.names[0]

    @property
    def streams(self) -> Streams:
        """Random numbers, the same whenever they are asked for."""
        return Streams(1, "benchmark")

    @cached_property
    def distances(self) -> Distances:
        """Distances of all people."""
        return sorts_distances(self.sorts, "pooled", "plain")

    @property
    def classes(self) -> int:
        """Classes that trees are cut into."""
        return groups_of(self.n_terms)[0]

    @property
    def subclasses(self) -> int:
        """Subclasses that trees are cut into."""
        return groups_of(self.n_terms)[1]

    @cached_property
    def published(self) -> Partition:
        """The classes of all people."""
        return tree_of(self.distances, "average").cut(self.classes)


def groups_of(n_terms: int) -> tuple[int, int]:
    """Return the numbers of classes and subclasses that invented people see."""
    classes = min(CLASSES, max(2, n_terms // 5))
    return classes, min(SUBCLASSES, 3 * classes)


def invented(n_terms: int, n_people: int, n_shown: int | None = None, seed: int = 1) -> Study:
    """
    Invent people who see nine classes, half of them in three parts each, and err.

    Parameters
    ----------
    n_terms, n_people : int
    n_shown : int, optional
        Terms that each person is shown, dealt evenly; None for all.
    seed : int
    """
    rng = np.random.default_rng(seed)
    n_classes, n_parts = groups_of(n_terms)
    part = np.arange(n_terms) % n_parts
    shown = np.ones((n_people, n_terms), dtype=bool)
    piles = np.empty((n_people, n_terms), dtype=int)
    dealt = np.zeros(n_terms)
    for person in range(n_people):
        seen = part % n_classes if person // 2 % 2 else part
        astray = rng.random(n_terms) < ASTRAY
        piles[person] = np.where(astray, rng.permutation(seen), seen)
        if n_shown is not None and n_shown < n_terms:
            mine = np.argsort(dealt + rng.random(n_terms), kind="stable")[:n_shown]
            dealt[mine] += 1
            shown[person] = False
            shown[person, mine] = True
    piles[~shown] = UNPLACED
    whole = bool(shown.all())
    width = len(str(max(n_terms, n_people)))
    sorts = Sorts(
        tuple(f"p{number:0{width}d}" for number in range(n_people)),
        tuple("panel" if number % 2 else "makers" for number in range(n_people)),
        Terms(f"t{number:0{width}d}" for number in range(n_terms)),
        piles,
        None if whole else PRIOR,
    )
    return Study(sorts, shown)


def study_of(size: str) -> Study:
    """Return one of the two studies of the default run, or the tiny ones of its tests."""
    return invented(*SIZES[size])


SIZES: dict[str, tuple[int, int, int | None]] = {
    "small": (100, 70, None),
    "middle": (300, 1000, 60),
    "tiny": (14, 12, None),
    "tiny in parts": (14, 60, 9),
}
