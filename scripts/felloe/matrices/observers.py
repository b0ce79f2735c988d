"""How many people stand behind each pair of terms, where everybody was shown some terms."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from felloe.ground.counts import Counts
from felloe.ground.squares import condensed


def observers_record(counts: Mapping[str, Counts], prior: float) -> dict[str, Any]:
    """
    Return how many people placed both terms of a pair, population by population.

    Parameters
    ----------
    counts : mapping of str to Counts
    prior : float
        Observers that every pair has at the mean.

    Returns
    -------
    dict
        The content of `matrices/observers.json`.
    """
    return {
        "prior": prior,
        "populations": {name: observers_of(one) for name, one in counts.items()},
    }


def observers_of(counts: Counts) -> dict[str, Any]:
    """Return the least, median and largest number of observers of a pair, and unseen pairs."""
    both = condensed(counts.both)
    return {
        "least": int(both.min()),
        "median": float(np.median(both)),
        "largest": int(both.max()),
        "pairs": len(both),
        "unseen_pairs": int((both == 0).sum()),
        "unseen_share": float((both == 0).mean()),
    }


def unseen_rows(counts: Mapping[str, Counts]) -> list[tuple[str, str, str]]:
    """Return the rows of `matrices/unseen.csv`: population, term, other term."""
    return [(name, *pair) for name, one in counts.items() for pair in one.unseen]
