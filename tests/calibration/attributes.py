"""
People who divide terms by attributes, one after the other.

There are no classes: terms have attributes of a few levels. A lumper divides by one or two of
them, a splitter by several, mostly by the ones of most worth; a small pile is left as it is. Now
and then a person takes a term's level for another.
"""

from dataclasses import dataclass, replace

import numpy as np
from calibration.cases import Make, Person
from felloe.ground.arrays import Floats, Ints

LEVELS = (4, 3, 3, 2, 2)
WORTH = np.array([6.0, 3.0, 1.5, 1.0, 0.6])  # of choosing an attribute to divide by
UNEQUAL = 4.0  # of the Dirichlet shares of the levels of an attribute
LAPSE = 0.11  # chance to misjudge a term in one attribute, with usual care
MOST_LAPSE = 0.9
DIVIDED = {None: (2, 4), True: (1, 2), False: (3, 5)}  # attributes used, from and to
LEFT_WHOLE = 3  # terms; a pile of so few is divided no further
LEADING = 2  # attributes of most worth, in both of which a moved term changes


@dataclass(frozen=True)
class Attributes:
    """
    What the terms are like.

    Attributes
    ----------
    levels : (n_terms, n_attributes) array of int
    lapses : (n_terms, n_attributes) array of float
        Chance that a person of usual care misjudges a level.
    """

    levels: Ints
    lapses: Floats


def attributes(rng: np.random.Generator, n_terms: int) -> Attributes:
    """Draw the levels of every term; every level has terms."""
    columns = []
    for number in LEVELS:
        shares = rng.dirichlet(np.full(number, UNEQUAL))
        sure = np.arange(2 * number) % number
        rest = rng.choice(number, size=n_terms - len(sure), p=shares)
        columns.append(rng.permutation(np.concatenate([sure, rest])))
    lapses = LAPSE * rng.gamma(2.0, 0.5, size=(n_terms, len(LEVELS)))
    return Attributes(np.stack(columns, axis=1), lapses)


def moved_attributes(rng: np.random.Generator, known: Attributes, terms: Ints) -> Attributes:
    """Return attributes in which some terms are like a term that differs in what leads."""
    levels = known.levels.copy()
    for term in terms:
        unlike = known.levels[:, :LEADING] != known.levels[term, :LEADING]
        levels[term] = known.levels[rng.choice(np.flatnonzero(unlike.all(axis=1)))]
    return replace(known, levels=levels)


def sort_of(rng: np.random.Generator, known: Attributes, person: Person) -> Ints:
    """Return one person's piles: divided by one attribute after the other."""
    low, high = DIVIDED[person.lumper]
    number = int(rng.integers(low, high + 1))
    chosen = rng.choice(len(LEVELS), size=number, replace=False, p=WORTH / WORTH.sum())
    piles = np.zeros(len(known.levels), dtype=int)
    lapses = np.minimum(known.lapses * person.noise, MOST_LAPSE)
    for attribute in chosen:
        levels = known.levels[:, attribute]
        wrong = rng.random(len(levels)) < lapses[:, attribute]
        other = (levels + rng.integers(1, LEVELS[attribute], size=len(levels))) % LEVELS[attribute]
        seen = np.where(wrong, other, levels)
        whole = np.bincount(piles)[piles] <= LEFT_WHOLE
        divided = piles * max(LEVELS) + np.where(whole, 0, seen)
        piles = np.unique(divided, return_inverse=True)[1]
    return piles


ATTRIBUTES = Make("attributes", attributes, moved_attributes, sort_of)
