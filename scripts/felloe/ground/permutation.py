"""The p-value of a permutation test: one rule, wherever something is permuted."""

import numpy as np

from felloe.ground.arrays import Array

MOST_DRAWN = 500_000_000  # permutations times pairs; of 9,999 fewer are drawn above 316 terms
FEWEST_DRAWN = 999  # permutations that there are whatever the pairs; smallest p is then 0.001


def permutation_p(observed: float, permuted: Array) -> float:
    """
    Return (b + 1) / (m + 1), b of m permuted values being at least as large as the observed.

    Parameters
    ----------
    observed : float
    permuted : (m,) array of float
        Rounded like the observed value, so that equal values compare as equal.

    Returns
    -------
    float
        1 / (m + 1) to 1: never 0.

    References
    ----------
    Phipson & Smyth (2010), Statistical Applications in Genetics and Molecular Biology 9:39
    (volume and number from memory).
    """
    return reached_p(int(np.count_nonzero(np.asarray(permuted) >= observed)), len(permuted))


def reached_p(reached: int, permutations: int) -> float:
    """Return (b + 1) / (m + 1) from the counts b and m themselves."""
    return (reached + 1) / (permutations + 1)


def permutations_at(n_pairs: int, asked: int) -> int:
    """Return the permutations of a test of all pairs: fewer where pairs are very many."""
    return min(asked, max(FEWEST_DRAWN, MOST_DRAWN // max(n_pairs, 1)))
