from typing import get_args

import pytest
from felloe.colours.choice import Reason
from felloe.colours.words import REASONS, colour_reason


def row(reason, shade=None, n_shades=None, delta_e_subclass=None):
    return {
        "reason": reason,
        "shade": shade,
        "n_shades": n_shades,
        "delta_e_subclass": delta_e_subclass,
    }


def test_every_reason_has_its_words():
    assert set(REASONS) == set(get_args(Reason))


@pytest.mark.parametrize("reason", ["palette", "tint_unpicked"])
def test_a_colour_that_nobody_picked_is_called_a_design_choice(reason):
    assert colour_reason(row(reason)).startswith("design choice: nobody picked a colour")


def test_a_pick_that_is_too_far_away_is_said_to_be_so_far_away():
    assert "Delta E 57.4 from" in colour_reason(row("tint_far", delta_e_subclass=57.43))


def test_a_shade_says_which_of_how_many_it_is():
    assert colour_reason(row("shade", 2, 5)).startswith("shade 2 of 5")
