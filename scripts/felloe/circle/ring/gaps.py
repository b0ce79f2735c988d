"""Gaps and sectors of a ring: how far apart two neighbours stand tells how late they join."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.rounding import DISTANCE_DECIMALS

SAME, SUBCLASS, CLASS = 0, 1, 2
# in units of the least gap between subclasses, whose widest is twice the least
LEAST_CLASS_GAP = 2.0
FULL = 360.0


@dataclass(frozen=True)
class GapRule:
    """
    The function that turns a joining height into a gap.

    No gap within a subclass. Between subclasses of a class the gap rises in a straight line
    from 1 to 2 units while the joining height rises from the highest join within a subclass to
    the highest join within a class; between classes from `class_gap` to twice that, up to the
    height of the whole tree.

    Attributes
    ----------
    within_subclass, within_class, top : float
        The heights at which the line bends; none falls below the one before it.
    class_gap : float
        Least gap between classes in units of the least gap between subclasses; 2 or more, so
        that no gap inside a class is as wide as one between classes.
    """

    within_subclass: float
    within_class: float
    top: float
    class_gap: float

    def units(self, heights: Array, grades: Array) -> Floats:
        """
        Gaps in units of the least gap between subclasses.

        Parameters
        ----------
        heights : (n,) array of float
        grades : (n,) array of int
            `SAME`, `SUBCLASS` or `CLASS`.

        Returns
        -------
        (n,) array of float
        """
        heights, grades = np.asarray(heights, dtype=float), np.asarray(grades)
        inner = 1.0 + _part(heights, self.within_subclass, self.within_class)
        outer = self.class_gap * (1.0 + _part(heights, self.within_class, self.top))
        return np.where(grades == SAME, 0.0, np.where(grades == SUBCLASS, inner, outer))


def _part(heights: Floats, low: float, high: float) -> Floats:
    """Return how far heights have come from low to high, 0 to 1."""
    if high <= low:
        return np.zeros_like(heights)
    come: Floats = np.clip((heights - low) / (high - low), 0.0, 1.0)
    return come


def gap_rule(
    joined: Floats, classes: Sequence[str], subclasses: Sequence[str], class_gap: float
) -> GapRule:
    """
    Read the bends of the rule from a tree and its tiers.

    Parameters
    ----------
    joined : (n, n) array of float
        Heights at which terms join.
    classes, subclasses : sequence of str
    class_gap : float

    Returns
    -------
    GapRule

    Raises
    ------
    ValueError
        If `class_gap` is below 2.
    """
    if class_gap < LEAST_CLASS_GAP:
        raise ValueError(f"the gap between classes is {LEAST_CLASS_GAP} units or more")
    one, two = np.asarray(classes), np.asarray(subclasses)
    inner = float(joined[two[:, None] == two[None]].max())
    middle = max(inner, float(joined[one[:, None] == one[None]].max()))
    return GapRule(inner, middle, max(middle, float(joined.max())), float(class_gap))


def grades_around(classes: Sequence[str], subclasses: Sequence[str]) -> Ints:
    """
    Say what separates each term of a ring from the next, the last from the first.

    Parameters
    ----------
    classes, subclasses : sequence of str
        In order around the ring.

    Returns
    -------
    (n,) array of int
        `SAME`, `SUBCLASS` or `CLASS`.
    """
    one, two = np.asarray(classes), np.asarray(subclasses)
    other_class = one != np.roll(one, -1)
    other_subclass = two != np.roll(two, -1)
    return np.where(other_class, CLASS, np.where(other_subclass, SUBCLASS, SAME))


@dataclass(frozen=True)
class Ring:
    """
    Sectors and gaps in degrees, clockwise from the top.

    Attributes
    ----------
    starts, ends, gaps : (n,) array of float
        The gap after each sector; the top is the middle of the gap after the last one.
    """

    starts: Floats
    ends: Floats
    gaps: Floats

    @property
    def middles(self) -> Floats:
        """Middle of every sector."""
        return np.asarray((self.starts + self.ends) / 2.0)


def place_ring(widths: Array, units: Array, budget: float) -> Ring:
    """
    Divide a circle into sectors and gaps.

    Parameters
    ----------
    widths : (n,) array of float
        Of the sectors, in any unit.
    units : (n,) array of float
        Of the gap after each sector, in any unit.
    budget : float
        Degrees for all gaps; unused if there are none.

    Returns
    -------
    Ring
        Rounded to `DISTANCE_DECIMALS`; sectors and gaps add up to 360 within 1e-9.
    """
    widths, units = np.asarray(widths, dtype=float), np.asarray(units, dtype=float)
    total = units.sum()
    gaps = budget * units / total if total > 0 else np.zeros(len(units))
    sectors = (FULL - gaps.sum()) * widths / widths.sum()
    ends = np.cumsum(sectors + gaps) - gaps + gaps[-1] / 2.0
    starts = ends - sectors
    return Ring(
        np.round(starts, DISTANCE_DECIMALS),
        np.round(ends, DISTANCE_DECIMALS),
        np.round(gaps, DISTANCE_DECIMALS),
    )
