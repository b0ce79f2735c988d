"""Published sorts, divided at random or by cohort; SOURCES.md says whose they are."""

import csv
from collections import Counter, defaultdict
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from felloe.ground.arrays import Array, Bools

DATA = Path(__file__).resolve().parents[1] / "references" / "data"
HALVES = (10, 20, 40)  # people of each half, where a cohort has as many
WHOLE = "all"  # the cohort of a set that names none
RANDOM_RUNS, COHORT_RUNS = 100, 20  # the people of two cohorts stay; only the tests' draws differ


@dataclass(frozen=True)
class PublishedSet:
    """
    A table of raw sorts.

    Attributes
    ----------
    name : str
    file : str
        In `tests/references/data`.
    item : str
        Column that holds the terms.
    """

    name: str
    file: str
    item: str

    def cohorts(self) -> dict[str, Array]:
        """Return (n_people, n_terms) piles by cohort; people whose sort is faulty are left out."""
        return read_cohorts(self.file, self.item)

    def divided(self, division: "Division", rng: np.random.Generator) -> tuple[Array, Bools]:
        """Return piles and who belongs to the first population."""
        cohorts = self.cohorts()
        if not division.random:
            one, other = (cohorts[name] for name in division.cohorts)
            return np.concatenate([one, other]), np.arange(len(one) + len(other)) < len(one)
        (whole,) = (cohorts[name] for name in division.cohorts)
        chosen = rng.choice(len(whole), 2 * division.people, replace=False)
        return whole[chosen], np.arange(len(chosen)) < division.people


@dataclass(frozen=True)
class Division:
    """
    Two populations made of a published set.

    Attributes
    ----------
    cohorts : tuple of str
        One that is divided at random, or two that are compared.
    people : int
        Of each half; 0 for two cohorts.
    name : str
    """

    cohorts: tuple[str, ...]
    people: int
    name: str

    @property
    def random(self) -> bool:
        """Whether chance alone makes the two populations."""
        return len(self.cohorts) == 1

    @property
    def largest(self) -> int:
        """The number of runs at the most."""
        return RANDOM_RUNS if self.random else COHORT_RUNS


@cache
def read_cohorts(file: str, item: str) -> dict[str, Array]:
    """Read a table of one row per person and term."""
    placed: dict[tuple[str, str], list[tuple[str, int]]] = defaultdict(list)
    with open(DATA / file, encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            person = row.get("cohort", WHOLE), row["participant"]
            placed[person].append((row[item], int(row["pile"])))
    terms = sorted({term for sort in placed.values() for term, _ in sort})
    found: dict[str, list[list[int]]] = defaultdict(list)
    for (cohort, _), sort in sorted(placed.items()):
        if Counter(term for term, _ in sort) == Counter(terms):
            found[cohort].append([pile for _, pile in sorted(sort)])
    return {cohort: np.array(rows) for cohort, rows in found.items()}


def of_cohort(name: str) -> str:
    """Return which cohort, where there are several."""
    return "" if name == WHOLE else f" of cohort {name}"


def divisions_of(one: PublishedSet) -> list[Division]:
    """Return the random halves of each cohort, and the two cohorts where there are two."""
    cohorts = one.cohorts()
    found = [
        Division((name,), n, f"random halves{of_cohort(name)}, {n} v {n}")
        for name, rows in cohorts.items()
        for n in HALVES
        if 2 * n <= len(rows)
    ]
    if len(cohorts) == 2:
        sizes = " v ".join(str(len(rows)) for rows in cohorts.values())
        found.append(Division(tuple(cohorts), 0, f"cohort {' against '.join(cohorts)}, {sizes}"))
    return found


SETS = (
    PublishedSet("kinship, women", "kinship_women_single_sorts_long.csv", "term"),
    PublishedSet("patterns P31M", "wallpaper_P31M_sorts_long.csv", "item"),
)
HELD_OUT_SETS = (PublishedSet("patterns P6", "wallpaper_P6_sorts_long.csv", "item"),)
