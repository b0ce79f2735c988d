"""Everything that is asked about one pair of populations before they may be pooled."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from felloe.comparison.association import Association, associate
from felloe.comparison.consequence import (
    TierComparison,
    changes_of_splits,
    chart_at,
    compare_charts,
)
from felloe.comparison.granularity import GranularityDifference, compare_granularity
from felloe.comparison.label_tests import (
    DispersionTest,
    LabelTest,
    adjusted_label_test,
    granularity_bins,
    permanova,
    permdisp,
    shuffled_people,
    shuffled_within,
)
from felloe.comparison.noise_ceiling import NoiseCeiling, corrected_correlation, reliabilities_of
from felloe.comparison.term_differences import (
    TermDifferences,
    adjusted_term_differences,
    term_differences,
)
from felloe.comparison.verdict import Evidence
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.halves import divided_correlations, random_groups, similarities
from felloe.ground.pairs import (
    OneCulture,
    PairVectors,
    mirkin_distances,
    one_culture,
    pair_shares,
    pair_vectors,
    person_covariances,
)
from felloe.ground.randomness import Streams
from felloe.ground.sorts import Sorts
from felloe.ground.squares import doubly_centred, squared
from felloe.ground.terms import Terms, check_same
from felloe.validation.granularity import numbers_of_piles

Draw = Callable[[str], np.random.Generator]


@dataclass(frozen=True)
class Settings:
    """
    How much is drawn, and how charts are made.

    Attributes
    ----------
    permutations, splits, halves, bootstrap, granularity_bins : int
        Permutations of every test; random splits of the pooled people; random halves of each
        population; redraws of participants; bins of granularity.
    linkage : str
    numbers : (int, int)
        Numbers of classes and of subclasses.
    """

    permutations: int
    splits: int
    halves: int
    bootstrap: int
    granularity_bins: int
    linkage: str
    numbers: tuple[int, int]


@dataclass(frozen=True)
class LabelTests:
    """
    Whether people are exchangeable between two populations.

    Attributes
    ----------
    unrestricted, adjusted : LabelTest
    disagreement : float
        Sum over pairs of terms of the squared difference of the two populations' shares.
    dispersion : DispersionTest
    terms, terms_adjusted : TermDifferences
    """

    unrestricted: LabelTest
    adjusted: LabelTest
    disagreement: float
    dispersion: DispersionTest
    terms: TermDifferences
    terms_adjusted: TermDifferences


@dataclass(frozen=True)
class People:
    """
    What the people of two populations show, beyond the two matrices of counts.

    Attributes
    ----------
    first : (n_people,) array of bool
        Who belongs to the first population.
    noise : NoiseCeiling
    split_changes : (n_splits, 2) array of int
        Terms that change class, and subclass, between the charts of the two groups of random
        splits of the pooled people.
    tests : LabelTests
    granularity : GranularityDifference
    culture : OneCulture
    """

    first: Bools
    noise: NoiseCeiling
    split_changes: Ints
    tests: LabelTests
    granularity: GranularityDifference
    culture: OneCulture


@dataclass(frozen=True)
class CountsCompared:
    """
    Two populations compared by their matrices alone.

    Attributes
    ----------
    terms : Terms
    associated : Association
    tiers : (TierComparison, TierComparison)
        Class, subclass: the chart of the first population against that of the second.
    """

    terms: Terms
    associated: Association
    tiers: tuple[TierComparison, TierComparison]


@dataclass(frozen=True)
class PeopleCompared(CountsCompared):
    """
    Two populations compared person by person.

    Attributes
    ----------
    people : People
    """

    people: People


@dataclass(frozen=True)
class Examined:
    """What every part of the comparison of people starts from; arrays as in `compare_people`."""

    piles: Array
    first: Bools
    redraws: Ints
    vectors: PairVectors
    pooled: Floats


def draws_of(streams: Streams, pair: int) -> Draw:
    """Return what gives the random numbers of each purpose for one pair of populations."""
    return lambda purpose: streams.generator(f"comparison {purpose}", pair)


def compare_counts(
    one: Distances, other: Distances, settings: Settings, streams: Streams, pair: int = 0
) -> CountsCompared:
    """
    Compare two populations of which only counts are known.

    Parameters
    ----------
    one, other : Distances
        Of the same terms: the share of each population's people who kept two apart.
    settings : Settings
    streams : felloe.ground.randomness.Streams
    pair : int
        Number of this pair of populations, which keys its random draws.

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If they are not about the same terms in the same order.
    """
    check_same(one.terms, other.terms, "one population's distances", "the other's")
    charts = [chart_at(apart, settings.linkage, settings.numbers) for apart in (one, other)]
    associated = associate(one, other, settings.permutations, draws_of(streams, pair))
    return CountsCompared(one.terms, associated, compare_charts(*charts))


def compare_people(
    sorts: Sorts, redraws: Ints, settings: Settings, streams: Streams, pair: int = 0
) -> PeopleCompared:
    """
    Compare two populations person by person.

    Parameters
    ----------
    sorts : Sorts
        Of the people of two populations; the first is the first in sorted order.
    redraws : (n_draws, n_people) array of int
        How often each was drawn in redraws of participants within populations.
    settings : Settings
    streams : felloe.ground.randomness.Streams
    pair : int
        Number of this pair of populations, which keys its random draws.

    Raises
    ------
    ValueError
        If there are not two populations, two people placed no pair of terms in common, or nobody
        placed some pair.
    """
    if len(sorts.names) != 2:
        raise ValueError(f"two populations are compared at a time, not {len(sorts.names)}")
    first = np.array([name == sorts.names[0] for name in sorts.populations])
    vectors = pair_vectors(sorts.piles)
    pooled = similarities(vectors, np.ones((1, len(first))))[0]
    if not np.isfinite(pooled).all():
        raise ValueError("some pair of terms was never placed by the same participant")
    rows = similarities(vectors, np.stack([first, ~first]))
    rows = np.where(np.isfinite(rows), rows, pooled)
    one, other = (
        Distances(sorts.terms, rounded_dissimilarity(squared(row, len(sorts.terms), diagonal=1.0)))
        for row in rows
    )
    matrices = compare_counts(one, other, settings, streams, pair)
    people = examine_people(
        Examined(sorts.piles, first, redraws, vectors, pooled), settings, draws_of(streams, pair)
    )
    return PeopleCompared(matrices.terms, matrices.associated, matrices.tiers, people)


def examine_people(examined: Examined, settings: Settings, draw: Draw) -> People:
    """Run every part of the comparison that needs the people."""
    vectors, first = examined.vectors, examined.first
    shares = pair_shares(vectors)
    bins = granularity_bins(shares, settings.granularity_bins)
    covariances = person_covariances(vectors)
    groups = random_groups(draw("splits"), len(first), int(first.sum()), settings.splits)
    reliabilities = reliabilities_of(vectors, first, settings.halves, draw)
    corrected = corrected_correlation(vectors, first, reliabilities, covariances, examined.redraws)
    return People(
        first=first,
        noise=NoiseCeiling(reliabilities, divided_correlations(vectors, groups), corrected),
        split_changes=changes_of_splits(
            vectors, groups, examined.pooled, settings.linkage, settings.numbers
        ),
        tests=exchange_people(vectors, first, bins, settings.permutations, draw),
        granularity=compare_granularity(numbers_of_piles(examined.piles), first, bins),
        culture=one_culture(covariances),
    )


def exchange_people(
    vectors: PairVectors, first: Bools, bins: Ints, permutations: int, draw: Draw
) -> LabelTests:
    """Run the tests that shuffle people; `bins` as returned by `granularity_bins`."""
    n_people, n_first = len(first), int(first.sum())
    apart = mirkin_distances(vectors)
    gram, shares = doubly_centred(apart), pair_shares(vectors)
    freely = shuffled_people(draw("labels"), n_people, permutations)
    within = shuffled_within(draw("labels within bins"), bins, permutations)
    unrestricted = permanova(gram, first, freely)
    return LabelTests(
        unrestricted=unrestricted,
        adjusted=adjusted_label_test(gram, first, shares, within),
        disagreement=unrestricted.sum_among * n_people / (n_first * (n_people - n_first)),
        dispersion=permdisp(apart, first, freely),
        terms=term_differences(vectors, first, freely),
        terms_adjusted=adjusted_term_differences(vectors, first, shares, within),
    )


def evidence_of_counts(found: CountsCompared) -> Evidence:
    """Return what the rule asks, nan where it takes people to tell."""
    unknown = float("nan")
    class_changes, subclass_changes = (int(tier.changes.sum()) for tier in found.tiers)
    return Evidence(
        mantel_p=found.associated.pearson.p_value,
        corrected_low=unknown,
        class_changes=class_changes,
        subclass_changes=subclass_changes,
        expected_class_changes=0.0,
        differing_class_changes=0,
        n_terms=len(found.terms),
        p_adjusted=unknown,
        p_unrestricted=unknown,
        overlap=unknown,
    )


def evidence_of(
    found: PeopleCompared,
    alpha: float,
    p_adjusted: float | None = None,
    p_unrestricted: float | None = None,
    n_pairs: int = 1,
) -> Evidence:
    """
    Return what the rule asks.

    Parameters
    ----------
    found : PeopleCompared
    alpha : float
        Level at which a term counts as placed differently.
    p_adjusted, p_unrestricted : float, optional
        Replace p of the two tests, as after allowing for several pairs.
    n_pairs : int
        Pairs of populations compared; p per term is multiplied by it.
    """
    people, tests = found.people, found.people.tests
    differing = tests.terms_adjusted.p_terms * n_pairs <= alpha
    return replace(
        evidence_of_counts(found),
        corrected_low=people.noise.corrected.low,
        expected_class_changes=float(np.median(people.split_changes[:, 0])),
        differing_class_changes=int((differing & found.tiers[0].changes).sum()),
        p_adjusted=tests.adjusted.p_value if p_adjusted is None else p_adjusted,
        p_unrestricted=tests.unrestricted.p_value if p_unrestricted is None else p_unrestricted,
        overlap=people.granularity.overlap,
    )
