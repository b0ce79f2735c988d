"""How coarsely people sort: numbers of piles, shares of pairs together, and their quartiles."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from felloe.ground.arrays import Array, Ints
from felloe.ground.sorts import POOLED, UNPLACED

# columns of participants.csv; the share of pairs together is `ground.pairs.pair_shares`
MEASURES = ("n_piles", "n_single_piles", "largest_pile_share", "pairs_together_share")


def numbers_of_piles(piles: Array) -> Ints:
    """
    Return the number of piles of every person.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
        `UNPLACED` where a term was not placed.

    Returns
    -------
    (n_people,) array of int
    """
    numbers = [len(np.unique(row[row != UNPLACED])) for row in np.asarray(piles)]
    return np.array(numbers, dtype=np.int64)


def summaries(people: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """
    Summarise `MEASURES` of some people, population by population and pooled.

    Parameters
    ----------
    people : sequence of dict
        Rows of `validation/participants.csv` of those who are kept.

    Returns
    -------
    list of dict
        Rows of `validation/granularity.csv`; `sd` is the sample standard deviation, nan for one
        person.
    """
    groups = {
        name: [person for person in people if person["population"] == name]
        for name in sorted({person["population"] for person in people})
    }
    return [
        {"population": population, "measure": measure, **summary(measure, members)}
        for population, members in {**groups, POOLED: people}.items()
        for measure in MEASURES
    ]


def summary(measure: str, members: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Return the mean, the spread and the quartiles of one measure of some people."""
    values = np.array([person[measure] for person in members], dtype=float)
    least, lower, median, upper, most = np.quantile(values, [0, 0.25, 0.5, 0.75, 1]).tolist()
    return {
        "n": len(values),
        "mean": float(values.mean()),
        "sd": float(values.std(ddof=1)) if len(values) > 1 else np.nan,
        "minimum": least,
        "lower_quartile": lower,
        "median": median,
        "upper_quartile": upper,
        "maximum": most,
    }
