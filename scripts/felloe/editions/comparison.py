"""Two editions on their common terms: distances, people, classes, trees, orders and maps."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from felloe.circle.agreement import CircularAgreement, circular_agreement
from felloe.clustering.tree_similarity import TreeSimilarity, compare_trees
from felloe.comparison.association import (
    ConfigurationMatch,
    MantelResult,
    mantel,
    match_configurations,
)
from felloe.comparison.corrected import CorrectedCorrelation, corrected_correlation
from felloe.comparison.label_tests import (
    LabelTest,
    adjusted_label_test,
    granularity_bins,
    granularity_columns,
    matched_label_test,
    permanova,
    shuffled_people,
    shuffled_within,
)
from felloe.comparison.matching import granularity_measures, match_people, matched_contrasts
from felloe.comparison.shape import ShapeTest, shape_test
from felloe.editions.correspondence import order_angles
from felloe.ground.arrays import Array, Bools
from felloe.ground.distances import Distances
from felloe.ground.groups.agreement import (
    adjusted_mutual_information,
    adjusted_rand,
    variation_of_information,
)
from felloe.ground.people.halves import Reliability, divided_correlations, split_half_reliability
from felloe.ground.people.pairs import (
    PairVectors,
    mirkin_distances,
    pair_vectors,
    person_covariances,
)
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.randomness import Streams
from felloe.ground.squares import doubly_centred
from felloe.ground.terms import Terms, check_same

FEWEST_TERMS = 4  # below, neither an order around a circle nor a tree says anything


@dataclass(frozen=True)
class Settings:
    """
    How often things are drawn at random.

    Attributes
    ----------
    permutations, shape_permutations : int
        Of every test, and of that of single terms.
    halves : int
        Random divisions of each edition's people into halves.
    granularity_bins : int
        Bins of equal count within which people change editions in the adjusted test.
    level : float
        At which a term is named as placed differently.
    """

    permutations: int
    shape_permutations: int
    halves: int
    granularity_bins: int
    level: float


@dataclass(frozen=True)
class Edition:
    """
    One edition cut down to the common terms, under the ids that both editions give them.

    Attributes
    ----------
    sorts : Sorts
    distances, heights : Distances
        The chart's distances, and the heights at which terms join in its tree.
    groups : dict of str to dict of str to tuple of str
        Chart (`published`, `data_only`), then tier (`class`, `subclass`), to the group of every
        term, by the id that the group has in the whole edition.
    order : tuple of str
        Terms in order around the published circle; may lack those that became names.

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If not all of it is about the same terms in the same order.
    """

    sorts: Sorts
    distances: Distances
    heights: Distances
    groups: Mapping[str, Mapping[str, tuple[str, ...]]]
    order: tuple[str, ...]

    def __post_init__(self) -> None:
        """Check that all is about the same terms."""
        check_same(self.sorts.terms, self.terms, "the sorts", "the distances")
        check_same(self.heights.terms, self.terms, "the tree", "the distances")
        for groups in (groups for tiers in self.groups.values() for groups in tiers.values()):
            if len(groups) != len(self.terms):
                raise ValueError(f"groups of {len(groups)} terms do not fit {len(self.terms)}")
        self.terms.places(self.order)

    @property
    def terms(self) -> Terms:
        """The common terms."""
        return self.distances.terms

    @property
    def classes(self) -> tuple[str, ...]:
        """The published class of every term."""
        return self.groups["published"]["class"]


@dataclass(frozen=True)
class Distant:
    """Mantel's test of the two matrices of distances, by products and by ranks."""

    pearson: MantelResult
    spearman: MantelResult


@dataclass(frozen=True)
class LabelTests:
    """
    The pooling dossier's tests with editions in place of populations.

    Attributes
    ----------
    plain, adjusted : LabelTest
        As it is, and adjusted for granularity by covariates.
    p_matched : float
        Between people who sort about equally coarsely.
    n_matched : int
        Such people.
    """

    plain: LabelTest
    adjusted: LabelTest
    p_matched: float
    n_matched: int


@dataclass(frozen=True)
class People:
    """
    Whether the people of two editions could have been one group.

    Attributes
    ----------
    tests : LabelTests
    shape : ShapeTest
        Whether single common terms are placed differently, beyond granularity and noise.
    older, newer : Reliability
    correlation : float
        Of the two matrices of the people compared, as it is.
    corrected : CorrectedCorrelation
        The correlation less the noise of both studies.
    halves : int
        Random divisions into halves behind the reliabilities.
    n_older, n_newer, n_left_out : int
        People compared, and those who placed too few of the common terms.
    """

    tests: LabelTests
    shape: ShapeTest
    older: Reliability
    newer: Reliability
    correlation: float
    corrected: CorrectedCorrelation
    halves: int
    n_older: int
    n_newer: int
    n_left_out: int


@dataclass(frozen=True)
class Divided:
    """
    How far two ways of dividing the common terms agree.

    Attributes
    ----------
    n_older, n_newer : int
        Groups that hold a common term.
    adjusted_rand, adjusted_mutual_information : float
        1 for the same division, 0 for what chance gives.
    variation_of_information : float
        Nats; 0 for the same division.
    """

    n_older: int
    n_newer: int
    adjusted_rand: float
    adjusted_mutual_information: float
    variation_of_information: float


@dataclass(frozen=True)
class Drawn:
    """How far the trees, the orders around the circle and the planar maps agree."""

    trees: TreeSimilarity
    circle: CircularAgreement
    maps: ConfigurationMatch


@dataclass(frozen=True)
class Measures:
    """
    Everything that is measured on the common terms.

    Attributes
    ----------
    terms : Terms
    distances : Distant
    people : People
    divisions : dict of str to dict of str to Divided
        By chart, then tier.
    drawn : Drawn
    level : float
        At which a term is named as placed differently.
    """

    terms: Terms

    distances: Distant
    people: People
    divisions: Mapping[str, Mapping[str, Divided]]
    drawn: Drawn
    level: float

    @property
    def placed_differently(self) -> dict[str, float]:
        """p of every common term, as `shape_test` finds it."""
        return dict(zip(self.terms, self.people.shape.p_terms.tolist(), strict=True))


def compare(older: Edition, newer: Edition, settings: Settings, streams: Streams) -> Measures:
    """
    Compare two editions on their common terms.

    Parameters
    ----------
    older, newer : Edition
    settings : Settings
    streams : Streams
        Of this pair of editions.

    Returns
    -------
    Measures

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If they are not cut down to the same terms in the same order.
    """
    check_same(older.terms, newer.terms, "the older edition", "the newer one")
    return Measures(
        older.terms,
        compare_distances(older.distances, newer.distances, settings.permutations, streams),
        compare_people(older.sorts, newer.sorts, settings, streams),
        compare_divisions(older, newer),
        compare_drawings(older, newer, settings.permutations, streams),
        settings.level,
    )


def compare_distances(
    older: Distances, newer: Distances, permutations: int, streams: Streams
) -> Distant:
    """Return the association of the two matrices of distances, by Mantel's test."""

    def related(method: Literal["pearson", "spearman"]) -> MantelResult:
        rng = streams.generator(f"editions mantel {method}")
        return mantel(older.D, newer.D, method, permutations, rng)

    return Distant(related("pearson"), related("spearman"))


def sorters(piles: Array, partial: bool = False) -> Bools:
    """
    Return who placed enough of the common terms to be compared with anybody else.

    Whoever sorted the whole lexicon has to have placed more than half of the common terms; whoever
    was shown some of it, half of what such people placed of them in the mean, and four at least.
    """
    placed = (np.asarray(piles) != UNPLACED).sum(axis=1)
    if partial:
        return np.asarray(placed >= max(FEWEST_TERMS, placed.mean() / 2))
    return np.asarray(placed >= np.shape(piles)[1] / 2 + 1)  # any two then share two terms


def compare_people(older: Sorts, newer: Sorts, settings: Settings, streams: Streams) -> People:
    """
    Ask whether the people of two editions could have been one group.

    Parameters
    ----------
    older, newer : Sorts
        Of the same terms.
    settings : Settings
    streams : Streams

    Returns
    -------
    People
    """
    kept = [one.piles[sorters(one.piles, one.prior is not None)] for one in (older, newer)]
    prior = newer.prior if older.prior is None else older.prior
    counts = [len(piles) for piles in kept]
    is_older = np.arange(sum(counts)) < counts[0]
    piles = np.vstack(kept)
    vectors = pair_vectors(piles, prior)
    rng = streams.generator("editions shape")
    reliable = (
        reliability_of(vectors.of(is_older), "older", settings, streams),
        reliability_of(vectors.of(~is_older), "newer", settings, streams),
    )
    return People(
        tests=label_tests(piles, is_older, settings, streams, prior),
        shape=shape_test(piles, is_older, rng, settings.shape_permutations, settings.level, prior),
        older=reliable[0],
        newer=reliable[1],
        correlation=float(divided_correlations(vectors, is_older[None])[0]),
        corrected=corrected_correlation(person_covariances(vectors), is_older),
        halves=settings.halves,
        n_older=counts[0],
        n_newer=counts[1],
        n_left_out=len(older.piles) + len(newer.piles) - sum(counts),
    )


def reliability_of(
    vectors: PairVectors, name: str, settings: Settings, streams: Streams
) -> Reliability:
    """Return how well halves of one edition's people, `older` or `newer`, repeat each other."""
    rng = streams.generator(f"editions {name}")
    return split_half_reliability(vectors, settings.halves, rng)


def label_tests(
    piles: Array,
    is_older: Bools,
    settings: Settings,
    streams: Streams,
    prior: float | None = None,
) -> LabelTests:
    """Deal the label of the edition at random: among all, and among those who sort as coarsely."""
    apart, number = mirkin_distances(pair_vectors(piles, prior)), settings.permutations
    gram, partial = doubly_centred(apart), prior is not None
    matching, measures = (
        match_people(piles, is_older, partial),
        granularity_measures(piles, partial),
    )
    free = shuffled_people(streams.generator("editions labels"), len(is_older), number)
    bins = granularity_bins(matching.scores, settings.granularity_bins)
    within = shuffled_within(streams.generator("editions labels in bins"), bins, number)
    in_sets = streams.generator("editions labels in sets")
    matched = matched_contrasts(is_older, matching.sets, in_sets, number)
    return LabelTests(
        plain=permanova(gram, is_older, free),
        adjusted=adjusted_label_test(gram, is_older, granularity_columns(measures), within),
        p_matched=matched_label_test(gram, *matched),
        n_matched=matching.n_matched,
    )


def compare_divisions(older: Edition, newer: Edition) -> dict[str, dict[str, Divided]]:
    """Return, for each chart and tier, how far the two ways of dividing the terms agree."""
    return {
        chart: {tier: divided(groups, newer.groups[chart][tier]) for tier, groups in tiers.items()}
        for chart, tiers in older.groups.items()
    }


def divided(older: Sequence[str], newer: Sequence[str]) -> Divided:
    """Return how far two ways of dividing the same terms agree, from the group of every term."""
    return Divided(
        len(set(older)),
        len(set(newer)),
        adjusted_rand(older, newer),
        adjusted_mutual_information(older, newer),
        variation_of_information(older, newer),
    )


def compare_drawings(older: Edition, newer: Edition, permutations: int, streams: Streams) -> Drawn:
    """Return how far the trees, the orders around the circle and the planar maps agree."""
    in_newer = set(newer.order)
    shared = [term for term in older.order if term in in_newer]
    in_both = set(shared)
    angles = order_angles(shared, [term for term in newer.order if term in in_both])
    maps = streams.generator("editions maps")
    return Drawn(
        compare_trees(older.heights.D, newer.heights.D),
        circular_agreement(*angles, streams.generator("editions order"), permutations),
        match_configurations(older.distances.D, newer.distances.D, permutations, maps),
    )
