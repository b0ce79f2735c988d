"""Trees of redrawn participants as packed arrays."""

import io

import numpy as np

from felloe.ground.writing import write_bytes


def write_replicates(path, **arrays):
    """
    Write named arrays; the same arrays give the same bytes.

    Parameters
    ----------
    path : str or Path
    **arrays : array
        Without Python objects.
    """
    buffer = io.BytesIO()
    np.savez(buffer, **arrays)
    write_bytes(path, buffer.getvalue())


def read_replicates(path):
    """Return the arrays of one file as a dictionary."""
    with np.load(path, allow_pickle=False) as stored:
        return {name: stored[name] for name in stored.files}


def gather_parts(paths):
    """
    Read the parts of the bootstrap and put their trees in order.

    Parameters
    ----------
    paths : sequence of str or Path
        In any order.

    Returns
    -------
    merges : (R, N - 1, 2) array of int
        By number of the replicate.
    null_merges : (M, R', N - 1, 2) array of int
        By number of the permuted data set.
    scale_merges : (S, R'', N - 1, 2) array of int
        By scale, then by number; S is 0 if there are none.
    """
    parts = [read_replicates(path) for path in paths]

    def ordered(numbers, arrays, axis=0):
        order = np.argsort(np.concatenate([part[numbers] for part in parts]), kind="stable")
        return np.concatenate([part[arrays] for part in parts], axis=axis).take(order, axis=axis)

    return (
        ordered("numbers", "merges"),
        ordered("null_numbers", "null_merges"),
        ordered("scale_numbers", "scale_merges", axis=1),
    )
