"""Everything that is asked about one pair of populations before they may be pooled."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from felloe.comparison.consequence import (
    TierComparison,
    chart_at,
    compare_charts,
    compare_splits,
)
from felloe.comparison.correlating.association import Association, associate
from felloe.comparison.correlating.corrected import (
    UNKNOWN,
    CorrectedCorrelation,
    corrected_correlation,
)
from felloe.comparison.correlating.noise_ceiling import NoiseCeiling, reliabilities_of
from felloe.comparison.drawn_people import Drawn, draw_people
from felloe.comparison.exchanging.exchange import Draws, LabelTests, exchange_people
from felloe.comparison.exchanging.granularity import GranularityDifference, compare_granularity
from felloe.comparison.exchanging.label_tests import DispersionTest, permdisp
from felloe.comparison.exchanging.shape import ShapeTest, shape_test
from felloe.comparison.exchanging.term_differences import (
    TermDifferences,
    described,
    difference_of_pairs,
    term_differences,
)
from felloe.comparison.verdict import Evidence
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.people.counted_pairs import AnyPairs, pairs_of
from felloe.ground.people.halves import divided_correlations, random_groups, similarities
from felloe.ground.people.pairs import OneCulture, one_culture, person_covariances
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.ground.squares import squared
from felloe.ground.terms import Terms, check_same
from felloe.validation.screened.granularity import numbers_at_equal_number, numbers_of_piles

Draw = Callable[[str], np.random.Generator]
FEWEST_TERMS = 4  # with fewer there are too few pairs to correlate
USUAL = 0.95  # quantile of what random divisions change: beyond it a change is unusual


@dataclass(frozen=True)
class Settings:
    """
    How much is drawn, and how charts are made.

    Attributes
    ----------
    permutations, shape_permutations, splits, halves, granularity_bins : int
        Permutations of every test, and of the test of single terms; random splits of the pooled
        people; random halves of each population; bins of granularity.
    linkage : str
    numbers : (int, int)
        Numbers of classes and of subclasses.
    people_at_most : int or None
        Of more people of two populations so many are drawn for tests of people; None for all.
    """

    permutations: int
    shape_permutations: int
    splits: int
    halves: int
    granularity_bins: int
    linkage: str
    numbers: tuple[int, int]
    people_at_most: int | None = None


@dataclass(frozen=True)
class PopulationTests(LabelTests):
    """
    Whether people are exchangeable between two populations, and what differs.

    Attributes
    ----------
    disagreement : float
        Sum over pairs of terms of the squared difference of the two populations' shares.
    dispersion : DispersionTest
    terms : TermDifferences
    """

    disagreement: float
    dispersion: DispersionTest
    terms: TermDifferences


@dataclass(frozen=True)
class People:
    """
    What the people of two populations show, beyond the two matrices of counts.

    Attributes
    ----------
    drawn : Drawn
        Whom the tests and the corrected correlations look at. Everybody is behind what is counted:
        halves, splits, differences.
    noise : NoiseCeiling
    split_changes : (n_splits, 2) array of int
        Terms that change class, and subclass, between the charts of the two groups of random
        splits of the pooled people.
    tests : PopulationTests
    shape : ShapeTest
    named : (n_terms,) array of bool
        Terms placed differently beyond granularity and noise.
    granularity : GranularityDifference
    culture : OneCulture
    """

    drawn: Drawn
    noise: NoiseCeiling
    split_changes: Ints
    tests: PopulationTests
    shape: ShapeTest
    named: Bools
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
    """
    What every part of the comparison of people starts from.

    Attributes
    ----------
    first : (n_people,) array of bool
        Who belongs to the first population.
    vectors : PairVectors or CountedPairs
        Of everybody.
    pooled : (n_pairs,) array of float
        Share of everybody who put each pair together.
    level : float
    drawn : Drawn
    piles : (n_drawn, n_terms) array of int
    some : PairVectors or CountedPairs
        Of the people drawn.
    apart : (n_pairs,) array of float or None
        Difference of the two populations, of everybody; None where everybody is drawn.
    """

    first: Bools
    vectors: AnyPairs
    pooled: Floats
    level: float
    drawn: Drawn
    piles: Array
    some: AnyPairs
    apart: Floats | None = None


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
    sorts: Sorts, settings: Settings, level: float, streams: Streams, pair: int = 0
) -> PeopleCompared:
    """
    Compare two populations person by person.

    Parameters
    ----------
    sorts : Sorts
        Of the people of two populations; the first is the first in sorted order.
    settings : Settings
    level : float
        At which a term is named.
    streams : felloe.ground.randomness.Streams
    pair : int
        Number of this pair of populations, which keys its random draws.

    Raises
    ------
    ValueError
        If there are not two populations; of whole sorts, if two people placed no pair of terms in
        common, or nobody placed some pair.
    """
    if len(sorts.names) != 2:
        raise ValueError(f"two populations are compared at a time, not {len(sorts.names)}")
    first = np.array([name == sorts.names[0] for name in sorts.populations])
    vectors = pairs_of(sorts.piles, sorts.prior)
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
    draw = draws_of(streams, pair)
    drawn = draw_people(first, settings.people_at_most, draw("people"))
    piles = sorts.piles[drawn.people]
    some = vectors if drawn.everybody else pairs_of(piles, sorts.prior)
    examined = Examined(first, vectors, pooled, level, drawn, piles, some)
    people = examine_people(examined, settings, draw)
    return PeopleCompared(matrices.terms, matrices.associated, matrices.tiers, people)


def examine_people(examined: Examined, settings: Settings, draw: Draw) -> People:
    """Run every part of the comparison that needs the people."""
    piles, vectors, drawn = examined.piles, examined.vectors, examined.drawn
    groups = random_groups(
        draw("splits"), len(examined.first), int(examined.first.sum()), settings.splits
    )
    split_correlations, split_changes = compare_splits(
        vectors, groups, examined.pooled, settings.linkage, settings.numbers
    )
    correlation = float(divided_correlations(vectors, examined.first[None, :])[0])
    if not drawn.everybody:
        examined = replace(examined, apart=difference_of_pairs(vectors, examined.first))
        vectors.release()
    reliabilities = reliabilities_of(vectors, examined.first, settings.halves, draw)
    permutations, prior = settings.shape_permutations, vectors.prior
    shape = shape_test(piles, drawn.first, draw("shape"), permutations, examined.level, prior)
    named = shape.p_terms <= examined.level
    tests, bins = population_tests(examined, settings, draw)
    others = pairs_of(piles[:, ~named], prior)
    covariances = person_covariances(examined.some)
    return People(
        drawn=drawn,
        noise=NoiseCeiling(
            reliabilities=reliabilities,
            correlation=correlation,
            split_correlations=split_correlations,
            corrected=corrected_over(vectors.n_terms, covariances, drawn.first),
            corrected_without=corrected_over(
                others.n_terms, person_covariances(others), drawn.first
            ),
        ),
        split_changes=split_changes,
        tests=tests,
        shape=shape,
        named=named,
        granularity=compare_granularity(comparable_numbers(piles, prior), drawn.first, bins),
        culture=one_culture(covariances),
    )


def comparable_numbers(piles: Array, prior: float | None) -> Floats | Ints:
    """Return everybody's number of piles; of partial sorts, as of an equal number of terms."""
    return numbers_of_piles(piles) if prior is None else numbers_at_equal_number(piles)


def corrected_over(n_terms: int, covariances: Floats, first: Bools) -> CorrectedCorrelation:
    """Return the corrected correlation over some terms; unknown over fewer than `FEWEST_TERMS`."""
    return UNKNOWN if n_terms < FEWEST_TERMS else corrected_correlation(covariances, first)


def population_tests(
    examined: Examined, settings: Settings, draw: Draw
) -> tuple[PopulationTests, Ints]:
    """Run the tests that shuffle people; also return everybody's bin of granularity."""
    vectors, first = examined.some, examined.drawn.first
    draws = Draws(draw("labels"), draw("labels within bins"), draw("labels within sets"))
    permutations, bins = settings.permutations, settings.granularity_bins
    found = exchange_people(examined.piles, first, vectors, draws, permutations, bins)
    n_people, n_first = len(first), int(first.sum())
    sum_among = found.tests.unrestricted.sum_among
    terms = term_differences(vectors, first, found.freely)
    if examined.apart is not None:
        terms = described(terms, examined.apart)
    tests = PopulationTests(
        **vars(found.tests),
        disagreement=sum_among * n_people / (n_first * (n_people - n_first)),
        dispersion=permdisp(found.apart, first, found.freely),
        terms=terms,
    )
    return tests, found.bins


def evidence_of_counts(found: CountsCompared) -> Evidence:
    """Return what the rule asks, nan where it takes people to tell."""
    unknown = float("nan")
    class_changes, subclass_changes = (int(tier.changes.sum()) for tier in found.tiers)
    return Evidence(
        mantel_p=found.associated.pearson.p_value,
        reliability=unknown,
        corrected_low=unknown,
        corrected_low_without=unknown,
        n_terms=len(found.terms),
        named=0,
        class_changes=class_changes,
        subclass_changes=subclass_changes,
        expected_class_changes=unknown,
        usual_class_changes=unknown,
        named_class_changes=0,
        p_matched=unknown,
    )


def evidence_of(found: PeopleCompared, p_matched: float | None = None) -> Evidence:
    """
    Return what the rule asks.

    Parameters
    ----------
    found : PeopleCompared
    p_matched : float, optional
        Replaces p of the matched test, as after allowing for several pairs.
    """
    people = found.people
    changes = people.split_changes[:, 0]
    return replace(
        evidence_of_counts(found),
        reliability=float(np.min([one.reliability for one in people.noise.reliabilities])),
        corrected_low=people.noise.corrected.low,
        corrected_low_without=people.noise.corrected_without.low,
        named=int(people.named.sum()),
        expected_class_changes=float(np.median(changes)),
        usual_class_changes=float(np.quantile(changes, USUAL)),
        named_class_changes=int((people.named & found.tiers[0].changes).sum()),
        p_matched=people.tests.p_matched if p_matched is None else p_matched,
    )
