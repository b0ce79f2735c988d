"""The committee's decisions replayed on the chart of the data, each with its price."""

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Literal

import numpy as np

from felloe.clustering.class_counts import group_sums, silhouettes_of_sums
from felloe.ground.arrays import Bools, Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import cophenetic_correlation, merge_scale
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree
from felloe.ground.ordering.circular_order import Scaled, scaled, shortest_length
from felloe.ground.ordering.tree import Node, allowed_orders
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.terms import Terms, check_same
from felloe.tiers.cuts import Tiers
from felloe.tiers.tree_surgery import GrowingTree

APPLIED, VOID = "applied", "void"
WhyVoid = Literal["", "term_gone", "beside_gone", "already_together"]


@dataclass(frozen=True)
class Decision:
    """
    A term that is to join the subclass of another, as handed in.

    Attributes
    ----------
    term, beside : str
        Either may be gone from the study.
    reason, decided_on, decided_by : str
    """

    term: str
    beside: str
    reason: str
    decided_on: str
    decided_by: str = ""


@dataclass(frozen=True)
class Place:
    """
    Where a term stands.

    Attributes
    ----------
    of_class, of_subclass : str
        Ids that the groups have in the chart of the data.
    """

    of_class: str
    of_subclass: str


@dataclass(frozen=True)
class Fit:
    """
    How well a chart fits the data.

    Attributes
    ----------
    cophenetic : float
        Correlation of joining heights and distances, -1 to 1.
    silhouette_class, silhouette_subclass : float
        Mean silhouette widths, -1 to 1; nan for a single group.
    ring : float
        Length of the shortest circle of all terms, whichever of those that tie is drawn.
    """

    cophenetic: float
    silhouette_class: float
    silhouette_subclass: float
    ring: float


PRICES = tuple(measure.name for measure in fields(Fit))


def changes(before: Fit, after: Fit) -> dict[str, float]:
    """Return what each measure of fit changes by: the price."""
    return {
        name: round(getattr(after, name) - getattr(before, name), DISTANCE_DECIMALS)
        for name in PRICES
    }


@dataclass(frozen=True)
class FitRule:
    """
    How the fit of a chart is measured.

    Attributes
    ----------
    order_freedom : {'tree', 'tiers'}
        What a circle has to respect.
    method : str
        Linkage of the tree.
    """

    order_freedom: str = "tree"
    method: str = "average"


class Chart:
    """
    A tree and its tiers while decisions are replayed.

    Groups keep the ids that they have in the chart of the data, so that they are known again.

    Parameters
    ----------
    tree : Tree
    tiers : Tiers
    distances : Distances
    rule : FitRule
    """

    def __init__(self, tree: Tree, tiers: Tiers, distances: Distances, rule: FitRule) -> None:
        check_same(tree.terms, tiers.terms, "the tree", "the tiers")
        check_same(tree.terms, distances.terms, "the tree", "the distances")
        self.terms, self.growing, self.D, self.rule = (
            tree.terms,
            GrowingTree(tree),
            distances.D,
            rule,
        )
        self.classes, self.subclasses = (
            dict(zip(tiers.terms, part.of_terms)) for part in (tiers.classes, tiers.subclasses)
        )

    @property
    def heights(self) -> Floats:
        """Distances on the scale of the tree's heights."""
        return merge_scale(self.D, self.rule.method)

    @cached_property
    def whole(self) -> Scaled:
        """The distances as whole numbers, for the circle."""
        return scaled(self.D)

    def place(self, term: str) -> Place | None:
        """Return where a term stands; None for one that is gone."""
        return Place(self.classes[term], self.subclasses[term]) if term in self.terms else None

    def move(self, decision: Decision) -> None:
        """Move a term into the subclass of another, at their mean distance in the tree."""
        term, beside = decision.term, decision.beside
        members = [one for one in self.terms if self.subclasses[one] == self.subclasses[beside]]
        self.growing.prune(term)
        apart = self.heights[self.terms.places([term])[0], self.terms.places(members)]
        height = round(float(apart.mean()), DISTANCE_DECIMALS)
        self.growing.graft(term, self.growing.node_of(members), height)
        self.subclasses[term], self.classes[term] = self.subclasses[beside], self.classes[beside]

    def fit(self) -> Fit:
        """Measure how well the chart fits the data."""
        classes, subclasses = (part.labels for part in self.partitions())
        return Fit(
            cophenetic_correlation(self.growing.tree().Z, self.heights),
            mean_silhouette(self.D, classes),
            mean_silhouette(self.D, subclasses),
            self.ring(),
        )

    def ordering_tree(self) -> Node:
        """Return what a circle of all terms has to respect."""
        classes, subclasses = (part.labels for part in self.partitions())
        Z, order_freedom = self.growing.tree().Z, self.rule.order_freedom
        return allowed_orders(Z, classes, subclasses, order_freedom)[0]

    def ring(self) -> float:
        """Return the length of the shortest circle of all terms, whichever of those that tie."""
        return shortest_length(self.ordering_tree(), self.whole)

    def partitions(self) -> tuple[Partition, Partition]:
        """Return the classes and the subclasses."""
        classes, subclasses = (
            Partition.of_ids(self.terms, list(part.values()))
            for part in (self.classes, self.subclasses)
        )
        return classes, subclasses

    def copy(self) -> "Chart":
        """Return a chart that can be changed apart from this one."""
        other = copy(self)
        other.growing = self.growing.copy()
        other.classes, other.subclasses = dict(self.classes), dict(self.subclasses)
        return other


def mean_silhouette(D: Floats, labels: Ints) -> float:
    """Return the mean silhouette width, rounded; nan for a single group."""
    return mean_width(group_sums(D, labels), labels)


def mean_width(sums: Floats, labels: Ints) -> float:
    """Return the same from the sums of distances to every group, some of which may be empty."""
    if (labels == labels[0]).all():
        return float("nan")
    return round(float(silhouettes_of_sums(sums, labels).mean()), DISTANCE_DECIMALS)


@dataclass(frozen=True)
class Replayed:
    """
    One decision after its replay.

    Attributes
    ----------
    decision : Decision
    status : {'applied', 'void'}
    note : str
        Code of why it is void; see `why_void`.
    before, after : Place or None
        None for a term that is gone.
    fit_before, fit_after : Fit or None
        None for a void decision.
    """

    decision: Decision
    status: str
    note: WhyVoid = ""
    before: Place | None = None
    after: Place | None = None
    fit_before: Fit | None = None
    fit_after: Fit | None = None


@dataclass(frozen=True)
class Publication:
    """
    The published chart.

    Attributes
    ----------
    tree : Tree
        Over all terms, absorbed ones included.
    classes, subclasses : tuple of str
        Of every term the group it is published in, by the id that the group has in the chart of
        the data.
    moved : (n,) array of bool
    replayed : tuple of Replayed
        In the order of their replay.
    """

    tree: Tree
    classes: tuple[str, ...]
    subclasses: tuple[str, ...]
    moved: Bools
    replayed: tuple[Replayed, ...] = ()


def replay_order(decisions: Iterable[Decision], terms: Terms) -> list[Decision]:
    """
    Order decisions by day; within a day, a term that others are put beside moves first.

    The order of the rows of a file then never matters.

    Parameters
    ----------
    decisions : iterable of Decision
    terms : Terms
        Of the study; decisions on terms that are gone come first on their day.

    Returns
    -------
    list of Decision
    """
    waiting = sorted(
        decisions, key=lambda one: (one.decided_on, one.term in terms, one.term, one.beside)
    )
    order = []
    while waiting:
        today = [one for one in waiting if one.decided_on == waiting[0].decided_on]
        moving = {one.term for one in today}
        ready = [one for one in today if one.beside not in moving]
        order.append((ready or today)[0])
        waiting.remove(order[-1])
    return order


def why_void(decision: Decision, chart: Chart) -> WhyVoid:
    """Return the code of why a decision has nothing to do on a chart, or an empty text."""
    if decision.term not in chart.terms:
        return "term_gone"
    if decision.beside not in chart.terms:
        return "beside_gone"
    if chart.subclasses[decision.term] == chart.subclasses[decision.beside]:
        return "already_together"
    return ""


def replayed_chart(
    tree: Tree,
    tiers: Tiers,
    distances: Distances,
    decisions: Iterable[Decision],
    rule: FitRule = FitRule(),
) -> Chart:
    """Return the published chart: decisions replayed as `replay` does, without their prices."""
    chart = Chart(tree, tiers, distances, rule)
    for decision in replay_order(decisions, tree.terms):
        if not why_void(decision, chart):
            chart.move(decision)
    return chart


def replay(
    tree: Tree,
    tiers: Tiers,
    distances: Distances,
    decisions: Sequence[Decision],
    rule: FitRule = FitRule(),
) -> Publication:
    """
    Replay decisions on the chart of the data, one after the other, and price each.

    Parameters
    ----------
    tree : Tree
    tiers : Tiers
    distances : Distances
    decisions : sequence of Decision
    rule : FitRule

    Returns
    -------
    Publication
    """
    chart, replayed, fit = Chart(tree, tiers, distances, rule), [], None
    for decision in replay_order(decisions, tree.terms):
        before = chart.place(decision.term)
        note = why_void(decision, chart)
        if note:
            replayed.append(Replayed(decision, VOID, note, before, before))
            continue
        fit = fit or chart.fit()
        chart.move(decision)
        after = chart.fit()
        replayed.append(
            Replayed(
                decision,
                APPLIED,
                before=before,
                after=chart.place(decision.term),
                fit_before=fit,
                fit_after=after,
            )
        )
        fit = after
    places = list(zip(chart.classes.values(), chart.subclasses.values(), strict=True))
    of_data = zip(tiers.classes.of_terms, tiers.subclasses.of_terms, strict=True)
    moved = np.array([now != then for now, then in zip(places, of_data, strict=True)])
    classes, subclasses = zip(*places, strict=True)
    return Publication(chart.growing.tree(), classes, subclasses, moved, tuple(replayed))
