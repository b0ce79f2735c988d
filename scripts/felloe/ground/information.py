"""How much two ways of dividing the same terms tell about each other, in information."""

import numpy as np

from felloe.ground.contingency import contingency


def entropy(counts):
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


def mutual_information(a, b):
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
    table = contingency(a, b)
    margins = entropy(table.sum(axis=1)) + entropy(table.sum(axis=0))
    return max(0.0, margins - entropy(table))


def variation_of_information(a, b):
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
    table = contingency(a, b)
    margins = entropy(table.sum(axis=1)) + entropy(table.sum(axis=0))
    return max(0.0, 2.0 * entropy(table) - margins)


def expected_mutual_information(table):
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
    from scipy.special import gammaln

    rows, columns = np.asarray(table).sum(axis=1), np.asarray(table).sum(axis=0)
    total = int(rows.sum())
    log_factorial = gammaln(np.arange(total + 1) + 1.0)
    expected = 0.0
    for row in rows:
        for column in columns:
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
            expected += float(np.sum(information * np.exp(log_probability)))
    return expected


def adjusted_mutual_information(a, b):
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
