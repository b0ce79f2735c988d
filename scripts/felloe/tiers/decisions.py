"""The committee's decisions replayed on the chart of the data, each with its price."""

from dataclasses import dataclass, field

import numpy as np

from felloe.clustering.class_counts import silhouettes
from felloe.ground.linkage import cophenetic_correlation
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage, from_tiers
from felloe.ground.partition import number_by_appearance
from felloe.tiers.tree_surgery import GrowingTree

APPLIED, VOID = "applied", "void"


@dataclass(frozen=True)
class Decision:
    """
    A term that is to join the subclass of another.

    Attributes
    ----------
    term, beside : int
        -1 for a term that the study no longer has.
    decided_on : str
    """

    term: int
    beside: int
    decided_on: str


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
        Length of the shortest circle of all terms.
    """

    cophenetic: float
    silhouette_class: float
    silhouette_subclass: float
    ring: float


@dataclass
class Chart:
    """
    A tree and its tiers while decisions are replayed.

    Attributes
    ----------
    tree : GrowingTree
    classes, subclasses : (n,) array of int
        Labels; they stay those of the chart of the data, so that a group is known again.
    """

    tree: GrowingTree
    classes: np.ndarray
    subclasses: np.ndarray

    def move(self, decision, distances):
        """Move a term into the subclass of another, at their mean distance in the tree."""
        joined = self.subclasses == self.subclasses[decision.beside]
        members = np.flatnonzero(joined)
        self.tree.prune(decision.term)
        height = round(float(distances[decision.term, members].mean()), 12)
        self.tree.graft(decision.term, self.tree.node_of(members.tolist()), height)
        self.subclasses[decision.term] = self.subclasses[decision.beside]
        self.classes[decision.term] = self.classes[decision.beside]


@dataclass(frozen=True)
class Replayed:
    """
    One decision after its replay.

    Attributes
    ----------
    number : int
        Place of the decision in the list handed in.
    status : {'applied', 'void'}
    note : str
        Why it is void.
    before, after : tuple of int
        Class and subclass labels of the term; empty for a term that is gone.
    fit_before, fit_after : Fit or None
    """

    number: int
    status: str
    note: str = ""
    before: tuple = ()
    after: tuple = ()
    fit_before: Fit | None = None
    fit_after: Fit | None = None


@dataclass(frozen=True)
class Publication:
    """
    The published chart.

    Attributes
    ----------
    Z : (n - 1, 4) array of float
        Over all terms, absorbed ones included.
    classes, subclasses : (n,) array of int
        Labels of the chart of the data.
    moved : (n,) array of bool
    replayed : list of Replayed
        In the order of their replay.
    """

    Z: np.ndarray
    classes: np.ndarray
    subclasses: np.ndarray
    moved: np.ndarray
    replayed: list = field(default_factory=list)


def replay_order(decisions):
    """
    Order decisions by day; within a day, a term that others are put beside moves first.

    The order of the rows of a file then never matters.

    Parameters
    ----------
    decisions : sequence of Decision

    Returns
    -------
    list of int
    """
    waiting = sorted(
        range(len(decisions)), key=lambda i: (decisions[i].decided_on, decisions[i].term)
    )
    order = []
    while waiting:
        day = decisions[waiting[0]].decided_on
        moving = {decisions[i].term for i in waiting if decisions[i].decided_on == day}
        today = [i for i in waiting if decisions[i].decided_on == day]
        ready = [i for i in today if decisions[i].beside not in moving]
        chosen = (ready or today)[0]
        order.append(chosen)
        waiting.remove(chosen)
    return order


def chart_fit(chart, D, order_freedom, squared):
    """
    Measure how well a chart fits the data.

    Parameters
    ----------
    chart : Chart
    D : (n, n) array of float
    order_freedom : {'tree', 'tiers'}
    squared : bool
        The tree was built on the square root of `D` (Ward's method).

    Returns
    -------
    Fit
    """
    _, Z = chart.tree.linkage()
    if order_freedom == "tiers":
        tree, _ = from_tiers(Z, chart.classes, chart.subclasses)
    else:
        tree = from_linkage(Z)
    widths = []
    for labels in (chart.classes, chart.subclasses):
        labels = number_by_appearance(labels)
        several = labels.max() > 0
        widths.append(round(float(silhouettes(D, labels).mean()), 12) if several else float("nan"))
    return Fit(
        cophenetic_correlation(Z, np.sqrt(D) if squared else D),
        *widths,
        circular_order(tree, D, count=False).length,
    )


def why_void(decision, chart):
    """Return why a decision has nothing to do on a chart, or an empty text."""
    if decision.term < 0:
        return "the term is no longer in the study"
    if decision.beside < 0:
        return "the term to stand beside is no longer in the study"
    if chart.subclasses[decision.term] == chart.subclasses[decision.beside]:
        return "the data put the two terms in one subclass already"
    return ""


def replay(Z, classes, subclasses, D, decisions, order_freedom="tree", squared=False):
    """
    Replay decisions on the chart of the data, one after the other, and price each.

    Parameters
    ----------
    Z : (n - 1, 4) array of float
    classes, subclasses : (n,) array of int
    D : (n, n) array of float
    decisions : sequence of Decision
    order_freedom : {'tree', 'tiers'}
    squared : bool
        See `chart_fit`.

    Returns
    -------
    Publication
    """
    chart = Chart(GrowingTree(Z), np.array(classes), np.array(subclasses))
    distances = np.sqrt(D) if squared else np.asarray(D)
    replayed, fit = [], None
    for number in replay_order(decisions):
        decision = decisions[number]
        before = _place(chart, decision.term)
        note = why_void(decision, chart)
        if note:
            replayed.append(Replayed(number, VOID, note, before, before))
            continue
        fit = fit or chart_fit(chart, D, order_freedom, squared)
        chart.move(decision, distances)
        after = chart_fit(chart, D, order_freedom, squared)
        place = _place(chart, decision.term)
        replayed.append(Replayed(number, APPLIED, "", before, place, fit, after))
        fit = after
    moved = (chart.classes != classes) | (chart.subclasses != subclasses)
    return Publication(chart.tree.linkage()[1], chart.classes, chart.subclasses, moved, replayed)


def _place(chart, term):
    """Return the class and subclass of a term; nothing for one that is gone."""
    return () if term < 0 else (int(chart.classes[term]), int(chart.subclasses[term]))
