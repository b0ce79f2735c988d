"""Lines between two wheels: they keep off both, and meet their labels in an order that is least."""

from itertools import combinations, pairwise, permutations
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
import pytest
from felloe.editions.wheels.lanes import (
    LEFT,
    RIGHT,
    bearing,
    belongs,
    heights,
    label_order,
    ways,
)

RADIUS, FIRST, APART, REACH = 88.0, 90.0, 1.2, 105.0


@pytest.mark.parametrize(
    ("angle", "left", "right"),
    [(90, 0, 180), (270, -180, 0), (0, -90, -90), (180, 90, 90), (45, -45, -135), (225, 135, 45)],
)
def test_bearings_are_negative_over_the_top_on_either_wheel(angle, left, right):
    assert abs(bearing(angle, LEFT)) == abs(left)
    assert abs(bearing(angle, RIGHT)) == abs(right)
    if abs(left) not in (0, 180):
        assert bearing(angle, LEFT) == left
    if abs(right) not in (0, 180):
        assert bearing(angle, RIGHT) == right


def crossed(order, left, right):
    """Count the crossings of lines that stand as their bearings say, label by label."""
    place = {label: at for at, label in enumerate(order)}
    return sum(
        (side[a] - side[b]) * (place[a] - place[b]) < 0
        for side in (left, right)
        for a, b in combinations(range(len(order)), 2)
    )


@pytest.mark.parametrize("seed", range(8))
def test_no_other_order_of_labels_crosses_fewer_lines(seed):
    rng = np.random.default_rng(seed)
    left, right = rng.uniform(-180, 180, (2, 6)).tolist()
    found = crossed(label_order(left, right), left, right)
    assert found == min(crossed(order, left, right) for order in permutations(range(6)))


def test_a_label_with_one_line_stands_where_that_line_comes_from():
    assert label_order([-90.0, None, 90.0], [-80.0, 0.0, 80.0]) == [0, 1, 2]


@pytest.mark.parametrize("seed", range(6))
def test_labels_keep_their_order_their_distance_and_their_room(seed):
    wanted = sorted(np.random.default_rng(seed).uniform(-80, 80, 12).tolist())
    found = heights(wanted, 6.0, -88.0, 88.0)
    assert np.diff(found).min() >= 6.0 - 1e-9
    assert -88.0 - 1e-9 <= found[0] <= found[-1] <= 88.0 + 1e-9


def test_labels_with_room_stand_where_they_belong():
    assert heights([-30.0, 0.0, 40.0], 6.0, -88.0, 88.0) == (-30.0, 0.0, 40.0)


def test_labels_of_one_place_spread_evenly_about_it():
    assert heights([10.0, 10.0, 10.0], 6.0, -88.0, 88.0) == pytest.approx((4.0, 10.0, 16.0))


def test_labels_without_room_lie_evenly():
    found = heights([0.0] * 11, 6.0, -20.0, 20.0)
    assert found == pytest.approx(np.linspace(-20.0, 20.0, 11))


def test_no_labels_need_no_heights():
    assert heights([], 6.0, -1.0, 1.0) == ()


def test_a_label_belongs_to_the_mean_of_its_places():
    assert belongs([-90.0, 90.0], 50.0) == pytest.approx(0.0)
    assert belongs([-170.0, -90.0], 50.0) == pytest.approx(-50.0)
    assert belongs([None, 30.0], 50.0) == pytest.approx(25.0)


def track(way):
    """Return many places along a way."""
    found = [way.start]
    if way.turn:
        a, b, c, d = (np.array(point) for point in (way.start, *way.turn))
        for t in np.linspace(0, 1, 30):
            point = a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t**2 * (1 - t) + d * t**3
            found.append(tuple(point))
        radius, first, last = way.lane
        for one in np.linspace(first, last, 60):
            found.append((radius * cos(radians(one)), radius * sin(radians(one))))
    start, end = np.array(found[-1]), np.array(way.end)
    return [*found, *(tuple(start + t * (end - start)) for t in np.linspace(0, 1, 60))]


def ends(seed, count=14):
    rng = np.random.default_rng(seed)
    labels = np.linspace(-85, 85, count)
    places = rng.uniform(-180, 180, count)
    return [(float(one), (REACH, float(y))) for one, y in zip(places, labels, strict=True)]


@pytest.mark.parametrize("seed", range(10))
def test_no_line_enters_its_wheel(seed):
    some = ends(seed)
    for (place, label), way in zip(some, ways(some, RADIUS, FIRST, APART), strict=True):
        path = track(way)
        assert min(hypot(*point) for point in path) >= RADIUS - 0.05
        assert path[0] == pytest.approx(
            (RADIUS * cos(radians(place)), RADIUS * sin(radians(place)))
        )
        assert path[-1] == pytest.approx(label)
        assert max(point[0] for point in path) <= REACH + 1e-6


@pytest.mark.parametrize("seed", range(10))
def test_lines_leave_no_gaps_and_their_lanes_where_the_label_is_seen(seed):
    some = ends(seed)
    for (place, label), way in zip(some, ways(some, RADIUS, FIRST, APART), strict=True):
        path = track(way)
        assert max(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(path)) < 12.0
        if not way.lane:
            continue
        radius, _, last = way.lane
        x, y = radius * cos(radians(last)), radius * sin(radians(last))
        out = ((label[0] - x) * x + (label[1] - y) * y) / radius
        if abs(last - place) > 1e-9:
            assert out == pytest.approx(0.0, abs=1e-6)  # a tangent
        else:
            assert out >= 0  # the label is seen where the line enters its lane


def test_lines_on_one_side_have_lanes_of_their_own():
    some = [(place, (REACH, 0.0)) for place in (-100.0, -120.0, -140.0, 110.0, 150.0)]
    lanes = [way.lane[0] for way in ways(some, RADIUS, FIRST, APART)]
    assert lanes == pytest.approx([FIRST, FIRST + APART, FIRST + 2 * APART, FIRST, FIRST + APART])


def test_a_line_goes_round_the_shorter_way():
    for place in (-130.0, 130.0):
        (way,) = ways([(place, (REACH, 0.0))], RADIUS, FIRST, APART)
        side = [degrees(atan2(y, x)) for x, y in track(way)[:80]]
        assert all(one * place > 0 for one in side)


def test_a_label_in_sight_is_reached_straight():
    (way,) = ways([(10.0, (REACH, 20.0))], RADIUS, FIRST, APART)
    assert way.turn is None
    assert way.lane is None
