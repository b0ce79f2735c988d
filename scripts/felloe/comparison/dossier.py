"""Everything that is asked about two populations before they may be pooled."""

from dataclasses import dataclass

import numpy as np

from felloe.comparison import association, label_tests, noise_ceiling
from felloe.comparison.consequence import changes_of_splits, compare_tier
from felloe.comparison.granularity import (
    GranularityDifference,
    compare_granularity,
    numbers_of_piles,
)
from felloe.comparison.term_differences import (
    TermDifferences,
    adjusted_term_differences,
    term_differences,
)
from felloe.comparison.verdict import Evidence
from felloe.ground import pairs as people_pairs
from felloe.ground.charting import charted
from felloe.ground.distances import rounded_dissimilarity
from felloe.ground.halves import (
    divided_correlations,
    random_groups,
    similarities,
    split_half_reliability,
)
from felloe.ground.squares import doubly_centred, squared


@dataclass(frozen=True)
class Settings:
    """
    How much is drawn, and how charts are made.

    Attributes
    ----------
    permutations, splits, halves, bins : int
        Permutations of every test; random splits of the pooled people; random halves of each
        population; bins of granularity.
    linkage : str
    numbers : (int, int)
        Numbers of classes and of subclasses.
    """

    permutations: int
    splits: int
    halves: int
    bins: int
    linkage: str
    numbers: tuple


@dataclass(frozen=True)
class Associated:
    """Mantel tests and the match of planar maps; `exact` is None for more than a few terms."""

    pearson: association.MantelResult
    spearman: association.MantelResult
    configurations: association.ConfigurationMatch
    exact: tuple | None


@dataclass(frozen=True)
class People:
    """
    What the people of two populations show, beyond the two matrices of counts.

    Attributes
    ----------
    reliabilities : tuple of Reliability
        Of the first and of the second population.
    corrected : CorrectedCorrelation
    split_correlations : (n_splits,) array of float
        Between the two groups of random splits of the pooled people.
    split_changes : (n_splits, 2) array of int
        Terms that change class, and subclass, between the charts of the two groups.
    unrestricted, adjusted : LabelTest
    disagreement : float
        Sum over pairs of terms of the squared difference of the two populations' shares.
    dispersion : DispersionTest
    granularity : GranularityDifference
    culture : OneCulture
    first : (n_people,) array of bool
    terms, terms_adjusted : TermDifferences
    """

    reliabilities: tuple
    corrected: noise_ceiling.CorrectedCorrelation
    split_correlations: np.ndarray
    split_changes: np.ndarray
    unrestricted: label_tests.LabelTest
    adjusted: label_tests.LabelTest
    disagreement: float
    dispersion: label_tests.DispersionTest
    granularity: GranularityDifference
    culture: people_pairs.OneCulture
    first: np.ndarray
    terms: TermDifferences
    terms_adjusted: TermDifferences


@dataclass(frozen=True)
class PairDossier:
    """
    Two populations compared.

    Attributes
    ----------
    n_people : (int, int)
    n_terms : int
    associated : Associated
    tiers : (TierComparison, TierComparison)
        Class, subclass: the chart of the first population against that of the second.
    people : People or None
        None where only counts exist.
    """

    n_people: tuple
    n_terms: int
    associated: Associated
    tiers: tuple
    people: People | None


def associate(apart_a, apart_b, permutations, streams, pair):
    """Relate two matrices of dissimilarities; see `association`."""
    pearson, spearman = (
        association.mantel(
            apart_a,
            apart_b,
            method,
            permutations,
            streams.generator(f"comparison mantel {method}", pair),
        )
        for method in ("pearson", "spearman")
    )
    matched = association.match_configurations(
        apart_a, apart_b, permutations, streams.generator("comparison maps", pair)
    )
    few = 3 <= len(apart_a) <= association.FEW_TERMS and np.isfinite(pearson.correlation)
    exact = association.exact_mantel(apart_a, apart_b) if few else None
    return Associated(pearson, spearman, matched, exact)


def compare_counts(similar_a, similar_b, n_people, settings, streams, pair=0):
    """
    Compare two populations of which only counts are known.

    Parameters
    ----------
    similar_a, similar_b : (n_terms, n_terms) array of float
        Share of each population's people who put two terms together.
    n_people : (int, int)
    settings : Settings
    streams : felloe.ground.randomness.Streams
    pair : int
        Number of this pair of populations, which keys its random draws.

    Returns
    -------
    PairDossier
        Without `people`.
    """
    apart = [rounded_dissimilarity(similar) for similar in (similar_a, similar_b)]
    labels = [
        charted(similar, settings.linkage, settings.numbers)[1]
        for similar in (similar_a, similar_b)
    ]
    tiers = tuple(compare_tier(a, b) for a, b in zip(*labels, strict=True))
    associated = associate(*apart, settings.permutations, streams, pair)
    return PairDossier(tuple(n_people), len(similar_a), associated, tiers, None)


def compare_people(piles, first, counts, settings, streams, pair=0):
    """
    Compare two populations person by person.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
        Of the people of both populations.
    first : (n_people,) array of bool
        Who belongs to the first population.
    counts : (n_draws, n_people) array of int
        Redraws of participants within populations.
    settings : Settings
    streams : felloe.ground.randomness.Streams
    pair : int

    Returns
    -------
    PairDossier

    Raises
    ------
    ValueError
        If two people placed no pair of terms in common, or nobody placed some pair.
    """
    vectors = people_pairs.pair_vectors(piles)
    pooled = similarities(vectors, np.ones((1, len(first))))[0]
    if not np.isfinite(pooled).all():
        raise ValueError("some pair of terms was never placed by the same participant")
    rows = similarities(vectors, np.stack([first, ~first]))
    rows = np.where(np.isfinite(rows), rows, pooled)
    n_people = (int(first.sum()), int((~first).sum()))
    similar = [squared(row, vectors.n_terms, diagonal=1.0) for row in rows]
    by_counts = compare_counts(*similar, n_people, settings, streams, pair)
    people = examine_people(vectors, piles, first, counts, pooled, settings, streams, pair)
    return PairDossier(n_people, vectors.n_terms, by_counts.associated, by_counts.tiers, people)


def reliabilities_of(vectors, first, halves, streams, pair):
    """Return the split-half reliability of both populations."""
    return tuple(
        split_half_reliability(
            vectors.of(group), halves, streams.generator(f"comparison halves {side}", pair)
        )
        for side, group in enumerate((first, ~first))
    )


def examine_people(vectors, piles, first, counts, pooled, settings, streams, pair):
    """Run every part of the dossier that needs the people; arguments as in `compare_people`."""

    def drawn(purpose):
        return streams.generator(f"comparison {purpose}", pair)

    n_people, n_first = len(first), int(first.sum())
    squared = people_pairs.mirkin_distances(vectors)
    gram = doubly_centred(squared)
    covariances = people_pairs.person_covariances(vectors)
    shares = people_pairs.pair_shares(vectors)
    bins = label_tests.granularity_bins(shares, settings.bins)
    orders = label_tests.shuffled_people(drawn("labels"), n_people, settings.permutations)
    within = label_tests.shuffled_within(drawn("labels within bins"), bins, settings.permutations)
    groups = random_groups(drawn("splits"), n_people, n_first, settings.splits)
    reliabilities = reliabilities_of(vectors, first, settings.halves, streams, pair)
    unrestricted = label_tests.permanova(gram, first, orders)
    return People(
        reliabilities,
        noise_ceiling.corrected_correlation(vectors, first, reliabilities, covariances, counts),
        divided_correlations(vectors, groups),
        changes_of_splits(vectors, groups, pooled, settings.linkage, settings.numbers),
        unrestricted,
        label_tests.adjusted_label_test(gram, first, shares, within),
        unrestricted.sum_among * n_people / (n_first * (n_people - n_first)),
        label_tests.permdisp(squared, first, orders),
        compare_granularity(numbers_of_piles(piles), first, bins),
        people_pairs.one_culture(covariances),
        first,
        term_differences(vectors, first, orders),
        adjusted_term_differences(vectors, first, shares, within),
    )


def differing_class_changes(dossier, alpha, n_pairs=1):
    """Count the terms that differ beyond granularity and change class."""
    if dossier.people is None:
        return 0
    differing = dossier.people.terms_adjusted.p_terms * n_pairs <= alpha
    return int((differing & dossier.tiers[0].changes).sum())


def evidence_of(dossier, alpha, p_values=None, n_pairs=1):
    """
    Return what the rule asks, nan where only counts are known.

    Parameters
    ----------
    dossier : PairDossier
    alpha : float
        Level at which a term counts as placed differently.
    p_values : (float, float), optional
        Replace p of the adjusted and of the unrestricted test, as after allowing for several
        pairs.
    n_pairs : int
        Pairs of populations compared; p per term is multiplied by it.

    Returns
    -------
    felloe.comparison.verdict.Evidence
    """
    people, unknown = dossier.people, float("nan")
    changes = [int(tier.changes.sum()) for tier in dossier.tiers]
    if p_values is None:
        tests = (people.adjusted, people.unrestricted) if people else ()
        p_values = [test.p_value for test in tests] or [unknown, unknown]
    return Evidence(
        mantel_p=dossier.associated.pearson.p_value,
        corrected_low=people.corrected.low if people else unknown,
        class_changes=changes[0],
        subclass_changes=changes[1],
        expected_class_changes=float(np.median(people.split_changes[:, 0])) if people else 0.0,
        differing_class_changes=differing_class_changes(dossier, alpha, n_pairs),
        n_terms=dossier.n_terms,
        p_adjusted=p_values[0],
        p_unrestricted=p_values[1],
        overlap=people.granularity.overlap if people else unknown,
    )
