"""
The lines that join terms of two wheels: round each wheel on lanes, then across to a label.

All of one wheel is told from its own centre, x towards the other wheel and y downwards; bearings
are degrees from x, negative over the top, -180 to 180. The other wheel is the mirror image.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, atan2, cos, degrees, hypot, radians, sin

LEFT, RIGHT = 90.0, 270.0  # degrees from the top that face the other wheel
BEND = 5.0  # degrees along its lane in which a line turns into it
EDGE = 1.0  # degrees from the last place that is seen from a label, for rounding
Point = tuple[float, float]
Curve = tuple[Point, Point, Point]  # two handles and an end


@dataclass(frozen=True)
class Way:
    """
    The way of a line from the rim of a wheel to a label.

    Attributes
    ----------
    start : Point
    turn : Curve or None
        From the start into the lane; None for a line that leads straight to its label.
    lane : (radius, first, last) or None
        Bearings at which the line enters and leaves the lane.
    end : Point
    """

    start: Point
    end: Point
    turn: Curve | None = None
    lane: tuple[float, float, float] | None = None


def bearing(angle: float, facing: float) -> float:
    """
    Return how far a place on a wheel lies from the other wheel.

    Parameters
    ----------
    angle : float
        Degrees clockwise from the top.
    facing : float
        `LEFT` for the wheel on the left, `RIGHT` for the one on the right.

    Returns
    -------
    float
        Negative over the top.
    """
    away = (angle - facing + 180.0) % 360.0 - 180.0
    return away if facing == LEFT else -away


def at(radius: float, bearing: float) -> Point:
    """Return a place on a circle around the wheel's centre."""
    return radius * cos(radians(bearing)), radius * sin(radians(bearing))


def label_order(left: Sequence[float | None], right: Sequence[float | None]) -> list[int]:
    """
    Put the labels between the wheels into an order, from the top.

    Two lines that lie one above the other on both sides stay so, so that no other order has fewer
    crossings: those of two columns that stand where their wheels put them.

    Parameters
    ----------
    left, right : sequence of float or None
        Bearing of each label's term on either wheel; None where it is not on the ring.

    Returns
    -------
    list of int
    """
    sides = [ranks(side) for side in (left, right)]
    means = []
    for one, other in zip(*sides, strict=True):
        known = [rank for rank in (one, other) if rank is not None]
        means.append(sum(known) / len(known) if known else 0.0)
    return sorted(range(len(means)), key=lambda label: (means[label], label))


def ranks(bearings: Sequence[float | None]) -> list[float | None]:
    """Return the rank of each bearing from the top, equal ones at their mean."""
    known = sorted(one for one in bearings if one is not None)
    n = len(known)
    return [
        None
        if one is None
        else (known.index(one) + n - 1 - known[::-1].index(one)) / 2 / max(n - 1, 1)
        for one in bearings
    ]


def heights(
    wanted: Sequence[float], least: float, lowest: float, highest: float
) -> tuple[float, ...]:
    """
    Place labels as near to where they belong as their order and their room allow.

    Parameters
    ----------
    wanted : sequence of float
        In the order that stays.
    least : float
        Between two labels.
    lowest, highest : float
        Where the first may stand at the least and the last at the most; if there is no room for
        `least` between all, they lie evenly.

    Returns
    -------
    tuple of float
        The least squares beside `wanted` before they are moved into the bounds.
    """
    n = len(wanted)
    if not n:
        return ()
    least = min(least, (highest - lowest) / max(n - 1, 1))
    pools: list[tuple[float, int]] = []  # sum and number of what moves as one
    for place, one in enumerate(wanted):
        pools.append((one - place * least, 1))
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            (total, number), (upper, before) = pools.pop(), pools.pop()
            pools.append((total + upper, number + before))
    found = [total / number for total, number in pools for _ in range(number)]
    top = highest - (n - 1) * least
    return tuple(min(max(one, lowest), top) + place * least for place, one in enumerate(found))


def belongs(bearings: Sequence[float | None], radius: float) -> float:
    """Return the height at which a label belongs: the mean of where its lines come from."""
    known = [
        radius * sin(radians(min(max(one, -90.0), 90.0))) for one in bearings if one is not None
    ]
    return sum(known) / len(known) if known else 0.0


def ways(
    ends: Sequence[tuple[float, Point]], radius: float, first: float, apart: float
) -> list[Way]:
    """
    Lead lines from a wheel to their labels.

    A line whose label is seen from its place on the rim leads straight there. Any other goes
    round the wheel the shorter way and leaves it where its label comes into sight; each such line
    has a lane, the inner ones for those that set out nearer to the other wheel, so that none
    crosses another while they go round.

    Parameters
    ----------
    ends : sequence of (bearing, label)
    radius : float
        Where lines begin.
    first : float
        Radius of the first lane.
    apart : float
        Between two lanes.

    Returns
    -------
    list of Way
    """
    found: dict[int, Way] = {}
    around: dict[float, list[int]] = {-1.0: [], 1.0: []}
    for number, (place, label) in enumerate(ends):
        side = hidden_side(place, label, radius)
        if side:
            around[side].append(number)
        else:
            found[number] = Way(at(radius, place), label)
    for side, numbers in around.items():
        numbers.sort(key=lambda number: (abs(ends[number][0]), number))
        for lane, number in enumerate(numbers):
            place, label = ends[number]
            found[number] = round_way(place, label, radius, first + lane * apart, side)
    return [found[number] for number in range(len(ends))]


def hidden_side(place: float, label: Point, radius: float) -> float:
    """Return which way round a line goes, -1 over the top and 1 below; 0 for a straight one."""
    towards = degrees(atan2(label[1], label[0]))
    seen = degrees(acos(min(1.0, radius / hypot(*label)))) - EDGE
    away = (place - towards + 180.0) % 360.0 - 180.0
    if abs(away) <= seen:
        return 0.0
    return 1.0 if (place if abs(place) > 90.0 else away) > 0 else -1.0


def round_way(place: float, label: Point, radius: float, lane: float, side: float) -> Way:
    """Return a way along a lane that leaves it as a tangent through the label."""
    towards = degrees(atan2(label[1], label[0]))
    leaves = towards + side * degrees(acos(min(1.0, lane / hypot(*label))))
    leaves = side * min(side * leaves, side * place)  # seen from the lane, if not from the rim
    into = side * max(side * leaves, side * place - BEND)
    corner = at(lane, place)
    turn = (corner, corner, at(lane, into))
    return Way(at(radius, place), label, turn, (lane, into, leaves))
