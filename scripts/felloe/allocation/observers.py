"""How many people are shown both terms of a pair, and how evenly that could be at best."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from felloe.ground.arrays import Array, Ints
from felloe.ground.people.counts import count_observers
from felloe.ground.squares import condensed

NEAR = 1.15  # of the bound: with fewer people than terms the search comes within 2 to 15 %
OF_CHANCE = 0.6  # of the deviation of random sets: with more people the search is at 0.2 to 0.5
Evenness = Literal["best", "near", "expected", "uneven"]


@dataclass(frozen=True)
class Observers:
    """
    Observers of the pairs of terms: people who are shown both.

    Attributes
    ----------
    people, terms, pairs : int
    least, largest : int
    median, mean : float
    spread : float
        Standard deviation over all pairs.
    unseen : (n_unseen, 2) array of int
        Pairs that nobody is shown both of.
    fewest, most : int
        People who are shown the same term.
    """

    people: int
    terms: int
    pairs: int
    least: int
    median: float
    largest: int
    mean: float
    spread: float
    unseen: Ints
    fewest: int
    most: int


@dataclass(frozen=True)
class Bound:
    """
    What no allocation of as many terms to as many people can beat.

    Attributes
    ----------
    least : int
        No allocation has more observers at every pair.
    largest : int
        None has fewer at every pair.
    unseen : int
        None leaves fewer pairs to nobody.
    spread : float
        None has a smaller standard deviation.
    """

    least: int
    largest: int
    unseen: int
    spread: float


def pair_counts(sets: Sequence[Array], n_terms: int) -> Ints:
    """
    Count who is shown both of two terms.

    Parameters
    ----------
    sets : sequence of (n_shown,) array of int
        The terms that each person is shown.
    n_terms : int

    Returns
    -------
    (n_terms, n_terms) array of int
        Symmetric; the diagonal holds the people who are shown a term.
    """
    shown = np.zeros((len(sets), n_terms), dtype=bool)
    for row, terms in zip(shown, sets, strict=True):
        row[terms] = True
    return count_observers(shown)


def observers(sets: Sequence[Array], n_terms: int) -> Observers:
    """Return how the observers of the pairs are spread; `sets` as for `pair_counts`."""
    counts = pair_counts(sets, n_terms)
    of_pairs, of_terms = condensed(counts), np.diag(counts)
    return Observers(
        people=len(sets),
        terms=n_terms,
        pairs=len(of_pairs),
        least=int(of_pairs.min()),
        median=float(np.median(of_pairs)),
        largest=int(of_pairs.max()),
        mean=float(of_pairs.mean()),
        spread=float(of_pairs.std()),
        unseen=np.argwhere(np.triu(counts == 0, 1)),
        fewest=int(of_terms.min()),
        most=int(of_terms.max()),
    )


def bound(sizes: Sequence[int], n_terms: int) -> Bound:
    """
    Return what no allocation can beat.

    Four facts. The pairs that people are shown are given in number, and whole numbers of a given
    sum have their least sum of squares when they are as equal as can be. A term that r people see,
    k terms each, has r (k - 1) observed pairs to share among its n - 1; with r a whole number whose
    mean is given, some term has no more (and some no fewer) than the mean rounded: the argument of
    Schönheim's bounds. Counted from the people's side, the terms that two people share are whole
    numbers too, and both sides have the same sum of squares (the trace of N N' N N'), which with
    fewer people than terms says more than the pairs do. So no such study has the same number of
    observers everywhere: Fisher's inequality.

    Parameters
    ----------
    sizes : sequence of int
        How many terms each person is shown.
    n_terms : int

    Returns
    -------
    Bound

    References
    ----------
    Fisher (1940), Annals of Eugenics 10; Schönheim (1964), Pacific Journal of Mathematics 14 (both
    from memory).
    """
    pairs = math.comb(n_terms, 2)
    shown = sum(math.comb(size, 2) for size in sizes)
    squares = least_squares(pairs, shown)
    by_people = squares_by_people(sizes, n_terms)
    least, largest = shown // pairs, -(-shown // pairs)
    if len(set(sizes)) == 1:
        others, shows = sizes[0] - 1, sum(sizes)
        least = shows // n_terms * others // (n_terms - 1)
        largest = -(-(-(-shows // n_terms) * others) // (n_terms - 1))
    if by_people > squares and shown % pairs == 0:  # equal everywhere is not to be had
        least, largest = min(least, shown // pairs - 1), max(largest, shown // pairs + 1)
    variance = max(squares, by_people) / pairs - (shown / pairs) ** 2
    unseen = max(0, pairs - shown, unseen_by_terms(sizes, n_terms))
    return Bound(least, largest, unseen, math.sqrt(max(0.0, variance)))


def evenness(found: Observers, limit: Bound, chance: float) -> Evenness:
    """
    Return whether what was dealt is as even as can be expected.

    Parameters
    ----------
    found : Observers
    limit : Bound
    chance : float
        As returned by `deviation_by_chance`.

    Returns
    -------
    {"best", "near", "expected", "uneven"}
        Nothing can be more even; within what the search usually leaves of the bound; far more even
        than chance; neither.
    """
    if math.isclose(found.spread, limit.spread, abs_tol=1e-9):
        return "best"
    if found.spread <= NEAR * limit.spread:
        return "near"
    return "expected" if found.spread <= OF_CHANCE * chance else "uneven"


def deviation_by_chance(sizes: Sequence[int], n_terms: int) -> float:
    """
    Return the standard deviation of observers over pairs where everybody's terms are random.

    The root of the expected variance, which is exact: the mean over pairs is given by `sizes`.
    """
    shares = [size * (size - 1) / (n_terms * (n_terms - 1)) for size in sizes]
    return math.sqrt(sum(share * (1 - share) for share in shares))


def least_squares(number: int, total: int) -> int:
    """Return the least sum of squares of so many whole numbers with this total."""
    if not number:
        return 0
    each, more = divmod(total, number)
    return (number - more) * each**2 + more * (each + 1) ** 2


def squares_by_people(sizes: Sequence[int], n_terms: int) -> int:
    """
    Return the least sum of squared observers over pairs, from what pairs of people share.

    It grows with the sum of squared people a term (by twice the mean that two people share), so it
    is least where every term is shown as often as every other.
    """
    of_terms = least_squares(n_terms, sum(sizes))
    shared = (of_terms - sum(sizes)) // 2
    of_people = sum(size**2 for size in sizes)
    twice = of_people + 2 * least_squares(math.comb(len(sizes), 2), shared) - of_terms
    return -(-twice // 2)


def unseen_by_terms(sizes: Sequence[int], n_terms: int) -> int:
    """Return how many pairs nobody can see at least, term by term; 0 where sizes differ."""
    if len(set(sizes)) != 1:
        return 0
    each, more = divmod(sum(sizes), n_terms)
    short = [max(0, n_terms - 1 - people * (sizes[0] - 1)) for people in (each, each + 1)]
    return -(-((n_terms - more) * short[0] + more * short[1]) // 2)
