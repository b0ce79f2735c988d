"""
People who know one nested truth and tell it more or less finely.

The make that the second look at the dossier was made with: classes of unequal size, terms of
unequal difficulty; each person keeps or splits every class, and merges near classes, with a
granularity of their own that shows in both. Two people of the same number of piles may have come
to it in different ways.
"""

from dataclasses import dataclass, replace

import numpy as np
from calibration.cases import Make, Person
from felloe.ground.arrays import Floats, Ints

N_CLASSES, MOST_SUBCLASSES = 7, 4
UNEQUAL = 3.0  # of the Dirichlet sizes of classes; smaller is more unequal
TERMS_OF_SUBCLASS = 3  # at the least, on average: a small class has few subclasses
ASTRAY = (1.6, 4.8)  # of the beta distribution of difficulty; its mean is 0.25
MOST_ASTRAY = 0.95
NEAR_SHARE = 0.6  # of the terms that go astray, those that go to a like subclass
NEARNESS = 0.5  # of classes: how fast likeness falls with distance
KINDS = {None: (0.0, 0.7), True: (-1.3, 0.5), False: (1.3, 0.5)}  # granularity: mean, spread
SPLIT_AT, MERGE_AT, STEEP = -0.2, -0.9, 1.8  # granularity at which a class is split, merged


@dataclass(frozen=True)
class Truth:
    """
    What everybody knows.

    Attributes
    ----------
    subclasses : (n_terms,) array of int
        Of each term.
    classes : (n_subclasses,) array of int
        Of each subclass.
    places : (n_classes, 3) array of float
        Where the classes lie.
    ripe : (n_classes,) array of float
        How readily each class is split.
    difficulty : (n_terms,) array of float
        Chance of going astray with usual care.
    """

    subclasses: Ints
    classes: Ints
    places: Floats
    ripe: Floats
    difficulty: Floats


def unequal_parts(rng: np.random.Generator, total: int, parts: int) -> Ints:
    """Return sizes of at least two that add up to `total`."""
    shares = rng.dirichlet(np.full(parts, UNEQUAL))
    spare = total - 2 * parts
    edges = np.round(np.concatenate([[0.0], np.cumsum(shares)]) * spare).astype(int)
    return 2 + np.diff(edges)


def truth(rng: np.random.Generator, n_terms: int) -> Truth:
    """Draw classes, their subclasses, and how hard each term is."""
    subclasses, classes = np.empty(n_terms, dtype=int), []
    start = 0
    for number, size in enumerate(unequal_parts(rng, n_terms, N_CLASSES)):
        most = int(np.clip(size // TERMS_OF_SUBCLASS, 1, MOST_SUBCLASSES))
        parts = int(rng.integers(1 + (most > 1), most + 1))
        within = np.concatenate([np.arange(parts), rng.integers(parts, size=size - parts)])
        subclasses[start : start + size] = len(classes) + within
        classes += [number] * parts
        start += size
    return Truth(
        subclasses,
        np.array(classes),
        rng.normal(size=(N_CLASSES, 3)),
        rng.normal(scale=0.5, size=N_CLASSES),
        rng.beta(*ASTRAY, size=n_terms),
    )


def moved_truth(rng: np.random.Generator, known: Truth, terms: Ints) -> Truth:
    """Return a truth in which some terms belong to a subclass of another class."""
    subclasses = known.subclasses.copy()
    for term in terms:
        others = np.flatnonzero(known.classes != known.classes[known.subclasses[term]])
        subclasses[term] = rng.choice(others)
    return replace(known, subclasses=subclasses)


def piles_of_subclasses(rng: np.random.Generator, known: Truth, granularity: float) -> Ints:
    """Return which subclasses one person puts together: classes kept, split, or merged."""
    chance = 1.0 / (1.0 + np.exp(-STEEP * (granularity + known.ripe - SPLIT_AT)))
    split = rng.random(len(chance)) < chance
    own = np.arange(len(known.classes))
    leader = np.array([own[known.classes == one][0] for one in range(len(chance))])
    piles = np.where(split[known.classes], own, leader[known.classes])
    distance = np.linalg.norm(known.places[:, None] - known.places[None], axis=2)
    merge = 1.0 / (1.0 + np.exp(STEEP * (granularity - MERGE_AT)))
    for one in rng.permutation(len(chance)):
        if split[one] or rng.random() >= merge:
            continue
        kept = np.flatnonzero(~split & (np.arange(len(chance)) != one))
        if len(kept):
            near = kept[np.argmin(distance[one, kept] + rng.gumbel(scale=0.2, size=len(kept)))]
            piles[piles == piles[leader[one]]] = piles[leader[near]]
    return piles


def sort_of(rng: np.random.Generator, known: Truth, person: Person) -> Ints:
    """Return one person's piles: the truth as finely as this person tells it, some terms astray."""
    mean, spread = KINDS[person.lumper]
    piles = piles_of_subclasses(rng, known, rng.normal(mean, spread))
    distance = np.linalg.norm(known.places[:, None] - known.places[None], axis=2)
    likeness = np.exp(-distance / NEARNESS)[np.ix_(known.classes, known.classes)]
    np.fill_diagonal(likeness, 0.0)
    seen = known.subclasses.copy()
    chance = np.minimum(known.difficulty * person.noise, MOST_ASTRAY)
    for term in np.flatnonzero(rng.random(len(seen)) < chance):
        weights = likeness[seen[term]]
        near = rng.random() < NEAR_SHARE
        seen[term] = (
            rng.choice(len(weights), p=weights / weights.sum())
            if near
            else rng.integers(len(weights))
        )
    return piles[seen]


NESTED = Make("nested", truth, moved_truth, sort_of)
