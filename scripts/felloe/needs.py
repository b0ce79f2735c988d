"""
What a step needs of a machine, by the size of the study: memory and time.

`workflow/resources.csv` has it as measured (`tests/benchmarks/measure_resources.py`, then
`fit_resources.py`): for every step what the largest of its jobs took, as a sum of terms that grow
with the study. What is asked for is more than that, since another machine, another study and
another way to divide the work take more. Results do not depend on it.
"""

import csv
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

SAFETY = {"megabytes": 1.5, "seconds": 4.0}  # what is asked for, over what was measured
ENGINE = 200.0  # megabytes of the engine around a step
LEAST_MEGABYTES, LEAST_MINUTES = 500, 10  # of any job
UNKNOWN_MEGABYTES, UNKNOWN_MINUTES = 2000, 60  # of a step that was never measured
GROWTH = ("constant", "terms_squared", "placed", "seen", "redrawn")


@dataclass(frozen=True)
class Size:
    """
    What a study's cost depends on.

    Attributes
    ----------
    terms, people : int
    shown : float
        Terms that a person was shown, on average.
    replicates : int
        Times that people are redrawn.
    """

    terms: int = 0
    people: int = 0
    shown: float = 0.0
    replicates: int = 0

    def growth(self) -> dict[str, float]:
        """
        Return the terms of the sum, each 1 for 100 terms, 100 people and 1,000 replicates.

        `placed` is people times terms shown, `seen` people times pairs of terms shown; `redrawn`
        is, for every replicate, pairs of terms and what people placed of them.
        """
        terms, people, shown = self.terms / 100, self.people / 100, self.shown / 100
        both = people * shown**2
        return {
            "constant": 1.0,
            "terms_squared": terms**2,
            "placed": people * shown,
            "seen": both,
            "redrawn": self.replicates / 1000 * (terms**2 + both) / 2,
        }


Needs = Mapping[tuple[str, str], Mapping[str, float]]


def read_needs(path: str | Path) -> Needs:
    """Return what steps took: by step and kind (`megabytes`, `seconds`), a number for each term."""
    with open(path, encoding="utf-8", newline="") as stream:
        return {
            (row["step"], row["kind"]): {name: float(row[name] or 0) for name in GROWTH}
            for row in csv.DictReader(stream)
        }


def measured(needs: Needs, step: str, kind: str, sizes: Iterable[Size]) -> float | None:
    """Return what a step took for the largest of some studies; None if that is not known."""
    factors = needs.get((step, kind))
    if factors is None:
        return None
    each = [size.growth() for size in sizes] or [Size().growth()]
    return max(math.fsum(factors[name] * by[name] for name in GROWTH) for by in each)


def megabytes(needs: Needs, step: str, sizes: Iterable[Size], attempt: int = 1) -> int:
    """Return the memory to ask for; after a job was killed as much again."""
    took = measured(needs, step, "megabytes", sizes)
    if took is None:
        return UNKNOWN_MEGABYTES * attempt
    asked = SAFETY["megabytes"] * took + ENGINE
    return max(LEAST_MEGABYTES, math.ceil(asked)) * attempt


def minutes(needs: Needs, step: str, sizes: Iterable[Size], attempt: int = 1) -> int:
    """Return the time to ask for; after a job was killed as much again."""
    took = measured(needs, step, "seconds", sizes)
    if took is None:
        return UNKNOWN_MINUTES * attempt
    return max(LEAST_MINUTES, math.ceil(SAFETY["seconds"] * took / 60)) * attempt


def size_of(folder: str | Path, replicates: int) -> Size:
    """
    Return the size of a study, by the lines of its files; 0 for what is not there.

    A design that is a spreadsheet is not opened: everybody counts as shown everything.
    """
    terms, people, deals = (
        max(0, lines_of(Path(folder) / f"{name}.csv") - 1)
        for name in ("terms", "participants", "design")
    )
    shown = min(terms, deals / people) if deals and people else float(terms)
    return Size(terms, people, shown, replicates)


def lines_of(path: Path) -> int:
    """Return the number of lines of a file, 0 if it cannot be read."""
    try:
        with open(path, "rb") as stream:
            return sum(1 for _ in stream)
    except OSError:
        return 0
