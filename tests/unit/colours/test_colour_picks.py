"""The medoid of picks and the question whether they fall into two groups."""

import numpy as np
import pytest
from felloe.colours.difference import ciede2000
from felloe.colours.picks import Pick, TwoGroups, shared_colour
from felloe.colours.picks import summarise_picks as summary_of
from felloe.colours.spaces import lab_of_hex

RULE = TwoGroups(picks=6, share=0.3, delta_e=25.0, within=0.5)
LEMONS = ["#f2e24b", "#efe055", "#f5e440", "#eedd48", "#f0e050"]
PLUMS = ["#5a2340", "#602845", "#55203c", "#5c2742", "#582141"]


def everybodys(colours):
    """Return picks, each of somebody else."""
    return [Pick(colour, f"c{number}") for number, colour in enumerate(colours)]


def summarise_picks(colours, rule=None, least=1):
    """Summarise colours, each somebody else's; with `least` 1 the middle is the medoid."""
    return summary_of(everybodys(colours), least, rule)


def random_picks(seed, count=30):
    levels = np.random.default_rng(seed).integers(0, 256, size=(count, 3))
    return [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in levels.tolist()]


@pytest.mark.parametrize("seed", range(5))
def test_the_medoid_equals_its_definition(seed):
    picks = random_picks(seed)
    sums = {
        one: sum(float(ciede2000(*lab_of_hex([one, other]))) for other in picks) for one in picks
    }
    assert summarise_picks(picks).colour == min(sums, key=sums.get)


@pytest.mark.parametrize("seed", range(5))
def test_the_summary_is_always_a_colour_somebody_picked(seed):
    picks = random_picks(seed, 9)
    assert summarise_picks(picks, RULE).colour in picks


def test_a_colour_picked_by_more_than_half_is_the_summary():
    # by the triangle inequality nearly so for CIEDE2000; exactly so for these picks
    picks = ["#3a7d44"] * 6 + random_picks(1, 5)
    assert summarise_picks(picks).colour == "#3a7d44"


def test_the_order_of_picks_does_not_matter():
    picks = random_picks(2)
    assert summarise_picks(picks, RULE) == summarise_picks(picks[::-1], RULE)


def test_capital_digits_are_the_same_colour():
    assert summarise_picks(["#AABBCC", "#aabbcc"]).colour == "#aabbcc"


def test_two_opposite_groups_are_reported_as_two():
    summary = summarise_picks(LEMONS + PLUMS[:4], RULE)
    assert (summary.bimodal, summary.colour in LEMONS, summary.second in PLUMS) == (True,) * 3


def test_one_group_with_a_stray_pick_is_one_group():
    assert not summarise_picks([*LEMONS, LEMONS[0], PLUMS[0]], RULE).bimodal


def test_scattered_picks_are_not_two_groups():
    assert not summarise_picks(random_picks(6, 40), RULE).bimodal


def test_few_picks_are_never_split():
    assert not summarise_picks(LEMONS[:2] + PLUMS[:2], RULE).bimodal


def test_no_picks_have_no_summary():
    summary = summarise_picks([])
    assert (summary.colour, summary.n_picks) == (None, 0)


def test_the_spread_is_the_mean_difference_from_the_medoid():
    summary = summarise_picks(LEMONS)
    differences = ciede2000(lab_of_hex(LEMONS), lab_of_hex([summary.colour]))
    assert summary.spread == pytest.approx(differences.mean(), abs=1e-6)


def lab_mean(colours):
    return lab_of_hex(colours).mean(axis=0)


@pytest.mark.parametrize("seed", range(20))
def test_the_middle_is_the_mean_of_the_three_nearest_people(seed):
    picks = random_picks(seed, 9)
    centre = summarise_picks(picks).colour
    away = {one: float(ciede2000(*lab_of_hex([centre, one]))) for one in picks}
    expected = lab_mean(sorted(picks, key=away.get)[:3])
    found = lab_of_hex([summarise_picks(picks, least=3).colour])[0]
    assert abs(found - expected).max() < 1  # rounded to what a screen shows


@pytest.mark.parametrize("seed", range(40))
def test_no_colour_is_told_that_fewer_than_three_people_picked(seed):
    rng = np.random.default_rng(seed)
    near = [f"#{r:02x}{g:02x}80" for r, g in rng.integers(100, 103, size=(7, 2)).tolist()]
    told = summarise_picks(near, least=3).colour
    assert told is None or near.count(told) == 0 or near.count(told) >= 3


def test_a_colour_that_three_people_picked_is_told_as_it_is():
    assert summarise_picks(["#3a7d44"] * 3 + ["#3a7d50"], least=3).colour == "#3a7d44"


def test_three_picks_of_one_person_are_one_persons():
    picks = [Pick("#3a7d44", "c1")] * 3 + [Pick("#5a2340", "c2"), Pick("#f2e24b", "c3")]
    assert shared_colour("#3a7d44", picks, 3) != "#3a7d44"
    summary = summary_of(picks[:3], 3)
    assert (summary.colour, summary.n_picks) == (None, None)


def test_who_picked_does_not_matter():
    picks = everybodys(random_picks(3, 9))
    renamed = [Pick(pick.colour, f"d{9 - number}") for number, pick in enumerate(picks)]
    assert summary_of(picks, 3, RULE) == summary_of(renamed, 3, RULE)


def test_a_camp_of_a_few_has_no_colour():
    summary = summarise_picks(LEMONS + PLUMS[:3], RULE, least=4)
    assert summary.bimodal
    assert summary.second is None
    assert summary.colour is not None
