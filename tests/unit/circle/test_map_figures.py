"""What the figures of map and ring promise: labels that cover nothing, supports in their place."""

import numpy as np
import pytest
from felloe.circle.map.figure_map import MapView, in_millimetres, label_terms
from felloe.circle.map.label_placement import place_labels
from felloe.circle.ring.figure_ring import LOWEST, spread
from felloe.circle.ring.ring_numbers import (
    INNER,
    NUMBER_MM,
    at,
    chords_of,
    free_place,
    neighbours_of,
    place_numbers,
)

BOUNDS = (0.0, 0.0, 218.0, 200.0)


def boxes(centres, sizes):
    return np.concatenate([centres - sizes / 2, centres + sizes / 2], axis=1)


def overlaps(one, other):
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > 1e-6
        and min(one[3], other[3]) - max(one[1], other[1]) > 1e-6
    )


@pytest.mark.parametrize("seed", range(4))
def test_ninety_six_labels_in_clusters_cover_neither_each_other_nor_a_point(seed):
    rng = np.random.default_rng(seed)
    middles = rng.uniform(40, 160, (9, 2))
    points = middles[np.arange(96) % 9] + rng.normal(0, 9, (96, 2))
    sizes = np.column_stack([rng.uniform(6, 19, 96), np.full(96, 2.2)])
    centres, _ = place_labels(points, sizes, BOUNDS)
    placed = boxes(centres, sizes)
    dots = boxes(points, np.full((96, 2), 1.4))
    clashes = [(i, j) for i in range(96) for j in range(i) if overlaps(placed[i], placed[j])] + [
        (i, j) for i in range(96) for j in range(96) if overlaps(placed[i], dots[j])
    ]
    assert clashes == []


def test_labels_stay_within_the_bounds():
    points = np.array([[0.5, 0.5], [217.5, 199.5], [217.0, 0.4]])
    sizes = np.full((3, 2), [20.0, 2.2])
    placed = boxes(place_labels(points, sizes, BOUNDS)[0], sizes)
    assert (placed[:, :2] >= -1e-9).all()
    assert (placed[:, 2] <= 218.0 + 1e-9).all()
    assert (placed[:, 3] <= 200.0 + 1e-9).all()


def test_a_map_is_drawn_at_one_scale_both_ways_and_fits():
    points = np.random.default_rng(0).normal(size=(20, 2)) * [3, 1]
    scale, origin, _ = in_millimetres(points, 100.0, 80.0, margin=5.0)
    placed = points * scale + origin
    assert (placed.min(axis=0) >= 5.0 - 1e-9).all()
    assert (placed.max(axis=0) <= np.array([95.0, 75.0]) + 1e-9).all()


def test_names_beside_the_ring_keep_their_order_and_do_not_overlap():
    heights = [3.1, 6.2, 3.1, 6.2, 3.1]
    placed = spread([10.0, 9.5, 9.0, -55.0, -55.5], heights)
    assert placed == sorted(placed, reverse=True)
    for i in range(4):
        assert placed[i] - placed[i + 1] >= (heights[i] + heights[i + 1]) / 2
    assert placed[-1] >= LOWEST


def test_a_number_takes_the_first_place_that_is_free():
    assert free_place([(0, 0), (0, 5)], [(1, 0)]) == (0, 5)
    assert free_place([(0, 0), (0, 5)], []) == (0, 0)


@pytest.mark.parametrize("seed", range(5))
def test_numbers_on_the_ring_cover_neither_each_other_nor_a_bar_nor_the_band(seed):
    rng = np.random.default_rng(seed)
    widths = np.array([30.0, 3.0, 42.0, 25.0, 55.0, 30.0, 48.0, 40.0, 20.0, 17.0])
    ends = np.cumsum(rng.permutation(widths) + 5.0) - 5.0
    names = [f"class {one}" for one in range(10)]
    starts = [0.0, *(ends[:-1] + 5.0)]
    spans = dict(zip(names, zip(starts, ends, strict=True), strict=True))
    pairs = [frozenset((a, b)) for i, a in enumerate(names) for b in names[:i]]
    shares = np.where(rng.random(len(pairs)) < 0.15, 0.4, 0.1)
    support = dict(zip(pairs, shares.tolist(), strict=True))
    bars, chords = neighbours_of(spans, support), chords_of(spans, support)
    places = np.array(place_numbers(bars, chords))
    assert len(places) == len(bars) + len(chords)
    placed = boxes(places, np.full(places.shape, NUMBER_MM))
    assert [
        (i, j) for i in range(len(placed)) for j in range(i) if overlaps(placed[i], placed[j])
    ] == []
    tips = [at(INNER - 1.2, angle) for _, angle, _ in bars]
    tips += [at(INNER, degrees) for degrees in range(0, 360, 2)]
    dots = boxes(np.array(tips), np.full((len(tips), 2), 0.2))
    assert [(i, j) for i in range(len(placed)) for j in range(len(dots))
            if overlaps(placed[i], dots[j])] == []  # fmt: skip


@pytest.mark.parametrize("n_terms", [300, 301])
def test_terms_too_many_to_be_named_on_the_map_are_not_and_it_says_so(n_terms):
    from felloe.ground.drawing import figure

    points = np.random.default_rng(3).uniform(20, 180, (n_terms, 2))
    labels = tuple(f"t{at}" for at in range(n_terms))
    view = MapView(labels, points, points, points, points[:, 0], labels, {}, {}, {})
    ax = figure(230, 230).add_axes((0, 0, 1, 1))
    label_terms(ax, view, points, (218.0, 200.0))
    said = [text.get_text() for text in ax.texts]
    if n_terms == 300:
        assert said == list(labels)
    else:
        assert said == [
            "301 terms have no room for their names; circle/map.csv has the place of each."
        ]
