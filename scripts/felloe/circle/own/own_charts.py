"""Each population's own chart as a ring, beside the chart that is published."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from felloe.circle.ring.layout import Layout, OuterRing, lay_out
from felloe.comparison.correlating.shares import shares_together
from felloe.ground.arrays import Bools
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.files.tables import Row
from felloe.ground.groups.contingency import contingencies, match_table
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import tree_of
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage
from felloe.ground.people.counts import Counts
from felloe.ground.people.sorts import POOLED
from felloe.ground.terms import check_same


@dataclass(frozen=True)
class Alike:
    """
    What the own charts have in common with the published one.

    Attributes
    ----------
    classes : Partition
        The published classes of all terms.
    n_subclasses : int
        Published.
    method : str
        Linkage.
    gap_budget_deg, class_gap : float
        See the settings of the circle.
    angles : mapping of str to float
        Degrees of the published ring's terms; the own rings are turned to lie like it.
    """

    classes: Partition
    n_subclasses: int
    method: str
    gap_budget_deg: float
    class_gap: float
    angles: Mapping[str, float]


@dataclass(frozen=True)
class OwnChart:
    """
    One population's own chart.

    Attributes
    ----------
    ring : OuterRing
        Of all terms: in it no term has become a name.
    layout : Layout
    stands_for : mapping of str to str or None
        The published class that each own class stands for, if any.
    published : tuple of str
        The published class of every term.
    differs : (n_terms,) array of bool
        Terms that are not in the published class that their own class stands for.
    """

    ring: OuterRing
    layout: Layout
    stands_for: Mapping[str, str | None]
    published: tuple[str, ...]
    differs: Bools

    def rows(self, population: str) -> Iterator[Row]:
        """Yield the rows of `circle/own_charts.csv`, in order around the circle."""
        for place, term in enumerate(self.layout.order.tolist()):
            yield {
                "population": population,
                "term": self.ring.terms[term],
                "class": self.ring.classes[term],
                "subclass": self.ring.subclasses[term],
                "start_deg": self.layout.ring.starts[place],
                "end_deg": self.layout.ring.ends[place],
                "matched_class": self.stands_for[self.ring.classes[term]] or "",
                "published_class": self.published[term],
                "differs": bool(self.differs[term]),
            }


def own_distances(counts: Mapping[str, Counts]) -> dict[str, Distances]:
    """
    Return each population's own distances.

    Parameters
    ----------
    counts : mapping of str to Counts
        Of every population and of `POOLED`.

    Returns
    -------
    dict of str to Distances
        A pair that nobody of a population placed takes the pooled similarity, as in the dossier.
    """
    pooled = counts[POOLED].similarity()
    return {
        name: Distances(counted.terms, rounded_dissimilarity(shares_together(counted, pooled)))
        for name, counted in counts.items()
        if name != POOLED
    }


def own_chart(distances: Distances, alike: Alike) -> OwnChart:
    """
    Chart one population alone.

    The tree is cut into as many classes and subclasses as are published. The order around the
    circle is the shortest that the tree allows, whatever freedom the published ring has.

    Parameters
    ----------
    distances : Distances
    alike : Alike

    Returns
    -------
    OwnChart

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If distances and published classes are not about the same terms in the same order.
    """
    check_same(distances.terms, alike.classes.terms, "the distances", "the published classes")
    tree = tree_of(distances, alike.method)
    classes, subclasses = tree.cut(alike.classes.n_groups), tree.cut(alike.n_subclasses)
    equal = np.ones(len(tree.terms))
    ring = OuterRing(tree, distances, classes.of_terms, subclasses.of_terms, equal)
    order = circular_order(from_linkage(tree.Z), distances.D, count=False).order
    layout = lay_out(ring, order, alike.gap_budget_deg, alike.class_gap, alike.angles)
    return OwnChart(
        ring,
        layout,
        counterparts(classes, alike.classes),
        alike.classes.of_terms,
        alike.classes.changed(classes),
    )


def counterparts(classes: Partition, published: Partition) -> dict[str, str | None]:
    """
    Return the published class that each class stands for, by the study's one matching.

    Parameters
    ----------
    classes, published : Partition
        Of the same terms.

    Returns
    -------
    dict of str to (str or None)
        By the class's id; None where none is left, or no term is shared.
    """
    check_same(classes.terms, published.terms, "one division", "the other")
    partner = match_table(contingencies(classes.labels[None], published.labels)[0])
    there = published.ids
    return {
        own: there[place] if place >= 0 else None
        for own, place in zip(classes.ids, partner.tolist(), strict=True)
    }
