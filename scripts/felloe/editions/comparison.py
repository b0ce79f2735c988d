"""Two editions on their common terms: distances, people, classes, trees, orders and maps."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from felloe.circle.agreement import CircularAgreement, circular_agreement
from felloe.clustering.tree_similarity import TreeSimilarity, compare_trees
from felloe.comparison.correlating.association import (
    ConfigurationMatch,
    MantelResult,
    mantel,
    match_configurations,
)
from felloe.editions.correspondence import order_angles
from felloe.editions.people import People, compare_people
from felloe.editions.settings import Settings
from felloe.ground.distances import Distances
from felloe.ground.groups.agreement import (
    adjusted_mutual_information,
    adjusted_rand,
    variation_of_information,
)
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.ground.terms import Terms, check_same


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
