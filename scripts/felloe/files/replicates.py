"""Trees of redrawn participants as packed arrays."""

import io

import numpy as np

from felloe.files.atomic import write_bytes


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
