"""Labels in sectors: they lie within, whatever the shape, and are as large as they may be."""

import numpy as np
import pytest
from felloe.report.label_fitting import (
    LINE,
    MOST_CHARACTERS,
    Sector,
    fit_label,
    line_breaks,
    line_radii,
    point,
    sector_outline,
    shortened,
)
from hypothesis import given
from hypothesis import strategies as st


def width_of(line):
    return 0.6 * len(line)


def corners(label):
    """Return the corners of a label along the radii as (radius, degrees from the middle)."""
    length = max(map(width_of, label.lines)) * label.size
    half = len(label.lines) * LINE * label.size / 2
    for x in (label.start, label.start + length):
        for y in (-half, half):
            yield np.hypot(x, y), np.degrees(np.arctan2(y, x))


words = st.lists(st.text("abcdefgh", min_size=1, max_size=12), min_size=1, max_size=6).map(" ".join)


@given(words, st.floats(5, 90), st.floats(3, 60), st.floats(0.4, 160), st.booleans())
def test_a_label_lies_within_its_sector(text, inner, depth, degrees, from_inside):
    outer = inner + depth
    label = fit_label(text, width_of, Sector(inner, outer, degrees), 5.0, from_inside=from_inside)
    slack = 1e-6
    if label.along:
        for line, radius in zip(
            label.lines, line_radii(len(label.lines), label.size, inner, outer)
        ):
            assert width_of(line) * label.size / radius <= np.radians(degrees) + slack
        assert len(label.lines) * LINE * label.size <= depth + slack
    else:
        for radius, angle in corners(label):
            assert abs(angle) <= min(degrees, 170) / 2 + slack
            assert inner - slack <= radius
        length = max(map(width_of, label.lines)) * label.size
        assert label.start + length <= outer + slack


@given(words, st.floats(1, 160))
def test_no_word_of_a_label_is_lost(text, degrees):
    label = fit_label(text, width_of, Sector(30, 60, degrees), 5.0)
    assert " ".join(label.lines) == shortened(text)


def test_a_wide_sector_has_its_label_along_the_ring():
    assert fit_label("sour", width_of, Sector(30, 45, 60), 5.0).along


def test_a_narrow_sector_has_its_label_across_the_ring():
    assert not fit_label("sour", width_of, Sector(30, 60, 6), 5.0).along


def test_a_label_is_never_larger_than_asked():
    assert fit_label("a", width_of, Sector(30, 90, 90), 5.0).size == 5.0


def test_lines_are_as_even_as_they_can_be():
    # by hand: the cuts a|bb ccc dddd, a bb|ccc dddd and a bb ccc|dddd leave 11, 8 and 8 characters
    two = line_breaks("a bb ccc dddd")[1]
    assert max(map(len, two)) == 8


def test_a_very_long_label_says_that_it_was_cut():
    cut = shortened("word " * 100)
    assert len(cut) <= MOST_CHARACTERS
    assert cut.endswith("…")


def test_degrees_run_clockwise_from_the_top():
    assert (
        pytest.approx(np.array([[0, 2], [2, 0], [0, -2]]), abs=1e-12)
        == np.array(point(2, [0, 90, 180])).T
    )


def test_the_outline_of_a_sector_has_its_area():
    # area of an annular sector: half the angle times the difference of the squared radii
    x, y = sector_outline(20, 50, 10, 75).T
    area = abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2
    assert area == pytest.approx(np.radians(65) * (50**2 - 20**2) / 2, rel=1e-4)


def test_a_hairline_is_of_the_same_width_all_along():
    outline = sector_outline(20, 50, 0, 40, hairline=0.2)
    x_outer, x_inner = outline[0, 0], outline[-1, 0]
    assert (x_outer, x_inner) == pytest.approx((0.2, 0.2), abs=1e-4)
