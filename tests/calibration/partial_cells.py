"""The cells of the calibration of partial sorts, and who is shown what in them."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from calibration.cases import Case
from felloe.ground.arrays import Bools
from partial_example import balanced_shown

DOSSIER, EDITIONS, SCREENING, CHANCE = "dossier", "editions", "screening", "chance"
PRIOR = 1.0  # of sorts in parts, as in the settings
TERMS, PEOPLE = 40, (30, 30)


@dataclass(frozen=True)
class Cell:
    """
    One row of a table: a case, and how many terms people are shown.

    Attributes
    ----------
    kind : {"dossier", "editions", "screening", "chance"}
        What is asked of the people; two populations are two editions for "editions".
    source : str
        Make of the people.
    case : Case
    shown : (int, int)
        Of the people of even and of odd number in each population; all terms are whole sorts.
    by_population : bool
        Whether the two numbers are of the first and of the second population instead.
    """

    kind: str
    source: str
    case: Case
    shown: tuple[int, int]
    by_population: bool = False

    @property
    def told(self) -> str:
        """What a table says of the cell."""
        some, others = self.shown
        word = "and" if self.by_population else "or"
        number = f"{some}" if some == others else f"{some} {word} {others}"
        return f"{self.case.name}, {number} of {self.case.terms} shown"

    @property
    def prior(self) -> float | None:
        """The prior: none for whole sorts."""
        return None if min(self.shown) == self.case.terms else PRIOR

    @property
    def name(self) -> str:
        """What tells the cell from others of its make in the file of runs."""
        return f"{self.kind}: {self.told}"


def case_of(name: str, **more: object) -> Case:
    """Return a case of so many people and terms as most cells have."""
    return Case(name, more.pop("people", PEOPLE), TERMS, **more)  # type: ignore[arg-type]


EQUAL = case_of("equality")
LUMPING = case_of("lumpers 80 % / 20 %", lumpers=(0.8, 0.2))
NOISY = case_of("noise 1 / 1.6", noise=(1.0, 1.6))
MOVED = case_of("8 of 40 moved", moved=8)
FEW_MOVED = case_of("4 of 40 moved", moved=4)
MANY = case_of("equality, 60 v 60", people=(60, 60))
MANY_MOVED = case_of("8 of 40 moved, 60 v 60", people=(60, 60), moved=8)


def dossier_cells() -> Iterator[Cell]:
    """Return the cells that ask the dossier."""
    for shown in ((20, 20), (14, 14), (14, 26), (40, 40)):
        yield Cell(DOSSIER, "places", EQUAL, shown)
    yield Cell(DOSSIER, "places", EQUAL, (14, 26), by_population=True)
    yield Cell(DOSSIER, "places", LUMPING, (20, 20))
    yield Cell(DOSSIER, "places", LUMPING, (40, 40))
    yield Cell(DOSSIER, "places", NOISY, (20, 20))
    yield Cell(DOSSIER, "places", NOISY, (40, 40))
    yield Cell(DOSSIER, "places", MOVED, (20, 20))
    for case in (MANY, MANY_MOVED):  # a fifth of any two people have no pair in common
        yield Cell(DOSSIER, "places", case, (10, 10))
    for source in ("nested", "card table"):
        for case in (EQUAL, LUMPING):
            yield Cell(DOSSIER, source, case, (20, 20))
    yield Cell(DOSSIER, "card table", MOVED, (20, 20))


def other_cells() -> Iterator[Cell]:
    """Return the cells of two editions, of screening, and of people without any structure."""
    for case in (EQUAL, FEW_MOVED):
        for source in ("places", "card table"):
            for shown in ((20, 20), (40, 40)):
                yield Cell(EDITIONS, source, case, shown)
        yield Cell(EDITIONS, "places", case, (14, 26))
    for source in ("places", "nested", "card table"):
        yield Cell(SCREENING, source, EQUAL, (14, 26))
    for few in ((10, 20), (6, 12)):
        yield Cell(SCREENING, "nested", EQUAL, few)
    for shown in ((20, 20), (14, 26), (40, 40)):
        yield Cell(CHANCE, "places", EQUAL, shown)


def cells() -> list[Cell]:
    """Return every cell."""
    return [*dossier_cells(), *other_cells()]


def designed(cell: Cell, rng: np.random.Generator, n_people: int, side: int) -> Bools:
    """Return who of the first (0) or second (1) population is shown what."""
    shown = np.zeros((n_people, cell.case.terms), dtype=bool)
    if cell.by_population:
        return np.asarray(balanced_shown(rng, n_people, cell.case.terms, cell.shown[side]))
    if cell.shown[0] == cell.shown[1]:
        return np.asarray(balanced_shown(rng, n_people, cell.case.terms, cell.shown[0]))
    for start, number in enumerate(cell.shown):
        rows = np.arange(start, n_people, 2)
        shown[rows] = balanced_shown(rng, len(rows), cell.case.terms, number)
    return shown
