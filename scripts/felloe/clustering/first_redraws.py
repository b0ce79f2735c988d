"""Distances of redrawn participants, pair by pair."""

import numpy as np

from felloe.clustering.redraws import PURPOSE, DrawDistances, draw


def redrawn_distances(basis, streams, replicates):
    """
    Measure the first redraws of the bootstrap.

    Parameters
    ----------
    basis : felloe.clustering.redraws.Basis
    streams : Streams
    replicates : int

    Returns
    -------
    (replicates, n_pairs) array of float
        Upper triangle of the distances of each redraw, row by row.
    """
    counts = np.array([draw(basis, streams, number, PURPOSE)[0] for number in range(replicates)])
    measure = DrawDistances(basis, len(basis.piles))
    return measure(counts)[:, measure.position]
