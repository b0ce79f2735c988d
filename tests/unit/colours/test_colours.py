"""The colours of a chart: traced to picks, separated, and every override with its reason."""

from dataclasses import replace

import pytest
from felloe.colours.choice import ColourRules, choose_colours, measure
from felloe.colours.difference import ciede2000
from felloe.colours.picks import Pick, TwoGroups
from felloe.colours.spaces import lab_of_hex
from felloe.colours.words import colour_reason

RULES = ColourRules(10.0, 4.0, 30.0, TwoGroups(6, 0.3, 25.0, 0.5), least=1)  # privacy: at the end
RING = [
    ("acid", "acid", "acid"),
    ("lemon", "acid", "acid"),
    ("vinegar", "vinegar", "acid"),
    ("earth", "earth", "earth"),
    ("moss", "earth", "earth"),
    ("smoke", "smoke", "smoke"),
]
PICKS = {
    "acid": ["#e3d64a"] * 3,
    "lemon": ["#f0e24a", "#f0e24a", "#efdc3c"],
    "vinegar": ["#d8cd52", "#2b2f6b"],
    "earth": ["#6b4a2f", "#70502f"],
    "moss": ["#5b6b3a"],
}


def everybodys(picks):
    """Return picks, each of somebody else."""
    return {
        term: [Pick(colour, f"c{number}") for number, colour in enumerate(colours)]
        for term, colours in picks.items()
    }


def chosen(picks=PICKS, ring=RING, absorbed=(), rules=RULES):
    chosen = choose_colours(ring, absorbed, everybodys(picks), rules)
    return {(c.tier, c.term): c for c in chosen}


def delta(first, second):
    return float(ciede2000(*lab_of_hex([first, second])))


def test_rows_are_sorted_by_tier_and_id():
    rows = [(c.tier, c.term) for c in choose_colours(RING, [], everybodys(PICKS), RULES)]
    tiers = ["class", "subclass", "term"]
    assert rows == sorted(rows, key=lambda row: (tiers.index(row[0]), row[1]))


def test_a_class_colour_is_a_colour_picked_for_one_of_its_terms():
    assert chosen()["class", "acid"].used in {pick for picks in PICKS.values() for pick in picks}


def test_the_picks_of_an_absorbed_term_count_for_its_class():
    absorbed = [("sour", "acid", "acid")]
    picks = {**PICKS, "sour": ["#88aa22"] * 20}
    assert chosen(picks, absorbed=absorbed)["class", "acid"].used == "#88aa22"


def test_a_class_without_picks_is_declared_a_design_choice():
    choice = chosen()["class", "smoke"]
    assert choice.reason == "palette"
    assert colour_reason(choice.__dict__).startswith("design choice")


def test_a_term_keeps_its_own_pick():
    choice = chosen()["term", "lemon"]
    assert (choice.used, choice.reason) == ("#f0e24a", "as_picked")


def test_a_pick_too_far_from_its_subclass_is_overridden_with_the_reason():
    picks = {**PICKS, "lemon": ["#2b2f6b"] * 2}
    choice = chosen(picks)["term", "lemon"]
    assert choice.used != "#2b2f6b"
    assert choice.reason == "tint_far"
    assert choice.delta_e_subclass > 30


def test_two_classes_of_one_colour_are_told_apart():
    picks = {term: ["#7a8f3c"] for term, _, _ in RING}
    picks["acid"] = ["#7a8f3c"] * 4
    choices = chosen(picks)
    assert choices["class", "acid"].reason == "as_picked"
    used = [choices["class", name].used for name in ("acid", "earth", "smoke")]
    distances = [delta(one, other) for one in used for other in used if one != other]
    assert min(distances) >= 10


def test_the_class_with_more_picks_keeps_its_colour():
    picks = {**{term: ["#7a8f3c"] for term, _, _ in RING}, "smoke": ["#7a8f3c"] * 9}
    assert chosen(picks)["class", "smoke"].used == "#7a8f3c"


def test_picks_in_two_groups_give_a_tint_and_the_reason():
    picks = {**PICKS, "lemon": ["#f0e24a"] * 4 + ["#5a2340"] * 4}
    assert chosen(picks)["term", "lemon"].reason == "tint_two_groups"


def test_a_study_without_picks_has_every_colour():
    choices = chosen({})
    assert len(choices) == 3 + 4 + 6
    assert {(c.tier, c.reason) for c in choices.values()} == {
        ("class", "palette"),
        ("subclass", "shade"),
        ("term", "tint_unpicked"),
    }


def test_the_ring_order_of_picks_does_not_change_a_class_with_picks():
    mirrored = chosen(ring=RING[::-1])
    assert mirrored["class", "earth"].summary == chosen()["class", "earth"].summary


def measured(picks=PICKS):
    order = {
        "class": ["acid", "earth", "smoke"],
        "subclass": ["acid", "vinegar", "earth", "smoke"],
        "term": [row[0] for row in RING],
    }
    rows = measure(choose_colours(RING, [], everybodys(picks), RULES), order)
    return {(row["tier"], row["term"]): row for row in rows}


def test_every_adjustment_is_measured_from_the_pick():
    rows = measured()
    for row in rows.values():
        if row["picked"]:
            assert row["delta_e_2000"] == delta(row["picked"], row["used"])


def test_an_unpicked_colour_has_no_adjustment():
    row = measured()["class", "smoke"]
    assert (row["picked"], row["delta_e_2000"], row["n_picks"]) == (None, None, 0)


def test_text_is_readable_on_every_colour():
    assert min(row["contrast_ratio"] for row in measured().values()) >= 4.5


def test_every_segment_can_be_told_from_the_paper():
    assert min(row["paper_contrast"] for row in measured().values()) >= 3


def test_the_distance_from_neighbours_is_the_smaller_of_two():
    rows = measured()
    used = [rows["term", term]["used"] for term, _, _ in RING]
    expected = min(delta(used[1], used[0]), delta(used[1], used[2]))
    assert rows["term", "lemon"]["min_delta_e_neighbour"] == pytest.approx(expected, abs=1e-9)


def test_classes_are_compared_with_all_classes():
    rows = measured()
    used = {name: rows["class", name]["used"] for name in ("acid", "earth", "smoke")}
    expected = min(delta(used["acid"], used["earth"]), delta(used["acid"], used["smoke"]))
    assert rows["class", "acid"]["min_delta_e_pair"] == pytest.approx(expected, abs=1e-9)


FEW = replace(RULES, least=3)


def test_a_colour_of_three_people_is_kept_and_one_of_two_is_not():
    choices = chosen({**PICKS, "earth": ["#6b4a2f"] * 2}, rules=FEW)
    assert choices["term", "acid"].used == "#e3d64a"
    assert choices["term", "earth"].reason == "tint_few"
    assert choices["class", "earth"].reason == "palette_few"
    assert choices["class", "smoke"].reason == "palette"


def test_what_two_people_picked_moves_no_colour():
    without = chosen({**PICKS, "vinegar": []}, rules=FEW)
    choices = chosen({**PICKS, "vinegar": ["#2b2f6b"] * 2}, rules=FEW)
    assert {key: one.used for key, one in choices.items()} == {
        key: one.used for key, one in without.items()
    }
