"""Different or merely blurred? Terms that two populations place differently beyond noise."""

from dataclasses import dataclass

import numpy as np

from felloe.comparison.exchanging.differences import Differences, differences_along
from felloe.comparison.exchanging.matching import match_people, matched_contrasts
from felloe.ground.arrays import Array, Bools, Floats
from felloe.ground.people.canonical_order import canonical_piles
from felloe.ground.people.counted_pairs import pairs_of
from felloe.ground.people.pairs import SomePairs, filled, person_covariances
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.permutation import permutation_p, permutations_at
from felloe.ground.rounding import PRODUCT_DECIMALS

DRAWS = 3  # times the clearer population is blurred; medians are taken over them
SEARCHES = 8  # halvings of the share of terms astray: known to 0.4 % of the terms
MOST_ASTRAY = 0.95
FEWEST_LEFT = 3  # terms; fewer have no structure to differ in


@dataclass(frozen=True)
class ShapeTest:
    """
    Whether two populations differ in more than granularity and noise.

    Attributes
    ----------
    p_value : float
        Smallest of the terms' p.
    p_terms : (n_terms,) array of float
        Permutation p of each term, allowing for looking at every term (max-T).
    excess : (n_terms,) array of float
        How far each term's difference lies above what permutations give, in their standard
        deviations.
    first_is_clearer : bool
        Which population's people agree more with one another.
    astray : float
        Share of terms that the clearer population's people had to misplace to agree as little as
        the other's: what a difference of noise alone amounts to.
    n_matched : int
        People behind the test.
    permutations : int
    """

    p_value: float
    p_terms: Floats
    excess: Floats
    first_is_clearer: bool
    astray: float
    n_matched: int
    permutations: int


def mean_agreement(vectors: SomePairs) -> float:
    """Return the mean covariance between two different people, rounded; their shared signal."""
    covariances = filled(person_covariances(vectors))
    n = len(covariances)
    total = float(covariances.sum() - np.trace(covariances))
    return round(total / max(n * (n - 1), 1), PRODUCT_DECIMALS)


def blurred(rng: np.random.Generator, piles: Array, share: float) -> Array:
    """
    Misplace a share of each person's terms: each goes to one of the person's piles at random.

    Parameters
    ----------
    rng : numpy.random.Generator
    piles : (n_people, n_terms) array of int
        Numbered from 0 for each person; `UNPLACED` stays so.
    share : float
        0 to 1.

    Returns
    -------
    (n_people, n_terms) array of int
    """
    astray = (rng.random(piles.shape) < share) & (piles != UNPLACED)
    anywhere = np.floor(rng.random(piles.shape) * (piles.max(axis=1, keepdims=True) + 1))
    return np.where(astray, anywhere.astype(piles.dtype), piles)


def share_astray(
    piles: Array, agreement: float, rng: np.random.Generator, prior: float | None = None
) -> float:
    """
    Find the share of terms to misplace so that people agree as little as asked.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
        Of the clearer population, numbered from 0.
    agreement : float
        Mean covariance between two people to come down to.
    rng : numpy.random.Generator
    prior : float, optional
        Of partial sorts.

    Returns
    -------
    float
        0 to `MOST_ASTRAY`; 0 where they agree no more than that as they are.
    """
    if mean_agreement(pairs_of(piles, prior)) <= agreement:
        return 0.0
    seeds = rng.integers(2**32, size=2)
    low, high = 0.0, MOST_ASTRAY
    for _ in range(SEARCHES):
        middle = (low + high) / 2.0
        # the same draws at every share, so that agreement falls with it
        tried = [blurred(np.random.default_rng(seed), piles, middle) for seed in seeds]
        found = [mean_agreement(pairs_of(each, prior)) for each in tried]
        low, high = (middle, high) if sum(found) / 2.0 > agreement else (low, middle)
    return (low + high) / 2.0


def name_terms(differences: Differences, level: float) -> tuple[Floats, Floats]:
    """
    Find the terms that differ, one after the other, the most different first.

    A term that moved makes each of its pairs differ, and so its old and new neighbours seem to
    have moved too. So the most different term is named and its pairs are taken out, as long as
    its difference is larger than what all but a share `level` of the permutations give any term.

    Parameters
    ----------
    differences : Differences
    level : float

    Returns
    -------
    p_terms, excess : (n_terms,) array of float
        As in `ShapeTest`; of named terms when they were named, of the others at the end. p never
        falls from one named term to the next.
    """
    n = differences.n_terms
    p_terms, excess = np.ones(n), np.zeros(n)
    left, reached = np.ones(n, dtype=bool), 0.0
    while left.sum() > FEWEST_LEFT:
        above = differences.excess()
        largest = above[1:, left].max(axis=1)
        p_values = [permutation_p(one, largest) for one in above[0, left]]
        p_terms[left], excess[left] = np.maximum(p_values, reached), above[0, left]
        worst = int(np.flatnonzero(left)[np.argmax(above[0, left])])
        reached = float(p_terms[worst])
        if reached > level:
            break
        left[worst] = False
        differences.leave_out(worst)
    return p_terms, excess


def shape_test(
    piles: Array,
    first: Bools,
    rng: np.random.Generator,
    permutations: int,
    level: float,
    prior: float | None = None,
) -> ShapeTest:
    """
    Test whether single terms are placed differently, beyond granularity and beyond noise.

    People who sort less carefully blur a structure without changing it, and blur looks like a
    difference to any test of means. So the population whose people agree more is blurred until
    its people agree as little as the other's; then people are matched by granularity, and
    memberships shuffled within matched sets. A term's difference is compared with the largest
    that shuffling gives any term.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    first : (n_people,) array of bool
    rng : numpy.random.Generator
    permutations : int
        Fewer where pairs of terms are very many (`permutations_at`).
    level : float
        At which a term is named.
    prior : float, optional
        Of partial sorts.

    Returns
    -------
    ShapeTest
        Median over `DRAWS` blurs; p of 1 where nobody can be matched.

    References
    ----------
    The max-T correction is that of Westfall & Young (1993), Resampling-Based Multiple Testing
    (from memory). The blur and the curve are this project's own; calibration in DEVELOPERS.md.
    """
    piles = canonical_piles(piles)
    n_terms = piles.shape[1]
    permutations = permutations_at(n_terms * (n_terms - 1) // 2, permutations)
    agreement = [mean_agreement(pairs_of(piles[group], prior)) for group in (first, ~first)]
    clearer = first if agreement[0] >= agreement[1] else ~first
    astray = share_astray(piles[clearer], min(agreement), rng, prior)
    p_values, excess, matched = [], [], []
    for _ in range(DRAWS):
        levelled = piles.copy()
        levelled[clearer] = blurred(rng, piles[clearer], astray)
        matching = match_people(levelled, first, prior is not None)
        contrast, permuted = matched_contrasts(first, matching.sets, rng, permutations)
        contrasts = np.concatenate([contrast[None], permuted])
        of_terms = name_terms(differences_along(pairs_of(levelled), contrasts), level)
        p_values.append(of_terms[0])
        excess.append(of_terms[1])
        matched.append(matching.n_matched)
    p_terms = np.median(p_values, axis=0)
    return ShapeTest(
        float(p_terms.min()),
        p_terms,
        np.median(excess, axis=0),
        bool(agreement[0] >= agreement[1]),
        astray,
        int(np.median(matched)),
        permutations,
    )
