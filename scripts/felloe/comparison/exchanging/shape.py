"""Different or merely blurred? Terms that two populations place differently beyond noise."""

from dataclasses import dataclass

import numpy as np

from felloe.comparison.exchanging.matching import match_people, matched_contrasts
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.people.canonical_order import canonical_piles
from felloe.ground.people.pairs import PairVectors, filled, pair_vectors, person_covariances
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.permutation import permutation_p
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import upper

DRAWS = 3  # times the clearer population is blurred; medians are taken over them
SEARCHES = 8  # halvings of the share of terms astray: known to 0.4 % of the terms
MOST_ASTRAY = 0.95
CURVE = 3  # power of the curve in the pooled similarity that a blur may follow
FEWEST_LEFT = 3  # terms; fewer have no structure to differ in
CHUNK = 100  # permutations at a time, to bound memory; no result depends on it


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


def mean_agreement(vectors: PairVectors) -> float:
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
    if mean_agreement(pair_vectors(piles, prior)) <= agreement:
        return 0.0
    seeds = rng.integers(2**32, size=2)
    low, high = 0.0, MOST_ASTRAY
    for _ in range(SEARCHES):
        middle = (low + high) / 2.0
        # the same draws at every share, so that agreement falls with it
        tried = [blurred(np.random.default_rng(seed), piles, middle) for seed in seeds]
        found = [mean_agreement(pair_vectors(each, prior)) for each in tried]
        low, high = (middle, high) if sum(found) / 2.0 > agreement else (low, middle)
    return (low + high) / 2.0


class Differences:
    """
    Every term's difference along a contrast of people, beside permuted contrasts.

    What follows a smooth curve in the pooled similarity is taken out of the differences of pairs
    first: that is what a blur leaves, whichever way terms go astray.

    Parameters
    ----------
    vectors : PairVectors
    contrasts : (1 + permutations, n_people) array of float
        The observed contrast first.
    """

    def __init__(self, vectors: PairVectors, contrasts: Floats) -> None:
        usual = vectors.together.sum(axis=0) / np.maximum(vectors.placed.sum(axis=0), 1.0)
        self.n_terms = vectors.n_terms
        self.contrasts = contrasts
        # a pair that somebody did not place takes the share of all who did, and so says nothing
        self.sorts = np.where(vectors.placed > 0, vectors.together, usual)
        spread = float(usual.std())
        curve = (usual - usual.mean()) / (spread if spread > 1e-12 else 1.0)
        self.smooth = np.linalg.qr(np.stack([curve**power for power in range(CURVE + 1)], 1))[0]
        self.along = self.contrasts @ (self.sorts @ self.smooth)
        self.rows, self.columns = upper(self.n_terms)
        self.sums = self.sums_of_terms()

    def squares(self, contrasts: slice, pairs: Ints) -> Floats:
        """Return the squared differences of some pairs, for some of the contrasts."""
        apart = self.contrasts[contrasts] @ self.sorts[:, pairs]
        apart -= self.along[contrasts] @ self.smooth[pairs].T
        return np.asarray(apart**2, dtype=float)

    def sums_of_terms(self) -> Floats:
        """Return the sum of squared differences over each term's pairs, contrast by contrast."""
        every = np.arange(len(self.rows))
        of_terms = np.zeros((len(every), self.n_terms))
        of_terms[every, self.rows] = of_terms[every, self.columns] = 1.0
        starts = range(0, len(self.contrasts), CHUNK)
        parts = [self.squares(slice(start, start + CHUNK), every) @ of_terms for start in starts]
        return np.concatenate(parts)

    def leave_out(self, term: int) -> None:
        """Take a term's pairs out of the sums of the other terms."""
        pairs = np.flatnonzero((self.rows == term) | (self.columns == term))
        others = np.where(self.rows[pairs] == term, self.columns[pairs], self.rows[pairs])
        self.sums[:, others] -= self.squares(slice(None), pairs)

    def excess(self) -> Floats:
        """Return the sums in standard deviations above their means over all contrasts, rounded."""
        scale = self.sums.std(axis=0)
        above = (self.sums - self.sums.mean(axis=0)) / np.where(scale > 1e-12, scale, 1.0)
        return np.asarray(np.round(above, PRODUCT_DECIMALS), dtype=float)


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
    agreement = [mean_agreement(pair_vectors(piles[group], prior)) for group in (first, ~first)]
    clearer = first if agreement[0] >= agreement[1] else ~first
    astray = share_astray(piles[clearer], min(agreement), rng, prior)
    p_values, excess, matched = [], [], []
    for _ in range(DRAWS):
        levelled = piles.copy()
        levelled[clearer] = blurred(rng, piles[clearer], astray)
        matching = match_people(levelled, first, prior is not None)
        contrast, permuted = matched_contrasts(first, matching.sets, rng, permutations)
        contrasts = np.concatenate([contrast[None], permuted])
        of_terms = name_terms(Differences(pair_vectors(levelled), contrasts), level)
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
