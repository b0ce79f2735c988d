"""How far two ways of dividing the same terms agree, beyond chance."""

import numpy as np

from felloe.ground.sorts import UNPLACED, membership


def pairs(counts):
    """Return how many pairs can be made among each of `counts` things."""
    counts = np.asarray(counts, dtype=float)
    return counts * (counts - 1.0) / 2.0


def adjusted_index(together_in_both, together_in_a, together_in_b, all_pairs):
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
    together_in_both, in_a, in_b, every = np.broadcast_arrays(
        together_in_both, together_in_a, together_in_b, all_pairs
    )
    told = (in_a > 0) & (in_a < every) & (in_b > 0) & (in_b < every)
    expected = np.divide(in_a * in_b, every, out=np.zeros(told.shape), where=told)
    most = (in_a + in_b) / 2.0
    index = np.zeros(told.shape)
    np.divide(together_in_both - expected, most - expected, out=index, where=told)
    return index


def adjusted_rand(a, b):
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
    a, b = np.asarray(a), np.asarray(b)
    if a.shape != b.shape or a.ndim != 1:
        raise ValueError(f"partitions of {a.shape} and {b.shape} terms can't be compared")
    placed = placed_terms(a) & placed_terms(b)
    _, a = np.unique(a[placed], return_inverse=True)
    _, b = np.unique(b[placed], return_inverse=True)
    if not len(a):
        return 0.0
    table = np.bincount(a * (b.max() + 1) + b)
    return float(
        adjusted_index(
            pairs(table).sum(),
            pairs(np.bincount(a)).sum(),
            pairs(np.bincount(b)).sum(),
            pairs(len(a)),
        )
    )


def placed_terms(labels):
    """Return which labels stand for a group; text always does."""
    if np.issubdtype(labels.dtype, np.number):
        return labels != UNPLACED
    return np.ones(labels.shape, dtype=bool)


def pairwise_adjusted_rand(piles):
    """
    Return the adjusted Rand index between every two participants.

    Each two are compared on the terms that both of them placed.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        `UNPLACED` where a term was not placed.

    Returns
    -------
    (n_participants, n_participants) array of float
        Symmetric; the diagonal is 1, or 0 for a participant of one pile or of singles only.
    """
    piles = np.asarray(piles)
    placed = (piles != UNPLACED).astype(np.float32)
    indicators = membership(piles)
    owners = np.repeat(
        np.arange(len(piles)), [len(np.unique(row[row != UNPLACED])) for row in piles]
    )
    shared = placed @ placed.T  # counts of zeros and ones are exact in single precision
    # sum over cells of n(n-1)/2 = (sum of squares - sum) / 2, the sum being the shared terms
    squares = summed_by_owner(np.square(indicators @ indicators.T, dtype=float), owners, len(piles))
    cells = summed_by_owner(squares.T, owners, len(piles))
    margins = summed_by_owner(np.square(indicators @ placed.T, dtype=float), owners, len(piles))
    together_in_both = (cells - shared) / 2.0
    together = (margins - shared) / 2.0
    return adjusted_index(together_in_both, together, together.T, pairs(shared))


def summed_by_owner(rows, owners, n_owners):
    """Add up the rows that belong to the same participant; `owners` is in ascending order."""
    total = np.zeros((n_owners, rows.shape[1]))
    present = np.unique(owners)
    if len(present):
        total[present] = np.add.reduceat(rows, np.searchsorted(owners, present), axis=0)
    return total
