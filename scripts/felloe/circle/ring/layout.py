"""The outer ring of a chart laid out: which terms, in which order, at which angles."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from felloe.circle.ring.gaps import GapRule, Ring, gap_rule, grades_around, place_ring
from felloe.circle.ring.pose import Pose, canonical_pose, pose_against
from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.groups.tree import Tree
from felloe.ground.terms import Terms, check_same
from felloe.tiers.tree_surgery import pruned


@dataclass(frozen=True)
class OuterRing:
    """
    The terms that stand on the outer ring, with their tree.

    Attributes
    ----------
    tree : Tree
    distances : Distances
    classes, subclasses : tuple of str
        The group of every term; it may be named after a term that is not on the ring.
    widths : (n,) array of float
        Of the sectors, in any unit.

    Raises
    ------
    DifferentTerms
        If tree and distances are not about the same terms.
    ValueError
        If there is not one class, subclass and width per term.
    """

    tree: Tree
    distances: Distances
    classes: tuple[str, ...]
    subclasses: tuple[str, ...]
    widths: Floats

    def __post_init__(self) -> None:
        """Check that all parts are about the same terms."""
        check_same(self.tree.terms, self.distances.terms, "the tree", "the distances")
        if not len(self.terms) == len(self.classes) == len(self.subclasses) == len(self.widths):
            raise ValueError(
                f"not one class, subclass and width for each of {len(self.terms)} terms"
            )

    @property
    def terms(self) -> Terms:
        """The terms of the ring."""
        return self.tree.terms

    def without(self, absorbed: Collection[str]) -> "OuterRing":
        """Take terms off the ring; groups keep their names."""
        kept = [term for term in self.terms if term not in absorbed]
        places = self.terms.places(kept)
        return OuterRing(
            pruned(self.tree, kept),
            self.distances.on(kept),
            tuple(self.classes[place] for place in places),
            tuple(self.subclasses[place] for place in places),
            self.widths[places],
        )


@dataclass(frozen=True)
class Layout:
    """
    A ring as it is drawn.

    Attributes
    ----------
    order : (n,) array of int
        Places of the outer ring's terms, clockwise from the top.
    ring : Ring
    heights : (n,) array of float
        At which each term joins the next.
    grades : (n,) array of int
        What separates it from the next, see `gaps`.
    rule : GapRule
    pose : Pose
    """

    order: Ints
    ring: Ring
    heights: Floats
    grades: Ints
    rule: GapRule
    pose: Pose


def lay_out(
    outer: OuterRing,
    order: Array,
    budget: float,
    class_gap: float,
    previous: Mapping[str, float] | None = None,
) -> Layout:
    """
    Give every term of the outer ring its angle.

    Parameters
    ----------
    outer : OuterRing
    order : (n,) array of int
        A circular order of its terms.
    budget : float
        Degrees for all gaps.
    class_gap : float
        See `gaps.GapRule`.
    previous : mapping of str to float, optional
        Degrees of terms in an older edition.

    Returns
    -------
    Layout
    """
    joined = outer.tree.cophenetic().D
    rule = gap_rule(joined, outer.classes, outer.subclasses, class_gap)
    order = np.asarray(order)
    pose = None
    if previous:
        _, _, ring = _placed(outer, order, joined, rule, budget)
        boundaries = ring.starts - np.roll(ring.gaps, 1) / 2.0
        angles = np.array([previous.get(outer.terms[i], np.nan) for i in order])
        pose = pose_against(ring.middles, boundaries, angles)
    if pose is None:
        pose = canonical_pose([outer.terms[i] for i in order], [outer.classes[i] for i in order])
    order = order[pose.order]
    heights, grades, ring = _placed(outer, order, joined, rule, budget)
    return Layout(order, ring, heights, grades, rule, pose)


def _placed(
    outer: OuterRing, order: Ints, joined: Floats, rule: GapRule, budget: float
) -> tuple[Floats, Ints, Ring]:
    """Heights, grades and angles of one order."""
    heights = joined[order, np.roll(order, -1)]
    grades = grades_around([outer.classes[i] for i in order], [outer.subclasses[i] for i in order])
    units = rule.units(heights, grades)
    return heights, grades, place_ring(outer.widths[order], units, budget)


def neighbours_around(outer: OuterRing, layout: Layout) -> list[tuple[str, str]]:
    """Return pairs of classes that are neighbours on the ring, each once, in order around it."""
    around = [outer.classes[i] for i in layout.order]
    pairs = [(a, b) for a, b in zip(around, around[1:] + around[:1]) if a != b]
    first = {frozenset(pair): pair for pair in reversed(pairs)}
    return [pair for pair in pairs if first[frozenset(pair)] is pair]
