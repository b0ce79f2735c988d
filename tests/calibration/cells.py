"""The cells of the operating characteristics: what is varied, and what is drawn in one run."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from calibration.cases import Case, Invented, Make, invent
from calibration.makes import HELD_OUT, MAKES
from calibration.published_sorts import HELD_OUT_SETS, SETS, Division, PublishedSet, divisions_of
from felloe.ground.arrays import Array, Bools, Ints
from felloe.ground.randomness import Streams

SEED = 11
CARELESS = 1.8  # noise of both populations where ten of each are few and careless
PEOPLE_OF_TRUTH = (200, 200)  # behind the corrected correlation of two unlike structures


def equality() -> Iterator[Case]:
    """Return the cells of two populations of one mind."""
    for people in (10, 20, 35, 70):
        yield Case(f"equality, {people} v {people}", (people, people))


def lumping() -> Iterator[Case]:
    """Return the cells of one structure that is told more and less finely."""
    for people, terms in (((35, 35), 60), ((15, 45), 30), ((20, 50), 99)):
        name = f"lumpers 80 % / 20 %, {people[0]} v {people[1]}, {terms} terms"
        yield Case(name, people, terms, lumpers=(0.8, 0.2))


def careless() -> Iterator[Case]:
    """Return the cells of noise alone."""
    for noise in (1.6, 2.0):
        yield Case(f"noise 1 / {noise:g}, 35 v 35", noise=(1.0, noise))


def moving() -> Iterator[Case]:
    """Return the cells in which terms move."""
    for moved in (1, 2, 4):
        yield Case(f"{moved} of 60 moved, 35 v 35", moved=moved)
    for people, noise in ((10, 1.0), (10, CARELESS), (20, 1.0), (35, 1.0), (70, 1.0)):
        care = "" if noise == 1.0 else f", noise {noise:g}"
        name = f"20 of 60 moved, {people} v {people}{care}"
        yield Case(name, (people, people), moved=20, noise=(noise, noise))


CASES = (*equality(), *lumping(), *careless(), *moving())
SHIFTED = Case("piles shifted by 4, 35 v 35", shift=4)  # known to the make `places` only


@dataclass(frozen=True)
class Drawn:
    """
    What is judged in one run.

    Attributes
    ----------
    piles : (n_people, n_terms) array of int
    first : (n_people,) array of bool
    moved : (n_moved,) array of int, or None
        Terms that stand elsewhere in the second population; None where nobody knows.
    invented : Invented or None
        Where the people come from; None for published sorts.
    """

    piles: Array
    first: Bools
    moved: Ints | None
    invented: Invented | None = None


@dataclass(frozen=True)
class Cell:
    """
    One row of the table.

    Attributes
    ----------
    source : str
        Make of the people, or published set.
    name : str
    alike : bool
        Whether people of both populations sort by the same law.
    largest : int or None
        Number of runs at the most; None where every run draws other people.
    of : (Make, Case) or (PublishedSet, Division)
    """

    source: str
    name: str
    alike: bool
    largest: int | None
    of: tuple[Make, Case] | tuple[PublishedSet, Division]

    def draw(self, run: int) -> Drawn:
        """Return the people of one run: the same ones whenever it is asked."""
        rng = Streams(SEED, f"{self.source}\n{self.name}").generator("people", run)
        where, what = self.of
        if isinstance(where, PublishedSet):
            return Drawn(*where.divided(what, rng), np.array([], dtype=int) if self.alike else None)
        invented = invent(where, what, rng)
        return Drawn(*invented.people(rng, what.people), invented.moved, invented)

    def large_sample(self, drawn: Drawn, run: int) -> tuple[Array, Bools] | None:
        """Return many people of the very structures of a run; None where nobody invented them."""
        if drawn.invented is None:
            return None
        rng = Streams(SEED, f"{self.source}\n{self.name}").generator("large sample", run)
        return drawn.invented.people(rng, PEOPLE_OF_TRUTH)


def cells(held_out: bool = False) -> list[Cell]:
    """Return the cells of every make and published set, or of those held out alone."""
    makes = HELD_OUT if held_out else MAKES
    rows = [
        Cell(make.name, case.name, case.alike, None, (make, case))
        for make in makes.values()
        for case in (*CASES, *([SHIFTED] if make.name == "places" else []))
    ]
    for one in HELD_OUT_SETS if held_out else SETS:
        rows += [
            Cell(one.name, division.name, division.random, division.largest, (one, division))
            for division in divisions_of(one)
        ]
    return rows
