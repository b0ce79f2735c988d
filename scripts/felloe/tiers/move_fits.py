"""How well the published chart would fit after a move, without measuring it anew each time."""

from functools import cached_property

import numpy as np

from felloe.clustering.class_counts import UNITS, group_sums
from felloe.ground.arrays import Floats, Ints
from felloe.ground.correlation import correlation
from felloe.ground.groups.linkage import cophenetic
from felloe.ground.ordering.circular_order import shortest_length
from felloe.ground.ordering.moved_group import GroupedCircle
from felloe.ground.ordering.moved_leaf import BranchCosts, MovedLeaf
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.squares import condensed
from felloe.tiers.decisions import Chart, Decision, Fit, mean_width

# A correlation this near to the edge between two rounded numbers is worked out in full: sums that
# are kept up to date differ from fresh ones by a few units of 1e-16.
EDGE = 2e-14
# So is one of values whose variance is below this share of their squared mean: digits are lost.
FLAT = 1e-4


class MovedSilhouettes:
    """
    Mean silhouette widths of groups after one term has changed its group.

    Only the sums of distances to two groups change.

    Parameters
    ----------
    D : (n, n) array of float
    labels : (n,) array of int
    """

    def __init__(self, D: Floats, labels: Ints) -> None:
        self.units, self.labels = np.rint(D * UNITS), labels
        self.sums = group_sums(D, labels)
        self.now = mean_width(self.sums, labels)

    def after(self, term: int, group: int) -> float:
        """Return the mean width once a term is in another group; nan for a single group."""
        left = int(self.labels[term])
        if left == group:
            return self.now
        sums, labels = self.sums.copy(), self.labels.copy()
        sums[:, left] -= self.units[:, term]
        sums[:, group] += self.units[:, term]
        labels[term] = group
        return mean_width(sums, labels)


class MovedHeights:
    """
    Cophenetic correlations after one term has moved.

    Only the heights at which that term joins the others change: taking it off and putting it
    elsewhere leaves every join of two others where it is.

    Parameters
    ----------
    joined : (n, n) array of float
        Heights at which terms join.
    apart : (n, n) array of float
        Distances, on their scale.
    """

    def __init__(self, joined: Floats, apart: Floats) -> None:
        self.joined, self.apart = joined, apart
        pairs, distances = condensed(joined), condensed(apart)
        self.n_pairs, self.middle = len(pairs), float(pairs.mean())
        centre = float(distances.mean())
        self.centred, self.offset = joined - self.middle, apart - centre
        near, off = condensed(self.centred), condensed(self.offset)
        self.sums = np.array([near.sum(), (near * near).sum(), (near * off).sum()])
        self.spread = float((off * off).sum())
        self.level = self.spread <= FLAT * self.n_pairs * centre**2

    def after(self, term: int, heights: Floats) -> float:
        """
        Return the correlation once a term joins the others at other heights.

        Parameters
        ----------
        term : int
        heights : (n,) array of float
            Its own is not looked at.
        """
        kept = np.arange(len(heights)) != term
        off, old, new = self.offset[term], self.centred[term], heights - self.middle
        change = np.array([new - old, new * new - old * old, (new - old) * off])[:, kept]
        total, squares, products = (self.sums + change.sum(axis=1)).tolist()
        varied = squares - total * total / self.n_pairs
        if self.level or varied <= FLAT * self.n_pairs * self.middle**2:
            return self._in_full(term, heights)
        found = products / np.sqrt(varied * self.spread)
        if abs(found * UNITS % 1.0 - 0.5) < EDGE * UNITS:
            return self._in_full(term, heights)
        return round(float(found), DISTANCE_DECIMALS)

    def _in_full(self, term: int, heights: Floats) -> float:
        joined = self.joined.copy()
        joined[term], joined[:, term], joined[term, term] = heights, heights, 0.0
        return round(correlation(condensed(joined), condensed(self.apart)), DISTANCE_DECIMALS)


class MoveFits:
    """
    Fits of a chart after each of many single moves from it.

    Bit for bit those of the chart measured anew after the move.

    Parameters
    ----------
    chart : Chart
        Stays as it is.
    """

    def __init__(self, chart: Chart) -> None:
        self.chart, self.tree, self.heights = chart, chart.growing, chart.heights
        classes, subclasses = chart.partitions()
        self.members = [subclasses.members(number) for number in range(subclasses.n_groups)]
        self.widths = [MovedSilhouettes(chart.D, part.labels) for part in (classes, subclasses)]
        self.published = self.tree.tree()
        self.joined = cophenetic(self.published.Z)
        self.correlations = MovedHeights(self.joined, self.heights)
        self.nodes = [self.tree.node_of(members) for members in self.members]
        self.places = [chart.terms.places(members) for members in self.members]
        self.class_of = [int(classes.labels[members[0]]) for members in self.places]
        self._leaf: MovedLeaf | None = None

    def after(self, place: int, subclass: int) -> Fit:
        """
        Return the fit once a term has joined a subclass that is not its own.

        Parameters
        ----------
        place : int
            Of the term.
        subclass : int
            Its number among the chart's subclasses.
        """
        of_classes, of_subclasses = self.widths
        return Fit(
            self.correlations.after(place, self.joins(place, subclass)),
            of_classes.after(place, self.class_of[subclass]),
            of_subclasses.after(place, subclass),
            self.ring(place, subclass),
        )

    def joins(self, place: int, subclass: int) -> Floats:
        """Return the heights at which a term joins all others once it has joined a subclass."""
        members, node, tree = self.places[subclass], self.nodes[subclass], self.tree
        heights: Floats = self.joined[members[0]].copy()
        above = tree.parent.get(node)
        if above is not None and above == tree.parent[place]:  # which goes when the term goes
            above = tree.parent.get(above)
        wanted = round(float(self.heights[place, members].mean()), DISTANCE_DECIMALS)
        heights[members] = tree.between(wanted, node, above)
        return heights

    def ring(self, place: int, subclass: int) -> float:
        """Return the length of the shortest circle once a term has joined a subclass."""
        leaves = self.places[subclass]
        if self.chart.rule.order_freedom == "tiers":
            return self._ring_of_tiers(place, self.members[subclass][0])
        if self._leaf is None or self._leaf.leaf != place:
            self._leaf = MovedLeaf(self.branches, place)
        whole = self._leaf.length_beside(self.branches.node_of(leaves))
        return self.chart.whole.length(whole)

    @cached_property
    def branches(self) -> BranchCosts:
        """The paths through every branch and around it, where every merge is kept."""
        return BranchCosts(self.published.Z, self.chart.whole.whole)

    @cached_property
    def groups(self) -> GroupedCircle:
        """The groups around the circle, where only tiers are kept."""
        return GroupedCircle(self.chart.ordering_tree(), self.chart.whole.whole)

    def _ring_of_tiers(self, place: int, beside: str) -> float:
        changed = self.chart.copy()
        changed.move(Decision(self.chart.terms[place], beside, "", ""))
        root = changed.ordering_tree()
        whole = self.groups.length_after(root, place)
        if whole is None:  # a group has gone, or too many stand around: found anew
            return shortest_length(root, self.chart.whole)
        return self.chart.whole.length(whole)
