"""How many people stand behind each pair of terms, where everybody was shown some terms."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from felloe.ground.arrays import Array
from felloe.ground.people.counts import Counts
from felloe.ground.people.sorts import POOLED
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
    """Return the least, median, largest and effective number of observers, and unseen pairs."""
    both = condensed(counts.both)
    return {
        "least": int(both.min()),
        "median": float(np.median(both)),
        "largest": int(both.max()),
        "effective": effective_observers(both),
        "pairs": len(both),
        "unseen_pairs": int((both == 0).sum()),
        "unseen_share": float((both == 0).mean()),
    }


def effective_observers(both: Array) -> float:
    """
    Return how many observers of every pair would leave the distances as noisy as these do.

    The variance of a distance that n people tell is about D (1 - D) / n, so it is the mean of 1 / n
    over pairs that counts. One more observer of each pair, whatever the prior, keeps those that
    nobody saw from counting as endless noise: they take the mean.

    Parameters
    ----------
    both : (n_pairs,) array of int
        People who placed both terms of each pair.
    """
    return float(1.0 / np.mean(1.0 / (np.asarray(both) + 1.0)) - 1.0)


def averaged_observers(effective: Sequence[float]) -> float:
    """
    Return the effective observers where populations are averaged, each by its own shares.

    The variance of a mean of P populations is the sum of theirs over P squared.

    Parameters
    ----------
    effective : sequence of float
        Of each population alone.
    """
    number = len(effective)
    return number * (number / sum(1.0 / (one + 1.0) for one in effective) - 1.0)


def charted_observers(
    populations: Mapping[str, Mapping[str, Any]], source: str, weights: str
) -> float:
    """
    Return the effective observers behind the distances of the chart.

    Parameters
    ----------
    populations : mapping
        As in `matrices/observers.json`.
    source, weights : str
        As in `comparison/chart.json`; see `felloe.matrices.distances.chart_distances`.
    """
    if source != POOLED or weights == "plain":
        return float(populations[source]["effective"])
    return averaged_observers(
        [one["effective"] for name, one in populations.items() if name != POOLED]
    )


def unseen_rows(counts: Mapping[str, Counts]) -> list[tuple[str, str, str]]:
    """Return the rows of `matrices/unseen.csv`: population, term, other term."""
    return [(name, *pair) for name, one in counts.items() for pair in one.unseen]
