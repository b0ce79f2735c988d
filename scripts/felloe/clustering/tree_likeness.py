"""Whether distances are like those of a tree, asked before any tree is built."""

import numpy as np

from felloe.ground.arrays import Floats, Ints
from felloe.ground.randomness import Streams

PURPOSE = "delta"
# With more terms sets of four are drawn: three hundred have 330 million of them, a thousand 40,000
# million. So many for every term; an error below 0.005 leaves two decimals standing.
MOST_TERMS, DRAWS = 300, 10_000


def delta_error(n_terms: int) -> float | None:
    """Return the largest standard error that a term's score can have; None if none is drawn."""
    # a number from 0 to 1 varies by one half at most
    return 0.5 / DRAWS**0.5 if n_terms > MOST_TERMS else None


def delta_of_terms(D: Floats, streams: Streams) -> Floats:
    """
    Delta score of each term: of all sets of four, or above `MOST_TERMS` of a sample of them.

    Parameters
    ----------
    D : (N, N) array of float
        As for `delta_scores`.
    streams : Streams

    Returns
    -------
    (N,) array of float
    """
    return sampled_scores(D, streams, DRAWS)[0] if len(D) > MOST_TERMS else delta_scores(D)[1]


def sampled_scores(D: Floats, streams: Streams, draws: int) -> tuple[Floats, Floats]:
    """
    Estimate the delta score of every term from sets of four drawn for it.

    Parameters
    ----------
    D : (N, N) array of float
        As for `delta_scores`.
    streams : Streams
        Each term's sets are keyed by its number.
    draws : int
        Sets of each term, with replacement.

    Returns
    -------
    per_term : (N,) array of float
        Unbiased: every set that holds the term is as likely as any other.
    error : (N,) array of float
        Monte-Carlo standard errors.
    """
    per_term, error = np.empty(len(D)), np.empty(len(D))
    for i in range(len(D)):
        j, k, m = others_drawn(streams.generator(PURPOSE, i), i, len(D), draws)
        delta = _delta(D[i, j] + D[k, m], D[i, k] + D[j, m], D[i, m] + D[j, k])
        per_term[i], error[i] = delta.mean(), delta.std() / draws**0.5
    return per_term, error


def others_drawn(rng: np.random.Generator, term: int, n_terms: int, draws: int) -> list[Ints]:
    """Return three different terms beside one, (draws,) of int each; all sets alike likely."""
    taken, found = np.full((draws, 1), term), []
    for _ in range(3):
        one = rng.integers(n_terms - taken.shape[1], size=draws)
        for gone in np.sort(taken, axis=1).T:
            one += one >= gone
        taken = np.column_stack([taken, one])
        found.append(one)
    return found


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
