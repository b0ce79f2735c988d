"""What two invented populations are like, and what every make of invented people has to offer."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from felloe.ground.arrays import Array, Bools, Ints
from felloe.ground.people.sorts import Sorts


@dataclass(frozen=True)
class Case:
    """
    Two populations.

    Attributes
    ----------
    name : str
    people : (int, int)
        People of the first and of the second population.
    terms : int
    lumpers : (float, float) or None
        Share of lumpers in each population, the others being splitters; None where people do not
        differ by kind.
    moved : int
        Terms that the second population places in another class.
    noise : (float, float)
        How careless each population is; 1 is usual.
    shift : int
        Piles that the second population makes more, known to the make `places` only.
    """

    name: str
    people: tuple[int, int] = (35, 35)
    terms: int = 60
    lumpers: tuple[float, float] | None = None
    moved: int = 0
    noise: tuple[float, float] = (1.0, 1.0)
    shift: int = 0

    @property
    def alike(self) -> bool:
        """Whether people of both populations sort by the same law."""
        same = self.lumpers is None or self.lumpers[0] == self.lumpers[1]
        return same and not self.moved and not self.shift and self.noise[0] == self.noise[1]


@dataclass(frozen=True)
class Person:
    """
    What one person brings to the table.

    Attributes
    ----------
    lumper : bool or None
        None where people do not differ by kind.
    noise : float
        1 is usual.
    shift : int
        Piles more than usual.
    """

    lumper: bool | None
    noise: float
    shift: int = 0


@dataclass(frozen=True)
class Make:
    """
    One way to invent people.

    Attributes
    ----------
    name : str
    structure : callable
        From random numbers and a number of terms to what people of one mind share.
    moved : callable
        From random numbers, a structure and term numbers to a structure in which these terms
        stand in another class.
    sort : callable
        From random numbers, a structure and a `Person` to (n_terms,) pile numbers.
    """

    name: str
    structure: Callable[[np.random.Generator, int], Any]
    moved: Callable[[np.random.Generator, Any, Ints], Any]
    sort: Callable[[np.random.Generator, Any, Person], Ints]


@dataclass(frozen=True)
class Invented:
    """
    Two populations of one make, before anybody is drawn.

    Attributes
    ----------
    make : Make
    case : Case
    structures : tuple
        Of the first and of the second population.
    moved : (n_moved,) array of int
        Numbers of the terms that stand elsewhere in the second, rising.
    """

    make: Make
    case: Case
    structures: tuple[Any, Any]
    moved: Ints

    def people(self, rng: np.random.Generator, numbers: tuple[int, int]) -> tuple[Array, Bools]:
        """
        Draw people and let them sort.

        Parameters
        ----------
        rng : numpy.random.Generator
        numbers : (int, int)
            People of the first and of the second population.

        Returns
        -------
        piles : (n_people, n_terms) array of int
        first : (n_people,) array of bool
        """
        case, rows = self.case, []
        for side, number in enumerate(numbers):
            for _ in range(number):
                lumper = None if case.lumpers is None else rng.random() < case.lumpers[side]
                person = Person(lumper, case.noise[side], case.shift * side)
                rows.append(self.make.sort(rng, self.structures[side], person))
        return np.array(rows), np.arange(sum(numbers)) < numbers[0]


def invent(make: Make, case: Case, rng: np.random.Generator) -> Invented:
    """Draw the structures of two populations, alike but for the terms that move."""
    one = make.structure(rng, case.terms)
    moved = np.sort(rng.choice(case.terms, case.moved, replace=False))
    other = make.moved(rng, one, moved) if case.moved else one
    return Invented(make, case, (one, other), moved)


def two_populations(make: Make, case: Case, rng: np.random.Generator) -> tuple[Array, Bools]:
    """
    Return the sorts of two populations.

    Parameters
    ----------
    make : Make
    case : Case
    rng : numpy.random.Generator

    Returns
    -------
    piles : (n_people, n_terms) array of int
    first : (n_people,) array of bool
        Who belongs to the first population.
    """
    return invent(make, case, rng).people(rng, case.people)


def invented_sorts(piles: Array, first: Bools, names: tuple[str, str] = ("a", "b")) -> Sorts:
    """Return piles as sorts of named people and terms; `first` belong to the first population."""
    return Sorts(
        tuple(f"p{number:02d}" for number in range(len(piles))),
        tuple(names[0] if one else names[1] for one in first),
        tuple(f"term{number:02d}" for number in range(piles.shape[1])),
        piles,
    )
