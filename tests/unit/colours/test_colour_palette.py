"""Palettes, shades and adjustments: what they promise, by definition."""

import numpy as np
import pytest
from felloe.colours.difference import ciede2000
from felloe.colours.palette import (
    ADJUSTED_CHROMA,
    ADJUSTED_LIGHTNESS,
    lch_grid,
    nearest_separated,
    seen_difference,
    separated_palette,
    shades,
    tint,
)
from felloe.colours.spaces import hue_chroma, lab_of_hex
from felloe.colours.vision import seen_labs


def smallest(colours):
    difference = seen_difference(seen_labs(colours), seen_labs(colours))
    return difference[np.triu_indices(len(colours), 1)].min()


@pytest.mark.parametrize("count", [1, 2, 7, 12])
def test_a_palette_has_as_many_colours_as_asked(count):
    assert len(set(separated_palette(count))) == count


def test_no_single_exchange_separates_a_palette_further():
    palette = separated_palette(5)
    grid = lch_grid((38.0, 46.0, 54.0, 62.0, 70.0), (26.0, 37.0, 48.0), 12.0)
    reached = smallest(palette)
    better = [
        colour
        for slot in range(5)
        for colour in grid[::11]
        if colour not in palette
        and smallest([*palette[:slot], *palette[slot + 1 :], colour]) > reached
    ]
    assert better == []


def test_a_palette_stays_away_from_colours_in_use():
    settled = ["#aa3333", "#3355aa"]
    both = [*separated_palette(4, settled), *settled]
    assert smallest(both) > 15


def test_a_palette_runs_in_order_of_hue():
    hues = hue_chroma(lab_of_hex(separated_palette(9)))[0]
    assert (np.diff(hues) > 0).all()


@pytest.mark.parametrize("colour", ["#8a4b2a", "#f3e9b0", "#20281c", "#5577aa"])
def test_shades_go_from_dark_to_light(colour):
    lightness = lab_of_hex(shades(colour, 5))[:, 0]
    assert (np.diff(lightness) > 3).all()


def test_shades_keep_the_hue():
    hues = hue_chroma(lab_of_hex(shades("#8a4b2a", 5)))[0]
    own = hue_chroma(lab_of_hex(["#8a4b2a"]))[0][0]
    assert hues == pytest.approx(own, abs=3)


def test_a_tint_is_lighter_than_its_colour():
    assert lab_of_hex([tint("#8a4b2a")])[0, 0] > lab_of_hex(["#8a4b2a"])[0, 0] + 20


def test_a_colour_far_from_all_others_is_left_alone():
    assert nearest_separated("#aa3333", ["#3355aa"], 10, 5, ["#3355aa"]) == ("#aa3333", True)


def test_a_colour_too_near_to_another_is_moved_far_enough():
    used, attained = nearest_separated("#aa3333", ["#ab3535"], 10, 0, [])
    assert attained
    assert ciede2000(*lab_of_hex([used, "#ab3535"])) >= 10


def test_the_adjustment_is_the_smallest_that_the_grid_offers():
    used, _ = nearest_separated("#aa3333", ["#ab3535"], 10, 0, [])
    grid = lch_grid(ADJUSTED_LIGHTNESS, ADJUSTED_CHROMA, 6.0)
    picked, other = lab_of_hex(["#aa3333", "#ab3535"])
    labs = lab_of_hex(list(grid))
    allowed = ciede2000(labs, other) >= 10
    assert ciede2000(*lab_of_hex([used, "#aa3333"])) == ciede2000(labs, picked)[allowed].min()


def test_what_cannot_be_attained_is_said():
    others = list(lch_grid((30.0, 50.0, 70.0, 90.0), (10.0, 30.0, 50.0), 30.0))
    assert nearest_separated("#aa3333", others, 30, 0, [])[1] is False
