"""How far two ways of dividing the same terms agree: in pairs of terms, and in information."""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from felloe.ground.arrays import Array, Bools, Floats
from felloe.ground.groups.contingency import contingency
from felloe.ground.people.sorts import UNPLACED


def pairs(counts: ArrayLike) -> Floats:
    """Return how many pairs can be made among each of `counts` things."""
    numbers = np.asarray(counts, dtype=float)
    return np.asarray(numbers * (numbers - 1.0) / 2.0)


def adjusted_index(
    together_in_both: ArrayLike,
    together_in_a: ArrayLike,
    together_in_b: ArrayLike,
    all_pairs: ArrayLike,
) -> Floats:
    """
    Return the adjusted Rand index from numbers of pairs.

    Where one of the two puts every pair together, or none, nothing can be told and the index
    is 0, also between two such partitions.

    Parameters
    ----------
    together_in_both, together_in_a, together_in_b, all_pairs : array_like of number
        Pairs of terms put together by both, by the first, by the second, and all pairs.

    Returns
    -------
    array of float
        At most 1; 0 is what chance gives.

    References
    ----------
    Hubert & Arabie (1985), Journal of Classification 2:193-218, equation 5 (number from memory).
    """
    in_both, in_a, in_b, every = np.broadcast_arrays(
        together_in_both, together_in_a, together_in_b, all_pairs
    )
    told = (in_a > 0) & (in_a < every) & (in_b > 0) & (in_b < every)
    expected = np.divide(in_a * in_b, every, out=np.zeros(told.shape), where=told)
    most = (in_a + in_b) / 2.0
    index = np.zeros(told.shape)
    np.divide(in_both - expected, most - expected, out=index, where=told)
    return index


def adjusted_rand(a: ArrayLike, b: ArrayLike) -> float:
    """
    Return the adjusted Rand index of two partitions of the same terms.

    Terms that either of them did not place are left out. A partition of singles, or of one
    pile, says nothing about which terms belong together: its index with anything is 0, with
    itself too.

    Parameters
    ----------
    a, b : (n_terms,) array_like
        Labels of groups: integers, `UNPLACED` where a term was not placed, or text.

    Returns
    -------
    float
        At most 1 (the same partition); 0 is what chance gives.

    Raises
    ------
    ValueError
        If the two are not of one length.

    References
    ----------
    Hubert & Arabie (1985), Journal of Classification 2:193-218.
    """
    one, other = np.asarray(a), np.asarray(b)
    if one.shape != other.shape or one.ndim != 1:
        raise ValueError(f"partitions of {one.shape} and {other.shape} terms can't be compared")
    placed = placed_terms(one) & placed_terms(other)
    if not placed.any():
        return 0.0
    table = contingency(one[placed], other[placed])
    in_one, in_other = pairs(table.sum(axis=1)).sum(), pairs(table.sum(axis=0)).sum()
    return float(adjusted_index(pairs(table).sum(), in_one, in_other, pairs(table.sum())))


def placed_terms(labels: Array) -> Bools:
    """Return which labels stand for a group; text always does."""
    if np.issubdtype(labels.dtype, np.number):
        return np.asarray(labels != UNPLACED)
    return np.ones(labels.shape, dtype=bool)


def entropy(counts: ArrayLike) -> float:
    """
    Return the entropy of a division of things into groups.

    Parameters
    ----------
    counts : array_like of int
        How many things each group holds.

    Returns
    -------
    float
        In nats, from 0 (one group) to the logarithm of the number of groups.
    """
    shares = np.asarray(counts, dtype=float).ravel()
    shares = shares[shares > 0] / shares.sum()
    return float(max(0.0, -np.sum(shares * np.log(shares))))


def joint_and_margins(a: ArrayLike, b: ArrayLike) -> tuple[float, float]:
    """Return the joint entropy of two partitions, and the sum of the entropies of the two."""
    table = contingency(a, b)
    return entropy(table), entropy(table.sum(axis=1)) + entropy(table.sum(axis=0))


def mutual_information(a: ArrayLike, b: ArrayLike) -> float:
    """
    Return the mutual information of two partitions of the same terms.

    Parameters
    ----------
    a, b : (n_terms,) array_like
        Labels of groups.

    Returns
    -------
    float
        In nats, from 0 (neither tells anything about the other).
    """
    joint, margins = joint_and_margins(a, b)
    return max(0.0, margins - joint)


def variation_of_information(a: ArrayLike, b: ArrayLike) -> float:
    """
    Return the distance between two partitions of the same terms.

    Parameters
    ----------
    a, b : (n_terms,) array_like
        Labels of groups.

    Returns
    -------
    float
        In nats, from 0 (the same partition) to the logarithm of the number of terms.

    References
    ----------
    Meila (2007), Journal of Multivariate Analysis 98:873-895 (pages from memory).
    """
    joint, margins = joint_and_margins(a, b)
    return max(0.0, 2.0 * joint - margins)


def expected_mutual_information(table: ArrayLike) -> float:
    """
    Return the mean mutual information over all tables with the same margins.

    Parameters
    ----------
    table : (n_groups_a, n_groups_b) array of int

    Returns
    -------
    float
        In nats, under the hypergeometric model: one partition's labels are dealt at random.

    References
    ----------
    Vinh, Epps & Bailey (2010), Journal of Machine Learning Research 11:2837-2854, equation 24a
    (number from memory).
    """
    rows, columns = np.asarray(table).sum(axis=1), np.asarray(table).sum(axis=0)
    total, expected = int(rows.sum()), 0.0
    for row in rows.tolist():
        for column in columns.tolist():
            expected += information_by_chance(row, column, total)
    return expected


@lru_cache(maxsize=2**16)
def information_by_chance(row: int, column: int, total: int) -> float:
    """Return what two groups of these sizes add to the mutual information of chance, in nats."""
    log_factorial = log_factorials(total)
    cell = np.arange(max(1, row + column - total), min(row, column) + 1)
    log_probability = (
        log_factorial[row]
        + log_factorial[column]
        + log_factorial[total - row]
        + log_factorial[total - column]
        - log_factorial[total]
        - log_factorial[cell]
        - log_factorial[row - cell]
        - log_factorial[column - cell]
        - log_factorial[total - row - column + cell]
    )
    information = cell / total * np.log(total * cell / (row * column))
    return float(np.sum(information * np.exp(log_probability)))


@lru_cache(maxsize=8)
def log_factorials(most: int) -> Floats:
    """Return the logarithms of the factorials from 0 on."""
    from scipy.special import gammaln

    found: Floats = gammaln(np.arange(most + 1) + 1.0)
    return found


def adjusted_mutual_information(a: ArrayLike, b: ArrayLike) -> float:
    """
    Return the mutual information of two partitions, corrected for chance.

    Parameters
    ----------
    a, b : (n_terms,) array_like
        Labels of groups.

    Returns
    -------
    float
        1 for the same partition; 0 is what chance gives. Normalised by the larger entropy.
        0 where one of the two has a single group, or singles only: such a one tells nothing.

    References
    ----------
    Vinh, Epps & Bailey (2010), Journal of Machine Learning Research 11:2837-2854 (AMI max).
    """
    table = contingency(a, b)
    n_terms = table.sum()
    if min(table.shape) == 1 or max(table.shape) == n_terms:
        return 0.0
    expected = expected_mutual_information(table)
    largest = max(entropy(table.sum(axis=1)), entropy(table.sum(axis=0)))
    return (mutual_information(a, b) - expected) / (largest - expected)
