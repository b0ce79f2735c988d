"""From piles to counts to distances."""

import numpy as np

UNPLACED = -1  # missing, never "apart"
DECIMALS = 12  # distances are rounded once, here, so that equal fractions are equal numbers


def membership(piles):
    """
    Return one indicator row per pile of every participant.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        `UNPLACED` where a term was not placed.

    Returns
    -------
    (n_piles_of_all, n_terms) array of float32
        Zeros and ones.
    """
    rows = [row == pile for row in np.asarray(piles) for pile in np.unique(row[row != UNPLACED])]
    return np.array(rows, dtype=np.float32).reshape(len(rows), np.shape(piles)[1])


def count_cooccurrence(piles):
    """
    Count how many participants put two terms together, and how many placed both.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        Pile numbers, meaningful within a row only; `UNPLACED` where a term was not placed.

    Returns
    -------
    together, both : (n_terms, n_terms) array of int64
        Symmetric; `together <= both`; the diagonals count who placed the term.
    """
    indicators = membership(piles)
    placed = (np.asarray(piles) != UNPLACED).astype(np.float32)
    # sums of zeros and ones below 2**24 are exact in single precision
    together = np.rint(indicators.T @ indicators).astype(np.int64)
    both = np.rint(placed.T @ placed).astype(np.int64)
    return together, both


def similarity(together, both):
    """
    Return the share of those who placed both terms and put them together.

    Parameters
    ----------
    together, both : (n_terms, n_terms) array of int
        As returned by `count_cooccurrence`.

    Returns
    -------
    (n_terms, n_terms) array of float
        Symmetric, unit diagonal, values in [0, 1]; not rounded.

    Raises
    ------
    ValueError
        If some pair was never placed by one and the same participant.
    """
    if (both == 0).any():
        i, j = np.argwhere(both == 0)[0]
        raise ValueError(f"terms {i} and {j} were never placed by the same participant")
    return together / both


def rounded_dissimilarity(similar):
    """Return `1 - similar`, rounded once to `DECIMALS`, with a zero diagonal."""
    apart = np.round(1.0 - similar, DECIMALS)
    np.fill_diagonal(apart, 0.0)
    return apart


def dissimilarity(together, both):
    """
    Turn counts into the share of participants who kept two terms apart.

    Parameters
    ----------
    together, both : (n_terms, n_terms) array of int
        As returned by `count_cooccurrence`.

    Returns
    -------
    (n_terms, n_terms) array of float
        Symmetric, zero diagonal, values in [0, 1], rounded to `DECIMALS`.

    Raises
    ------
    ValueError
        If some pair was never placed by one and the same participant.

    References
    ----------
    Miller (1969), Journal of Mathematical Psychology 6:169-191 (from memory).
    """
    return rounded_dissimilarity(similarity(together, both))


def chart_dissimilarity(piles, populations, source, weights):
    """
    Return the distances that the chart is made from.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
    populations : sequence of str
        The population of each participant.
    source : str
        "pooled", or the population that the chart is for.
    weights : {"plain", "equal"}
        "equal" averages the populations' similarities, so that each weighs the same.

    Returns
    -------
    (n_terms, n_terms) array of float
        As `dissimilarity`.
    """
    populations = np.asarray(populations)
    if source != "pooled":
        return dissimilarity(*count_cooccurrence(np.asarray(piles)[populations == source]))
    if weights == "plain":
        return dissimilarity(*count_cooccurrence(piles))
    if weights != "equal":
        raise ValueError(f"weights are 'plain' or 'equal', not {weights!r}")
    parts = [
        similarity(*count_cooccurrence(np.asarray(piles)[populations == name]))
        for name in np.unique(populations)
    ]
    return rounded_dissimilarity(sum(parts) / len(parts))
