"""Whether distances are like those of a tree, asked before any tree is built."""

import numpy as np

from felloe.ground.arrays import Floats


def delta_scores(D: Floats) -> tuple[float, Floats]:
    """
    Delta score of the distances and of each term.

    For every four terms the three ways of pairing them give three sums of distances; delta is
    (largest - middle) / (largest - smallest): 0 where the four fit a tree exactly, 1 where
    they are furthest from one. Four terms whose sums are all equal count as 0.

    Parameters
    ----------
    D : (N, N) array of float
        Symmetric, N >= 4.

    Returns
    -------
    mean : float
        Over all sets of four terms, 0 to 1.
    per_term : (N,) array of float
        Over the sets that hold the term.

    Raises
    ------
    ValueError
        With fewer than four terms.

    References
    ----------
    Holland, Huber, Dress & Moulton (2002), Molecular Biology and Evolution 19:2051-2059.
    """
    D = np.asarray(D, dtype=float)
    n_terms = len(D)
    if n_terms < 4:
        raise ValueError(f"delta scores need four terms, got {n_terms}")
    total, per_term, sets = 0.0, np.zeros(n_terms), 0
    for j in range(1, n_terms - 2):
        k, m = np.triu_indices(n_terms - j - 1, 1)
        k, m = k + j + 1, m + j + 1
        delta = _delta(D[:j, j, None] + D[k, m], D[:j, k] + D[j, m], D[:j, m] + D[j, k])
        of_pair = delta.sum(axis=0)
        total += of_pair.sum()
        sets += delta.size
        per_term[:j] += delta.sum(axis=1)
        per_term[j] += of_pair.sum()
        per_term += np.bincount(k, of_pair, n_terms) + np.bincount(m, of_pair, n_terms)
    sets_of_term = 4 * sets / n_terms
    return float(total / sets), per_term / sets_of_term


def _delta(first: Floats, second: Floats, third: Floats) -> Floats:
    largest = np.maximum(np.maximum(first, second), third)
    smallest = np.minimum(np.minimum(first, second), third)
    middle = np.maximum(np.minimum(first, second), np.minimum(np.maximum(first, second), third))
    spread = largest - smallest
    # sums that differ by the rounding of the distances only are equal
    delta: Floats = np.divide(
        largest - middle, spread, out=np.zeros(spread.shape), where=spread > 1e-9
    )
    return delta
