"""Sorts made up for tests, with a known structure or none."""

import numpy as np
from felloe.ground.distances import rounded_dissimilarity
from felloe.ground.people.counts import similarity

UNPLACED = -1


def planted_piles(n_participants, n_classes, size, noise, seed, splitting=0.5):
    """
    Return piles of participants who see the same classes, and the class of every term.

    Each moves a term to another pile with probability `noise`; a share `splitting` of the
    participants divide every class in two.
    """
    rng = np.random.default_rng(seed)
    classes = np.repeat(np.arange(n_classes), size)
    halves = np.tile(np.arange(size) % 2, n_classes)
    piles = np.empty((n_participants, len(classes)), dtype=int)
    for person in range(n_participants):
        own = 2 * classes + (halves if rng.random() < splitting else 0)
        moved = rng.random(len(classes)) < noise
        own[moved] = 2 * rng.integers(n_classes, size=moved.sum())
        piles[person] = own
    return piles, classes


def patchy(piles, share, seed):
    """Return the piles with a share of the terms left unplaced by some participants."""
    patched = piles.copy()
    patched[np.random.default_rng(seed).random(piles.shape) < share] = UNPLACED
    return patched


def populations_of(n_participants):
    """Return two populations of unequal size, mixed."""
    return np.array(["panel" if person % 3 == 0 else "makers" for person in range(n_participants)])


def dissimilarity(together, both):
    """Return the share of participants who kept two terms apart, from `count_cooccurrence`."""
    return rounded_dissimilarity(similarity(together, both))
