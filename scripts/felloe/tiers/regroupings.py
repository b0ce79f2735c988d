"""What other classes would cost: neighbours merged, one split, another number of them."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from felloe.ground.groups.contingency import changed_terms
from felloe.ground.groups.partition import Partition
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import allowed_orders
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.tiers.decisions import Chart, Fit
from felloe.tiers.tree_surgery import pruned

Kind = Literal["merge", "split", "number"]
RegroupingNote = Literal[
    "",
    "others_first",
    "not_next",
    "as_subclasses",
    "same_as_merge",
    "same_as_split",
    "same_as_number",
    "cut_refused",
]


@dataclass(frozen=True)
class Setting:
    """
    What in the settings makes other classes.

    Attributes
    ----------
    classes, subclasses : int or None
        Numbers; None for today's.
    cut : str
        A term whose class is cut into two subclasses; empty for none.
    """

    classes: int | None = None
    subclasses: int | None = None
    cut: str = ""


@dataclass(frozen=True)
class Tried:
    """
    Numbers of classes that are tried.

    Attributes
    ----------
    settings : mapping of int to Setting
        Of each number what makes it.
    in_range : sequence of int
        Those that are told in a row of their own.
    today : int
        The number of today's settings; of two numbers that publish the same, the one nearer to it
        is told in full.
    """

    settings: Mapping[int, Setting]
    in_range: Sequence[int]
    today: int

    @property
    def told(self) -> list[int]:
        """Those told in a row of their own, the nearest to today's first."""
        able = [k for k in self.in_range if k in self.settings]
        return sorted(able, key=lambda k: (abs(k - self.today), k))


# takes a setting, returns the chart that it would publish; None where a branch cut refuses it
ChartOf = Callable[[Setting], Chart | None]
TODAY = Setting()


@dataclass(frozen=True)
class Regrouping:
    """
    Other classes, and what they cost.

    Attributes
    ----------
    kind : {'merge', 'split', 'number'}
    chart : Chart or None
        None where a branch cut refuses the number.
    fit : Fit or None
    terms : tuple of str
        Those that are in no class that stands for their own.
    of_class, other : str
        Published ids; empty where there is none.
    setting : Setting
        Today's where none makes it.
    note : str
        Code.
    """

    kind: Kind
    chart: Chart | None
    fit: Fit | None = None
    terms: tuple[str, ...] = ()
    of_class: str = ""
    other: str = ""
    setting: Setting = TODAY
    note: RegroupingNote = ""

    @property
    def n_classes(self) -> int | None:
        """The number of classes after it."""
        return self.chart.partitions()[0].n_groups if self.chart else None

    def is_like(self, other: "Regrouping") -> bool:
        """Say whether another way gives the same classes and subclasses."""
        return bool(self.chart and other.chart and same_tiers(self.chart, other.chart))


def same_tiers(one: Chart, other: Chart) -> bool:
    """Say whether two charts have the same classes and subclasses."""
    pairs = zip(one.partitions(), other.partitions())
    return all(np.array_equal(part.labels, same.labels) for part, same in pairs)


def same_subclasses(one: Chart, other: Chart) -> bool:
    """Say whether two charts have the same subclasses, whatever their classes."""
    parts, others = (chart.partitions()[1].labels for chart in (one, other))
    return np.array_equal(parts, others)


def regroup(
    kind: Kind, before: Partition, chart: Chart | None, of_class: str = "", other: str = ""
) -> Regrouping:
    """Measure a chart whose classes are other ones than before."""
    if chart is None:
        return Regrouping(kind, None, note="cut_refused")
    changed = changed_terms(before.labels, chart.partitions()[0].labels)
    terms = tuple(before.terms[place] for place in np.flatnonzero(changed))
    return Regrouping(kind, chart, chart.fit(), terms, of_class, other)


def ring_neighbours(chart: Chart, absorbed: Iterable[str]) -> list[tuple[str, str]]:
    """
    Return pairs of classes that are neighbours around the circle, each once, in order around it.

    Parameters
    ----------
    chart : Chart
    absorbed : iterable of str
        Terms that do not stand on the circle.

    Returns
    -------
    list of (str, str)
        Published ids of the classes.
    """
    gone = set(absorbed)
    kept = [term for term in chart.terms if term not in gone]
    places, tree = chart.terms.places(kept), pruned(chart.growing.tree(), kept)
    classes, subclasses = chart.partitions()
    labels = classes.labels[places]
    freedom = chart.rule.order_freedom
    allowed, _ = allowed_orders(tree.Z, labels, subclasses.labels[places], freedom)
    order = circular_order(allowed, chart.D[np.ix_(places, places)], count=False).order
    around = [classes.ids[labels[place]] for place in order]
    pairs = [
        (min(pair), max(pair)) for pair in zip(around, around[1:] + around[:1]) if len({*pair}) > 1
    ]
    return list(dict.fromkeys(pairs))


def merged(chart: Chart, one: str, other: str) -> tuple[Chart, bool]:
    """
    Merge two classes.

    Parameters
    ----------
    chart : Chart
    one, other : str
        Published ids.

    Returns
    -------
    chart : Chart
        Where the tree does not join the two next, the smaller one's branch is taken off and put
        beside the other at their mean distance, as a moved term is.
    next : bool
        Whether the tree joins them next.
    """
    found, classes = chart.copy(), chart.partitions()[0]
    groups = [classes.members(classes.ids.index(name)) for name in (one, other)]
    smaller, larger = sorted(groups, key=len)
    tree = found.growing
    branch, beside = tree.node_of(smaller), tree.node_of(larger)
    joined_next = tree.parent.get(branch) == tree.parent.get(beside)
    if not joined_next:
        apart = found.heights[np.ix_(*map(chart.terms.places, (smaller, larger)))]
        tree.prune_branch(branch)
        tree.graft_branch(branch, beside, round(float(apart.mean()), DISTANCE_DECIMALS))
    found.classes |= dict.fromkeys(smaller, found.classes[larger[0]])
    return found, joined_next


def split(chart: Chart, one: str) -> Chart | None:
    """
    Split a class where the tree splits it.

    Parameters
    ----------
    chart : Chart
    one : str
        Published id.

    Returns
    -------
    Chart or None
        The smaller part is the new class; where the class has a single subclass, that is split
        too. None for a class of one term.
    """
    found, classes = chart.copy(), chart.partitions()[0]
    members = classes.members(classes.ids.index(one))
    if len(members) < 2:
        return None
    tree = found.growing
    below = [tree.leaves_below(child) for child in tree.children[tree.node_of(members)]]
    leaving = [chart.terms[place] for place in min(sorted(below), key=len)]
    # an id that no group of the data can have
    found.classes |= dict.fromkeys(leaving, f"{leaving[0]} and more")
    if len({found.subclasses[term] for term in members}) == 1:
        found.subclasses |= dict.fromkeys(leaving, f"{leaving[0]} and more")
    return found


def single_ways(chart: Chart, absorbed: Iterable[str]) -> Iterator[Regrouping]:
    """Yield merges of neighbours around the circle, then splits; no setting is known yet."""
    before = chart.partitions()[0]
    for one, other in ring_neighbours(chart, absorbed):
        changed, joined_next = merged(chart, one, other)
        note: RegroupingNote = "others_first" if joined_next else "not_next"
        found = regroup("merge", before, changed, of_class=one, other=other)
        yield replace(found, note=note)
    for one in before.ids:
        parts = split(chart, one)
        if parts:
            yield replace(regroup("split", before, parts, of_class=one), note="others_first")


def regroupings(
    chart: Chart, absorbed: Iterable[str], tried: Tried, chart_of: ChartOf
) -> Iterator[Regrouping]:
    """
    Yield other classes with what they cost: merges around the circle, splits, numbers.

    Parameters
    ----------
    chart : Chart
        The published one.
    absorbed : iterable of str
        Terms that do not stand on the circle.
    tried : Tried
    chart_of : callable
    """
    before = chart.partitions()[0]
    numbers = {
        k: replace(regroup("number", before, chart_of(setting)), setting=setting)
        for k, setting in tried.settings.items()
    }
    for way in single_ways(chart, absorbed):
        alike = next((k for k, found in numbers.items() if found.is_like(way)), None)
        if alike is not None:
            same: RegroupingNote = "same_as_merge" if way.kind == "merge" else "same_as_split"
            numbers[alike] = replace(
                numbers[alike], note=same, of_class=way.of_class, other=way.other
            )
            yield replace(way, setting=tried.settings[alike], note="")
        else:
            yield way if way.kind == "merge" else parted(way, chart, chart_of)
    yield from told_once([numbers[k] for k in tried.told])


def told_once(found: Sequence[Regrouping]) -> list[Regrouping]:
    """Mark numbers that publish what an earlier one does; return them in the order of numbers."""
    rows = [
        replace(one, note="same_as_number") if any(map(one.is_like, found[:place])) else one
        for place, one in enumerate(found)
    ]
    return sorted(rows, key=lambda one: one.setting.classes or 0)


def parted(way: Regrouping, chart: Chart, chart_of: ChartOf) -> Regrouping:
    """Name the branch cut that makes the parts of a split class its subclasses, if one does."""
    if way.chart is None or same_subclasses(way.chart, chart):
        return way
    setting = Setting(cut=way.of_class)
    found = chart_of(setting)
    if found is None or not same_subclasses(found, way.chart):
        return way
    return replace(way, setting=setting, note="as_subclasses")
