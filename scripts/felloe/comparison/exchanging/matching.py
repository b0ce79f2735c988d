"""Comparing like with like: people of two populations matched by how coarsely they sort."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.validation.screened.granularity import pile_sizes, piles_at_equal_number

PENALTY = 0.5  # of the ridge: keeps the score finite where one measure tells the populations apart
ROUNDS = 100  # of Newton's method at the most; it takes fewer than ten
LARGEST_SET = 12  # people; larger sets gain nothing and mix more
REACH = 0.3  # standard deviations of the score that one set may span
PER_SET = 0.02  # cost of a set, so that sets of equal people are not split for nothing
LEFT_OUT = 3.0  # cost of leaving somebody out, in spans of a set


@dataclass(frozen=True)
class Matching:
    """
    People of two populations in sets of about equal granularity.

    Attributes
    ----------
    sets : (n_people,) array of int
        The set of each person, from 0; -1 for who is like nobody of the other population.
    scores : (n_people,) array of float
        The propensity score: log odds of belonging to the first population, given granularity.
    measures : (n_people, 5) array of float
        What is known of granularity; see `granularity_measures`.
    """

    sets: Ints
    scores: Floats
    measures: Floats

    @property
    def n_matched(self) -> int:
        """The number of people in a set."""
        return int((self.sets >= 0).sum())


def granularity_measures(piles: Array, partial: bool = False) -> Floats:
    """
    Describe in several numbers how coarsely each person sorts; two people of the same share of
    pairs together may have come to it in different ways.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
        `UNPLACED` where a term was not placed.
    partial : bool
        Whether people were shown some terms each: then everybody is described as of an equal number
        of terms (`granularity.piles_at_equal_number`).

    Returns
    -------
    (n_people, 5) array of float
        Share of pairs together, logarithm of the number of piles, entropy of their sizes in nats,
        share of the largest pile, share of piles that hold one term.
    """
    sizes = pile_sizes(piles)
    if partial:
        told = zip(sizes, piles_at_equal_number(sizes), strict=True)
        rows = [measures_at(own, expected) for own, expected in told]
    else:
        rows = [measures_of(own) for own in sizes]
    return np.round(np.array(rows, dtype=float), PRODUCT_DECIMALS)


def together_share(sizes: Ints) -> float:
    """Return the share of pairs together of a person with piles of these sizes."""
    placed = int(sizes.sum())
    return float((sizes * (sizes - 1)).sum()) / max(placed * (placed - 1), 1)


def measures_of(sizes: Ints) -> tuple[float, ...]:
    """Describe a person with piles of these sizes; see `granularity_measures`."""
    shares = sizes / int(sizes.sum())
    entropy = -float((shares * np.log(shares)).sum())
    together, single = together_share(sizes), float((sizes == 1).mean())
    return together, np.log(len(sizes)), entropy, shares.max(), single


def measures_at(sizes: Ints, expected: Floats) -> tuple[float, ...]:
    """
    Describe a person as of the least number of terms that anybody placed.

    Numbers of piles grow with what lies on the table. So piles are those that a person would be
    seen to have made by as many of their terms, drawn at random: numbers and entropy are `expected`
    ones, the share of piles of one term is that of expected numbers; shares of pairs together do
    not hang on the number, that of the largest pile (as it is) a little: it falls with more terms.
    """
    shares = np.arange(1, len(expected) + 1) / len(expected)
    entropy, number = -float((expected * shares * np.log(shares)).sum()), float(expected.sum())
    largest, single = sizes.max() / int(sizes.sum()), float(expected[0]) / number
    return together_share(sizes), np.log(number), entropy, largest, single


def standardised(columns: Floats) -> Floats:
    """Return columns of mean 0 and standard deviation 1; constant ones become 0."""
    spread = columns.std(axis=0)
    scale = np.where(spread > 1e-12, spread, 1.0)
    return np.asarray((columns - columns.mean(axis=0)) / scale * (spread > 1e-12), dtype=float)


def propensity_scores(measures: Floats, first: Bools) -> Floats:
    """
    Estimate how much a person's granularity looks like that of the first population.

    Parameters
    ----------
    measures : (n_people, 5) array of float
        As returned by `granularity_measures`.
    first : (n_people,) array of bool
        Who belongs to the first population.

    Returns
    -------
    (n_people,) array of float
        Log odds by ridge logistic regression on the standardised measures and the square of the
        first; rounded to `PRODUCT_DECIMALS`.

    References
    ----------
    Rosenbaum & Rubin (1983), Biometrika 70:41-55 (from memory).
    """
    z = standardised(measures)
    z = np.column_stack([z, standardised(z[:, :1] ** 2)])
    design = np.column_stack([np.ones(len(z)), z])
    ridge = np.diag([0.0, *[PENALTY] * z.shape[1]])
    wanted, weights = first.astype(float), np.zeros(design.shape[1])
    for _ in range(ROUNDS):
        expected = 1.0 / (1.0 + np.exp(-design @ weights))
        slope = design.T @ (wanted - expected) - ridge @ weights
        curvature = (design.T * (expected * (1.0 - expected))) @ design + ridge
        step = np.linalg.solve(curvature, slope)
        weights = weights + step
        if np.abs(step).max() < 1e-10:
            break
    return np.asarray(np.round(design @ weights, PRODUCT_DECIMALS), dtype=float)


def full_matching(scores: Floats, first: Bools) -> Ints:
    """
    Divide people into sets that hold both populations and span little of the score.

    In the order of the score, sets are runs of at most `LARGEST_SET` people; the division of least
    cost is found by dynamic programming: the span of each set and `PER_SET`, and `LEFT_OUT` spans
    for everybody left out.

    Parameters
    ----------
    scores : (n_people,) array of float
    first : (n_people,) array of bool

    Returns
    -------
    (n_people,) array of int
        Set numbers from 0, -1 for who is left out.

    References
    ----------
    Rosenbaum (1991), Journal of the Royal Statistical Society B 53:597-610 (full matching; from
    memory).
    """
    n = len(scores)
    order = np.lexsort((first, scores))
    spread = float(scores.std())
    places = scores[order] / (spread if spread > 1e-9 else 1.0)
    members = first[order].astype(int)
    cost, size_of_last = np.zeros(n + 1), np.ones(n + 1, dtype=int)
    for end in range(1, n + 1):
        cost[end] = cost[end - 1] + LEFT_OUT * REACH
        for size in range(2, min(LARGEST_SET, end) + 1):
            start = end - size
            span = places[end - 1] - places[start]
            if span > REACH + 1e-12:
                break
            inside = int(members[start:end].sum())
            total = cost[start] + span + PER_SET
            if 0 < inside < size and total < cost[end] - 1e-12:
                cost[end], size_of_last[end] = total, size
    sets, end, number = np.full(n, -1), n, 0
    while end > 0:
        size = int(size_of_last[end])
        if size > 1:
            sets[order[end - size : end]] = number
            number += 1
        end -= size
    return sets


def match_people(piles: Array, first: Bools, partial: bool = False) -> Matching:
    """
    Match the people of two populations by how coarsely they sort.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    first : (n_people,) array of bool
    partial : bool
        See `granularity_measures`.

    Returns
    -------
    Matching
    """
    measures = granularity_measures(piles, partial)
    scores = propensity_scores(measures, first)
    # which population is called the first may not matter: the score grows with coarseness
    coarse = standardised(measures[:, :1])[:, 0]
    turned = bool(np.round(scores @ coarse, PRODUCT_DECIMALS) < 0)
    sets = full_matching(-scores, ~first) if turned else full_matching(scores, first)
    return Matching(sets, scores, measures)


def matched_contrasts(
    first: Bools, sets: Ints, rng: np.random.Generator, permutations: int
) -> tuple[Floats, Floats]:
    """
    Return the contrast of two populations within matched sets, and permuted ones.

    The contrast weighs a set by n_a n_b / (n_a + n_b): it is who belongs to the first population,
    less the share of the first population in the set.

    Parameters
    ----------
    first : (n_people,) array of bool
    sets : (n_people,) array of int
        -1 for who is left out.
    rng : numpy.random.Generator
    permutations : int

    Returns
    -------
    contrast : (n_people,) array of float
    permuted : (permutations, n_people) array of float
        Membership shuffled within the sets.
    """
    contrast = np.zeros(len(first))
    permuted = np.zeros((permutations, len(first)))
    for number in range(int(sets.max(initial=-1)) + 1):
        members = np.flatnonzero(sets == number)
        within = first[members].astype(float)
        within = within - within.mean()
        contrast[members] = within
        permuted[:, members] = rng.permuted(np.tile(within, (permutations, 1)), axis=1)
    return contrast, permuted
