"""The outer ring of a chart laid out: which terms, in which order, at which angles."""

from dataclasses import dataclass

import numpy as np

from felloe.circle.gaps import Ring, gap_rule, grades_around, place_ring
from felloe.circle.pose import Pose, canonical_pose, pose_against
from felloe.ground.linkage import cophenetic
from felloe.tiers.tree_surgery import pruned


@dataclass(frozen=True)
class OuterRing:
    """
    The terms that stand on the outer ring, in sorted order, with their tree.

    Attributes
    ----------
    terms, classes, subclasses : tuple of str
    widths : (n,) array of float
    Z : (n - 1, 4) array of float
    D : (n, n) array of float
    kept : (n_all,) array of bool
        Which of all terms these are.
    """

    terms: tuple
    classes: tuple
    subclasses: tuple
    widths: np.ndarray
    Z: np.ndarray
    D: np.ndarray
    kept: np.ndarray


def outer_ring(terms, classes, subclasses, widths, absorbed, Z, D):
    """
    Take the absorbed terms off a chart.

    Parameters
    ----------
    terms, classes, subclasses : sequence of str
        Of all terms, in sorted order.
    widths : (n,) array of float
    absorbed : (n,) array of bool
    Z : (n - 1, 4) array of float
    D : (n, n) array of float

    Returns
    -------
    OuterRing
    """
    kept = ~np.asarray(absorbed)
    places = np.flatnonzero(kept)
    return OuterRing(
        *(tuple(names[i] for i in places) for names in (terms, classes, subclasses)),
        np.asarray(widths, dtype=float)[places],
        pruned(Z, kept),
        D[np.ix_(places, places)],
        kept,
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

    order: np.ndarray
    ring: Ring
    heights: np.ndarray
    grades: np.ndarray
    rule: object
    pose: Pose


def lay_out(outer, order, budget, class_gap, previous=None):
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
    previous : dict of str to float, optional
        Degrees of terms in an older edition.

    Returns
    -------
    Layout
    """
    joined = cophenetic(outer.Z)
    rule = gap_rule(joined, outer.classes, outer.subclasses, class_gap)
    order = np.asarray(order)
    pose = None
    if previous:
        _, _, ring = _placed(outer, order, joined, rule, budget)
        boundaries = ring.starts - np.roll(ring.gaps, 1) / 2.0
        angles = np.array([previous.get(outer.terms[i], np.nan) for i in order])
        pose = pose_against(ring.middles, boundaries, angles)
    if pose is None:
        names = [[values[i] for i in order] for values in (outer.terms, outer.classes)]
        pose = canonical_pose(*names)
    order = order[pose.order]
    heights, grades, ring = _placed(outer, order, joined, rule, budget)
    return Layout(order, ring, heights, grades, rule, pose)


def _placed(outer, order, joined, rule, budget):
    """Heights, grades and angles of one order."""
    heights = joined[order, np.roll(order, -1)]
    grades = grades_around(np.array(outer.classes)[order], np.array(outer.subclasses)[order])
    units = rule.units(heights, grades)
    return heights, grades, place_ring(outer.widths[order], units, budget)
