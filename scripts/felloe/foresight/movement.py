"""The smallest movement of terms between two populations that the dossier would see."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from felloe.comparison.exchanging.label_tests import matched_label_test
from felloe.comparison.exchanging.matching import match_people, matched_contrasts
from felloe.ground.arrays import Array
from felloe.ground.squares import doubly_centred

PERMUTATIONS = 99  # of each test; smallest p is then 0.01
ENOUGH = 0.8  # share of studies that have to see it: the usual power
LARGEST_SHARE = 1 / 3  # of the terms that are moved at the most
GROWTH = 1.5  # each number of moved terms tried is about so many times the one before


@dataclass(frozen=True)
class Movement:
    """
    How many moved terms are seen.

    Attributes
    ----------
    terms : int or None
        The smallest number tried that enough studies see; None where the largest is not enough.
    most : int
        The largest number tried.
    seen : float
        Share of studies that see `terms`, or `most`.
    """

    terms: int | None
    most: int
    seen: float


def numbers_tried(n_terms: int) -> list[int]:
    """Return the numbers of moved terms that are tried, rising to a third of the terms."""
    most = max(1, int(n_terms * LARGEST_SHARE))
    numbers = [1]
    while numbers[-1] < most:
        numbers.append(min(most, max(numbers[-1] + 1, round(numbers[-1] * GROWTH))))
    return numbers


def difference_p(
    rng: np.random.Generator, piles: Array, first: Array, permutations: int, apart: Array
) -> float:
    """
    Return p of the dossier's test between people matched by how coarsely they sort.

    Parameters
    ----------
    rng : numpy.random.Generator
    piles : (n_people, n_terms) array of int
    first : (n_people,) array of bool
        Who belongs to the first population.
    permutations : int
    apart : (n_people, n_people) array of float
        As returned by `mirkin_of_many` for these people.

    Returns
    -------
    float
    """
    matching = match_people(piles, first)
    contrasts = matched_contrasts(first, matching.sets, rng, permutations)
    return matched_label_test(doubly_centred(apart), *contrasts)


def smallest_movement(
    numbers: Sequence[int], seen: Callable[[int], float], largest: int | None
) -> Movement:
    """
    Return the smallest number of moved terms that enough studies see, by halving.

    Parameters
    ----------
    numbers : sequence of int
        Rising; a larger movement is taken to be seen at least as often.
    seen : callable
        From a number of moved terms to the share of studies that see it.
    largest : int or None
        A number that is known to be enough, as for fewer people; None where none is known.

    Returns
    -------
    Movement
    """
    high = len(numbers) - 1 if largest is None else numbers.index(largest)
    found = {high: seen(numbers[high])}
    if found[high] < ENOUGH and largest is None:
        return Movement(None, numbers[-1], found[high])
    low = -1
    while high - low > 1:
        middle = (low + high) // 2
        found[middle] = seen(numbers[middle])
        low, high = (low, middle) if found[middle] >= ENOUGH else (middle, high)
    return Movement(numbers[high], numbers[-1], found[high])
