"""The tests that exchange people between two groups: freely, and among those who sort alike."""

from dataclasses import dataclass

import numpy as np

from felloe.comparison.exchanging.label_tests import (
    LabelTest,
    adjusted_label_test,
    granularity_bins,
    granularity_columns,
    matched_label_test,
    permanova,
    shuffled_people,
    shuffled_within,
)
from felloe.comparison.exchanging.matching import match_people, matched_contrasts
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.people.pairs import SomePairs, mirkin_distances
from felloe.ground.squares import doubly_centred


@dataclass(frozen=True)
class Draws:
    """Random numbers to deal memberships: freely, within bins of granularity, in matched sets."""

    freely: np.random.Generator
    in_bins: np.random.Generator
    in_sets: np.random.Generator


@dataclass(frozen=True)
class LabelTests:
    """
    Whether people are exchangeable between two groups.

    Attributes
    ----------
    unrestricted, adjusted : LabelTest
        As it is, and adjusted for granularity by covariates.
    p_matched : float
        Of the test between people matched by granularity.
    n_matched : int
        People who are matched.
    """

    unrestricted: LabelTest
    adjusted: LabelTest
    p_matched: float
    n_matched: int


@dataclass(frozen=True)
class Exchanged:
    """
    The tests, and what they were made of.

    Attributes
    ----------
    tests : LabelTests
    apart : (n_people, n_people) array of float
        As returned by `mirkin_distances`.
    freely : (permutations, n_people) array of int
        People in the orders in which memberships were dealt freely.
    bins : (n_people,) array of int
        Everybody's bin of granularity.
    """

    tests: LabelTests
    apart: Floats
    freely: Ints
    bins: Ints


def exchange_people(
    piles: Array, first: Bools, vectors: SomePairs, draws: Draws, permutations: int, n_bins: int
) -> Exchanged:
    """
    Run the tests that shuffle who belongs to which of two groups of people.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    first : (n_people,) array of bool
        Who belongs to the first group.
    vectors : PairVectors or CountedPairs
        Of `piles`.
    draws : Draws
    permutations : int
        Of every test.
    n_bins : int
        Bins of granularity.

    Returns
    -------
    Exchanged
    """
    apart = mirkin_distances(vectors)
    gram = doubly_centred(apart)
    matching = match_people(piles, first, vectors.prior is not None)
    bins = granularity_bins(matching.scores, n_bins)
    freely = shuffled_people(draws.freely, len(first), permutations)
    within = shuffled_within(draws.in_bins, bins, permutations)
    matched = matched_contrasts(first, matching.sets, draws.in_sets, permutations)
    tests = LabelTests(
        unrestricted=permanova(gram, first, freely),
        adjusted=adjusted_label_test(gram, first, granularity_columns(matching.measures), within),
        p_matched=matched_label_test(gram, *matched),
        n_matched=matching.n_matched,
    )
    return Exchanged(tests, apart, freely, bins)
