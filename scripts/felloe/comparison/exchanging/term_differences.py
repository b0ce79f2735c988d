"""Which terms, and which pairs of terms, two populations place differently."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.people.counts import Counts
from felloe.ground.people.pairs import SomePairs
from felloe.ground.permutation import permutations_at, reached_p
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import condensed, upper
from felloe.ground.terms import check_same

if TYPE_CHECKING:
    from scipy.sparse import csr_array

NORMAL_QUANTILE = 1.959963984540054  # of 97.5 %
CHUNK = 64  # permutations at a time, so that they stay in the cache; no result depends on it
MOST_CELLS = 4_000_000  # permutations times pairs at a time; no result depends on it
MOST_INCIDENT = 2_000_000  # pairs times terms; more are summed over terms without a full table
TOLERANCE = 1e-9  # of equal differences that were added up in another order


@dataclass(frozen=True)
class TermDifferences:
    """
    Differences between two populations, per term and per pair of terms.

    Attributes
    ----------
    terms : (n_terms,) array of float
        Mean absolute difference over the other terms, 0 to 1.
    p_terms : (n_terms,) array of float
        Permutation p, adjusted for looking at every term (largest of all terms).
    pairs : (n_pairs,) array of float
        First population less second, -1 to 1.
    p_pairs : (n_pairs,) array of float
        Two-sided permutation p of each pair by itself; nan where only terms were tested.
    permutations : int
    """

    terms: Floats
    p_terms: Floats
    pairs: Floats
    p_pairs: Floats
    permutations: int


def pair_incidence(n_terms: int) -> Floats:
    """Return the (n_pairs, n_terms) matrix of ones where a pair holds a term."""
    first, second = upper(n_terms)
    incidence = np.zeros((len(first), n_terms))
    incidence[np.arange(len(first)), first] = 1.0
    incidence[np.arange(len(first)), second] = 1.0
    return incidence


def over_terms(n_terms: int) -> Callable[[Floats], Floats]:
    """Return what gives each term's mean over its pairs, row by row of pairs; rounded."""
    n_pairs = n_terms * (n_terms - 1) // 2
    if n_pairs * n_terms <= MOST_INCIDENT:
        incidence = pair_incidence(n_terms)
        return lambda rows: np.round(rows @ incidence / (n_terms - 1), PRODUCT_DECIMALS)
    sparse = sparse_incidence(n_terms)

    def means(rows: Floats) -> Floats:
        return np.asarray(np.round((sparse @ rows.T).T / (n_terms - 1), PRODUCT_DECIMALS))

    return means


def sparse_incidence(n_terms: int) -> "csr_array":
    """Return `pair_incidence`, terms by pairs, without its zeros."""
    from scipy.sparse import csr_array

    first, second = upper(n_terms)
    pairs = np.arange(len(first))
    at = np.concatenate([first, second]), np.concatenate([pairs, pairs])
    return csr_array((np.ones(2 * len(pairs)), at), shape=(n_terms, len(pairs)))


def largest_difference_test(
    differences: Callable[[Array], Floats],
    observed: Array,
    designs: Array,
    n_terms: int,
    each_pair: bool,
) -> TermDifferences:
    """
    Compare differences with those of permuted designs, term by term and pair by pair.

    Parameters
    ----------
    differences : callable
        From (k, n_people) rows of a design to (k, n_pairs) differences.
    observed : (n_people,) array
        The design as it is.
    designs : (permutations, n_people) array
        Permuted designs.
    n_terms : int
    each_pair : bool
        Whether pairs get a p of their own.

    Returns
    -------
    TermDifferences

    References
    ----------
    Westfall & Young (1993), Resampling-Based Multiple Testing (from memory).
    """
    of_terms = over_terms(n_terms)
    pairs = np.round(differences(observed[None, :]), PRODUCT_DECIMALS)[0]
    terms = of_terms(np.abs(pairs)[None])[0]
    larger_terms, larger_pairs = np.zeros(n_terms, dtype=int), np.zeros(len(pairs), dtype=int)
    nearly = np.abs(pairs) - TOLERANCE
    # rounded twice, and the permuted ones once: equal ones may lie a unit of rounding apart
    nearly_terms = terms - 1.5 * TOLERANCE
    chunk = max(1, min(CHUNK, MOST_CELLS // max(len(pairs), 1)))
    for part in np.split(designs, range(chunk, len(designs), chunk)):
        permuted = differences(part)
        np.abs(permuted, out=permuted)
        largest = of_terms(permuted).max(axis=1)
        larger_terms += (largest[:, None] >= nearly_terms).sum(axis=0)
        if each_pair:
            larger_pairs += (permuted >= nearly).sum(axis=0)
    p_terms, p_pairs = (
        np.array([reached_p(reached, len(designs)) for reached in larger.tolist()])
        for larger in (larger_terms, larger_pairs)
    )
    if not each_pair:
        p_pairs = np.full(len(pairs), np.nan)
    return TermDifferences(terms, p_terms, pairs, p_pairs, len(designs))


def term_differences(vectors: SomePairs, first: Bools, orders: Ints) -> TermDifferences:
    """
    Test every term's mean absolute difference, people being exchangeable between populations.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    first : (n_people,) array of bool
        Who belongs to the first population.
    orders : (permutations, n_people) array of int
        As returned by `label_tests.shuffled_people`.

    Returns
    -------
    TermDifferences
        A pair that nobody of one population placed counts as no difference.
    """

    permutations = permutations_at(vectors.n_pairs, len(orders))
    differences = differences_of(vectors, first)
    designs = first[orders[:permutations]]
    return largest_difference_test(differences, first, designs, vectors.n_terms, True)


def differences_of(vectors: SomePairs, first: Bools) -> Callable[[Array], Floats]:
    """
    Return what tells the differences of some groups of people, as large as `first`, to all others.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    first : (n_people,) array of bool
    """

    def differences(groups: Array) -> Floats:
        counts, by = vectors.counted(groups)
        if complete:
            alone = counts * n_people - everybody * n_first
            return np.asarray(alone / (n_first * (n_people - n_first)))
        others = placed_by - by
        unknown = (by == 0) | (others == 0)
        apart: Floats = counts / np.maximum(by, 1.0) - (everybody - counts) / np.maximum(
            others, 1.0
        )
        apart[unknown] = 0.0
        return apart

    n_people, n_first, complete = len(first), int(first.sum()), vectors.complete
    (everybody,), (placed_by,) = vectors.counted(np.ones((1, n_people)))
    return differences


def difference_of_pairs(vectors: SomePairs, first: Bools) -> Floats:
    """Return the difference of two populations for every pair of terms, as it is told."""
    apart = differences_of(vectors, first)(first[None, :])[0]
    return np.asarray(np.round(apart, PRODUCT_DECIMALS))


def described(tested: TermDifferences, pairs: Floats) -> TermDifferences:
    """
    Return differences between all people of two populations, with p of those who were drawn.

    Parameters
    ----------
    tested : TermDifferences
        Of the people drawn.
    pairs : (n_pairs,) array of float
        As returned by `difference_of_pairs` for everybody.
    """
    terms = over_terms(len(tested.terms))(np.abs(pairs)[None])[0]
    return replace(tested, terms=terms, pairs=pairs)


@dataclass(frozen=True)
class PairDifferences:
    """
    How differently two populations place each pair of terms: one entry per pair.

    Attributes
    ----------
    share_first, share_second : (n_pairs,) array of float
        Share of those who placed both terms and put them together; 0 where nobody did.
    difference, low, high : (n_pairs,) array of float
        First less second, with its 95 % interval.
    p, q_bh, q_by : (n_pairs,) array of float
        Permutation p, and false discovery rates by Benjamini and Hochberg (1995) and by
        Benjamini and Yekutieli (2001).
    """

    share_first: Floats
    share_second: Floats
    difference: Floats
    low: Floats
    high: Floats
    p: Floats
    q_bh: Floats
    q_by: Floats


def pair_differences(one: Counts, other: Counts, tested: TermDifferences) -> PairDifferences:
    """
    Put the difference of every pair of terms beside what it was counted from.

    Parameters
    ----------
    one, other : Counts
        Of the first and of the second population.
    tested : TermDifferences
        As returned by `term_differences`.

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If the counts are not about the same terms in the same order.
    """
    from scipy.stats import false_discovery_control

    check_same(one.terms, other.terms, "one population's counts", "the other's")
    together_a, together_b = condensed(one.together), condensed(other.together)
    both_a, both_b = np.maximum(condensed(one.both), 1), np.maximum(condensed(other.both), 1)
    low, high = newcombe_interval(together_a, both_a, together_b, both_b)
    return PairDifferences(
        share_first=together_a / both_a,
        share_second=together_b / both_b,
        difference=tested.pairs,
        low=np.round(low, PRODUCT_DECIMALS),
        high=np.round(high, PRODUCT_DECIMALS),
        p=tested.p_pairs,
        q_bh=false_discovery_control(tested.p_pairs, method="bh"),
        q_by=false_discovery_control(tested.p_pairs, method="by"),
    )


def newcombe_interval(
    count_a: Array, n_a: Array, count_b: Array, n_b: Array, z: float = NORMAL_QUANTILE
) -> tuple[Floats, Floats]:
    """
    Return the 95 % hybrid score interval of a difference of two shares.

    Parameters
    ----------
    count_a, n_a, count_b, n_b : array_like of int
        Successes and trials; every n at least 1.
    z : float
        Normal quantile.

    Returns
    -------
    low, high : array of float
        -1 to 1.

    References
    ----------
    Newcombe (1998), Statistics in Medicine 17:873-890, method 10 (number from memory).
    """
    share_a, low_a, high_a = wilson_interval(count_a, n_a, z)
    share_b, low_b, high_b = wilson_interval(count_b, n_b, z)
    difference = share_a - share_b
    low = difference - np.sqrt((share_a - low_a) ** 2 + (high_b - share_b) ** 2)
    high = difference + np.sqrt((high_a - share_a) ** 2 + (share_b - low_b) ** 2)
    return low, high


def wilson_interval(count: Array, n: Array, z: float) -> tuple[Floats, Floats, Floats]:
    """Return a share with the ends of its score interval (Wilson 1927)."""
    count, n = np.asarray(count, dtype=float), np.asarray(n, dtype=float)
    share = count / n
    centre = (count + z**2 / 2.0) / (n + z**2)
    half = z / (n + z**2) * np.sqrt(n * share * (1.0 - share) + z**2 / 4.0)
    return share, np.maximum(centre - half, 0.0), np.minimum(centre + half, 1.0)
