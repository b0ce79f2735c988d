"""How coarsely people sort: numbers of piles, shares of pairs together, and their quartiles."""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from math import comb
from typing import Any

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.people.small_cells import is_small, told_quantile
from felloe.ground.people.sorts import POOLED, UNPLACED
from felloe.ground.rounding import PRODUCT_DECIMALS

# columns of participants.csv; the share of pairs together is `ground.pairs.pair_shares`
QUARTILES = {"lower_quartile": 0.25, "median": 0.5, "upper_quartile": 0.75}
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
    return np.array([len(sizes) for sizes in pile_sizes(piles)], dtype=np.int64)


def pile_sizes(piles: Array) -> list[Ints]:
    """Return how many terms lie in each pile of every person, piles in the order of their codes."""
    return [np.unique(row[row != UNPLACED], return_counts=True)[1] for row in np.asarray(piles)]


def least_placed(sizes: Sequence[Ints]) -> int:
    """Return the least number of terms that anybody placed, 1 at least."""
    return max(1, min((int(own.sum()) for own in sizes), default=1))


def expected_piles(sizes: Ints, number: int) -> Floats:
    """
    Return how many piles some of a person's terms, drawn at random, would be seen to lie in.

    Parameters
    ----------
    sizes : (n_piles,) array of int
        Terms in each pile of the person.
    number : int
        Terms drawn, from 1 to those there are.

    Returns
    -------
    (number,) array of float
        Expected piles of 1, 2 ... `number` of the drawn terms.

    References
    ----------
    Hurlbert (1971), Ecology 52:577-586 (rarefaction; from memory).
    """
    own = np.asarray(sizes).tolist()
    placed = sum(own)
    found: Floats = np.sum([chances_of_holding(size, placed, number) for size in own], axis=0)
    return found


@lru_cache(maxsize=4096)
def chances_of_holding(size: int, placed: int, number: int) -> Floats:
    """Return the chances that 1, 2 ... `number` of so many drawn terms lie in a pile of `size`."""
    ways, chances = comb(placed, number), np.zeros(number)
    for held in range(1, min(size, number) + 1):
        chances[held - 1] = comb(size, held) * comb(placed - size, number - held) / ways
    return chances


def piles_at_equal_number(sizes: Sequence[Ints]) -> list[Floats]:
    """Return everybody's expected piles of the least number of terms that anybody placed."""
    least = least_placed(sizes)
    return [expected_piles(own, least) for own in sizes]


def numbers_at_equal_number(piles: Array) -> Floats:
    """Return everybody's number of piles as of the least number of terms that anybody placed."""
    numbers = [float(held.sum()) for held in piles_at_equal_number(pile_sizes(piles))]
    return np.round(np.array(numbers, dtype=float), PRODUCT_DECIMALS)


def sizes_told(people: Sequence[Mapping[str, Any]]) -> list[Ints]:
    """Return how many terms lie in each pile, as rows of `validation/participants.csv` tell."""
    return [np.array(str(person["pile_sizes"]).split(";"), dtype=int) for person in people]


def at_equal_number(people: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """
    Return people whose numbers of piles can be compared where each was shown some terms.

    Parameters
    ----------
    people : sequence of dict
        Rows of `validation/participants.csv` of those who are kept.

    Returns
    -------
    list of dict
        The same rows; `n_piles` and `n_single_piles` are expected ones of the least number of terms
        that any of them placed (`expected_piles`). Shares do not hang on the number.
    """
    expected = piles_at_equal_number(sizes_told(people))
    found = [np.round(held, PRODUCT_DECIMALS) for held in expected]
    return [
        {**person, "n_piles": float(held.sum()), "n_single_piles": float(held[0])}
        for person, held in zip(people, found, strict=True)
    ]


def summaries(people: Sequence[Mapping[str, Any]], least: int) -> list[dict[str, Any]]:
    """
    Summarise `MEASURES` of some people, population by population and pooled.

    Parameters
    ----------
    people : sequence of dict
        Rows of `validation/participants.csv` of those who are kept.
    least : int
        People that a number has to tell of.

    Returns
    -------
    list of dict
        Rows of `validation/granularity.csv`; see `summary`. Where a population is too small to be
        told of, all of them together are not told of either, since the others would give it away.
    """
    groups = {
        name: [person for person in people if person["population"] == name]
        for name in sorted({person["population"] for person in people})
    }
    gone = any(is_small(len(members), least) for members in groups.values())
    rows = [
        {"population": population, "measure": measure, **summary(measure, members, least)}
        for population, members in {**groups, POOLED: people}.items()
        for measure in MEASURES
    ]
    for row in rows:
        if gone and row["population"] == POOLED:
            row.update(dict.fromkeys(("mean", "sd", *QUARTILES), np.nan))
    return rows


def summary(measure: str, members: Sequence[Mapping[str, Any]], least: int) -> dict[str, Any]:
    """
    Return the mean, the spread and the quartiles of one measure of some people.

    `sd` is the sample standard deviation. What would tell of fewer than `least` people is nan: all
    of it for fewer people, a quartile with fewer of them on one of its sides.
    """
    values = np.array([person[measure] for person in members], dtype=float)
    told = len(values) >= least and len(values) > 1
    return {
        "n": len(values),
        "mean": float(values.mean()) if told else np.nan,
        "sd": float(values.std(ddof=1)) if told else np.nan,
        **{
            name: float(np.quantile(values, share))
            if told_quantile(share, len(values), least)
            else np.nan
            for name, share in QUARTILES.items()
        },
    }
