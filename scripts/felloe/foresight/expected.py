"""What the sorts of invented people give: reliability, and the groups that come back."""

from dataclasses import dataclass

import numpy as np

from felloe.foresight.assumptions import Truth
from felloe.ground.arrays import Array, Floats
from felloe.ground.correlation import correlation
from felloe.ground.distances import rounded_dissimilarity
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.counts import count_cooccurrence, similarity
from felloe.ground.people.halves import FEWEST_FOR_HALVES, spearman_brown
from felloe.ground.squares import condensed


@dataclass(frozen=True)
class Recovery:
    """
    How far the groups of the truth come back.

    Attributes
    ----------
    classes, subclasses : float
        Adjusted Rand index of the tree, cut at the true number, with the truth.
    """

    classes: float
    subclasses: float


def shares_of(piles: Array, prior: float | None) -> Floats:
    """
    Return the shares of people who put two terms together.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    prior : float or None
        Further observers of every pair, who stand at the mean share; None where everybody sorted
        the whole lexicon.
    """
    return similarity(*count_cooccurrence(piles), prior)


def recovery(piles: Array, truth: Truth, prior: float | None, linkage: str) -> Recovery:
    """
    Return how far a study of these sorts gives back the truth.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    truth : Truth
    prior : float or None
    linkage : str

    Returns
    -------
    Recovery
    """
    tree = build_tree(rounded_dissimilarity(shares_of(piles, prior)), linkage)
    classes, subclasses = truth.numbers
    return Recovery(
        adjusted_rand(cut(tree, classes), truth.classes),
        adjusted_rand(cut(tree, subclasses), truth.subclasses),
    )


def half_correlation(rng: np.random.Generator, piles: Array, prior: float | None) -> float:
    """
    Return the correlation between the shares of two random halves of some people.

    Parameters
    ----------
    rng : numpy.random.Generator
    piles : (n_people, n_terms) array of int
    prior : float or None

    Returns
    -------
    float
        nan below `FEWEST_FOR_HALVES` people.
    """
    if len(piles) < FEWEST_FOR_HALVES:
        return float("nan")
    order = rng.permutation(len(piles))
    half = len(piles) // 2
    one, other = (
        condensed(shares_of(piles[people], prior)) for people in (order[:half], order[half:])
    )
    return correlation(one, other)


def reliability(rng: np.random.Generator, piles: Array, prior: float | None) -> float:
    """Return the correlation of two random halves, stepped up to all people (Spearman, Brown)."""
    return spearman_brown(half_correlation(rng, piles, prior))
