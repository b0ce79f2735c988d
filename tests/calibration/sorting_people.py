"""Invented people who sort terms of a known structure, for the calibration of the dossier."""

from dataclasses import dataclass

import numpy as np
from felloe.ground.linkage import cut
from felloe.ground.sorts import Sorts
from scipy.cluster.hierarchy import linkage

N_TERMS, N_CLASSES, N_SUBCLASSES = 60, 6, 18
DIMENSIONS = 12
CLASS_SPREAD, SUBCLASS_SPREAD, TERM_SPREAD, PERSON_NOISE = 1.0, 0.6, 0.3, 0.55
COARSE, FINE = (5, 8), (14, 22)  # piles of a lumper and of a splitter
USUAL = (8, 16)  # piles where people do not differ by kind
MOVED = 6


@dataclass(frozen=True)
class Case:
    """
    Two populations.

    Attributes
    ----------
    name : str
    lumpers : (float, float) or None
        Share of lumpers in each population; None where piles are drawn from `USUAL`.
    shift : int
        Piles that the second population makes more.
    moved : int
        Terms that the second population places in another class.
    """

    name: str
    lumpers: tuple | None = None
    shift: int = 0
    moved: int = 0


CASES = (
    Case("one population"),
    Case("one structure, lumpers 80 % / 20 %", lumpers=(0.8, 0.2)),
    Case("one structure, piles shifted by 4", shift=4),
    Case("6 of 60 terms moved", moved=MOVED),
    Case("lumpers 80 % / 20 %, 6 of 60 terms moved", lumpers=(0.8, 0.2), moved=MOVED),
    Case("piles shifted by 4, 6 of 60 terms moved", shift=4, moved=MOVED),
)


def structure(rng):
    """Return places of terms: subclasses within classes, classes apart."""
    classes = np.arange(N_TERMS) * N_CLASSES // N_TERMS
    subclasses = np.arange(N_TERMS) * N_SUBCLASSES // N_TERMS
    return (
        CLASS_SPREAD * rng.normal(size=(N_CLASSES, DIMENSIONS))[classes]
        + SUBCLASS_SPREAD * rng.normal(size=(N_SUBCLASSES, DIMENSIONS))[subclasses]
        + TERM_SPREAD * rng.normal(size=(N_TERMS, DIMENSIONS))
    )


def moved_structure(rng, places, moved):
    """Return places in which some terms stand where a term of another class stood."""
    classes = np.arange(N_TERMS) * N_CLASSES // N_TERMS
    new = places.copy()
    for term in rng.choice(N_TERMS, moved, replace=False):
        elsewhere = np.flatnonzero(classes != classes[term])
        new[term] = places[rng.choice(elsewhere)] + TERM_SPREAD * rng.normal(size=DIMENSIONS)
    return new


def sort_of(rng, places, n_piles):
    """Return one person's piles: places as that person sees them, grouped."""
    seen = places + PERSON_NOISE * rng.normal(size=places.shape)
    return cut(linkage(seen, "average"), n_piles)


def population(rng, places, n_people, lumpers, shift):
    """Return the sorts of one population."""
    piles = []
    for _ in range(n_people):
        low, high = USUAL
        if lumpers is not None:
            low, high = COARSE if rng.random() < lumpers else FINE
        piles.append(sort_of(rng, places, int(rng.integers(low, high + 1)) + shift))
    return piles


def two_populations(case, rng, n_people=35):
    """
    Return the sorts of two populations of `n_people` each.

    Returns
    -------
    piles : (2 * n_people, N_TERMS) array of int
    first : (2 * n_people,) array of bool
    """
    places = structure(rng)
    shares = case.lumpers or (None, None)
    one = population(rng, places, n_people, shares[0], 0)
    places = moved_structure(rng, places, case.moved)
    other = population(rng, places, n_people, shares[1], case.shift)
    return np.array(one + other), np.arange(2 * n_people) < n_people


def invented_sorts(piles, first, names=("a", "b")):
    """Return piles as sorts of named people and terms; `first` belong to the first population."""
    return Sorts(
        tuple(f"p{number:02d}" for number in range(len(piles))),
        tuple(names[0] if one else names[1] for one in first),
        tuple(f"term{number:02d}" for number in range(piles.shape[1])),
        piles,
    )
