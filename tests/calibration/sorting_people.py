"""People who see terms as places in space, with noise, and group what lies near."""

from dataclasses import replace

import numpy as np
from calibration import cases
from calibration.cases import Case, Make, Person, invented_sorts
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.groups.linkage import cut
from scipy.cluster.hierarchy import linkage

__all__ = ["CASES", "PLACES", "Case", "invented_sorts", "two_populations"]

N_CLASSES, N_SUBCLASSES = 6, 18
DIMENSIONS = 12
CLASS_SPREAD, SUBCLASS_SPREAD, TERM_SPREAD, PERSON_NOISE = 1.0, 0.6, 0.3, 0.55
COARSE, FINE = (5, 8), (14, 22)  # piles of a lumper and of a splitter
USUAL = (8, 16)  # piles where people do not differ by kind
MOVED = 6

CASES = (
    Case("one population"),
    Case("one structure, lumpers 80 % / 20 %", lumpers=(0.8, 0.2)),
    Case("one structure, piles shifted by 4", shift=4),
    Case("6 of 60 terms moved", moved=MOVED),
    Case("lumpers 80 % / 20 %, 6 of 60 terms moved", lumpers=(0.8, 0.2), moved=MOVED),
    Case("piles shifted by 4, 6 of 60 terms moved", shift=4, moved=MOVED),
)


def classes_of(n_terms: int, number: int = N_CLASSES) -> Ints:
    """Return the group of each term: groups of equal size, in the order of the terms."""
    return np.arange(n_terms) * number // n_terms


def structure(rng: np.random.Generator, n_terms: int) -> Floats:
    """Return places of terms: subclasses within classes, classes apart."""
    return (
        CLASS_SPREAD * rng.normal(size=(N_CLASSES, DIMENSIONS))[classes_of(n_terms)]
        + SUBCLASS_SPREAD
        * rng.normal(size=(N_SUBCLASSES, DIMENSIONS))[classes_of(n_terms, N_SUBCLASSES)]
        + TERM_SPREAD * rng.normal(size=(n_terms, DIMENSIONS))
    )


def moved_structure(rng: np.random.Generator, places: Floats, terms: Ints) -> Floats:
    """Return places in which some terms stand where a term of another class stood."""
    classes = classes_of(len(places))
    new = places.copy()
    for term in terms:
        elsewhere = np.flatnonzero(classes != classes[term])
        new[term] = places[rng.choice(elsewhere)] + TERM_SPREAD * rng.normal(size=DIMENSIONS)
    return new


def sort_of(rng: np.random.Generator, places: Floats, person: Person) -> Ints:
    """Return one person's piles: places as that person sees them, grouped."""
    low, high = USUAL if person.lumper is None else COARSE if person.lumper else FINE
    n_piles = min(int(rng.integers(low, high + 1)) + person.shift, len(places) - 1)
    seen = places + person.noise * PERSON_NOISE * rng.normal(size=places.shape)
    return cut(linkage(seen, "average"), n_piles)


PLACES = Make("places", structure, moved_structure, sort_of)


def two_populations(
    case: Case, rng: np.random.Generator, n_people: int | None = None
) -> tuple[Array, Bools]:
    """
    Return the sorts of two populations of this make.

    Parameters
    ----------
    case : Case
    rng : numpy.random.Generator
    n_people : int, optional
        People of each population, instead of the case's.

    Returns
    -------
    piles : (n_people of both, n_terms) array of int
    first : (n_people of both,) array of bool
    """
    if n_people is not None:
        case = replace(case, people=(n_people, n_people))
    return cases.two_populations(PLACES, case, rng)
