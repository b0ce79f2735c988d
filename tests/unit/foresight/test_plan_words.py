"""What a plan says on the screen: enough for what, which row is one's own, what is assumed."""

from dataclasses import replace

import numpy as np
from felloe.foresight.own import Own, reaching, sources_of
from felloe.foresight.words import (
    assumed_lines,
    figure_text,
    plan_text,
    pooling,
    reached,
    yours,
)
from felloe.launching.plan_study.foreseen import own_of
from planning_example import (
    GRID,
    OWN,
    SETTINGS,
    SOURCES,
    about_of,
    changed,
    planned_brine,
    rows_of,
)


def test_the_fewest_people_for_the_reliability_to_plan_for_are_told():
    cells = [(16, 40, 0.6), (16, 80, 0.85), (16, 160, 0.9), (30, 40, 0.7), (30, 160, 0.79)]
    rows = [{"terms_each": k, "people": n, "reliability": r} for k, n, r in cells]
    assert reached(rows, 0.8) == (
        "A reliability of 0.8 of everybody (stability.target): from 80 people with 16 terms each, "
        "not up to 160 people with 30."
    )


def test_the_sizes_from_which_pooling_is_open_are_told():
    rows = rows_of([(60, 160, 0.5), (60, 320, 0.69), (100, 160, 0.69), (100, 320, 0.7)])
    assert pooling(rows, 0.7) == (
        "Pooling needs a reliability of 0.70 in each population "
        "(comparison.margins.reliability): from 320 people with 100 terms each, not up to 320 "
        "people with 60."
    )
    none = rows_of([(40, 320, 0.1), (60, 320, 0.1), (100, 320, 0.1)])
    assert pooling(none, 0.7).endswith(": not up to 320 people with 40, 60 or 100.")
    assert reaching(rows, "smaller_reliability", 0.7) == {60: None, 100: 320}
    assert reaching(
        rows_of([(60, 40, float("nan")), (60, 80, 0.9)]), "smaller_reliability", 0.7
    ) == {60: 80}


def test_a_plan_fits_a_screen():
    ranges = dict.fromkeys(("classes", "subclasses"), "ranges")
    text = plan_text(GRID, about_of(sources=SOURCES | ranges), "plans/brine", Own(60, 84, 0.4))
    lines = text.splitlines()
    assert len(lines) < 30
    assert max(map(len, lines)) <= 100


def test_the_size_of_the_study_itself_is_marked():
    lines = plan_text(GRID, about_of(), "plans/brine", Own(60, 84)).splitlines()
    marked = [line.split()[:2] for line in lines if line.endswith("yours")]
    assert marked == [["60", "80"]]
    assert yours(GRID, Own(60, 84)) == (
        "yours: 60 terms each, and of the sizes the nearest to the 84 people who are named."
    )
    before = plan_text(GRID, about_of(), "plans/brine", Own(60)).splitlines()
    assert [line.split()[0] for line in before if line.endswith("yours")] == ["60"] * 4
    assert "nobody is named yet" in yours(GRID, Own(60))
    assert "60 terms each (the nearest to 70)" in yours(GRID, Own(70))


def test_lists_with_another_share_are_told_beside_what_is_assumed():
    assert assumed_lines(about_of(), 0.4)[1].endswith(
        "50% are in the smaller of two populations, in the lists 40% "
        "(design.assumptions.smaller_population)."
    )
    for same in (None, 0.5, 0.499):
        assert "lists" not in assumed_lines(about_of(), same)[1]


def test_the_study_itself_is_read_from_its_lists():
    people = dict.fromkeys("abc", "makers") | dict.fromkeys("de", "panel")
    shown = {person: np.arange(3) for person in people}
    named = replace(planned_brine(), people=people, given=shown)
    assert own_of(named) == Own(3, 5, 0.4)
    assert own_of(planned_brine()) == Own(7)  # 60 terms each, of seven
    three = replace(named, people={**people, "e": "guests"})
    assert own_of(three).smaller is None


def test_what_nobody_stated_is_not_called_stated():
    defaults = SETTINGS["design"]["assumptions"]
    found = sources_of(SETTINGS, defaults)
    heading, assumed = assumed_lines(about_of(sources=found))
    assert "27 subclasses (assumed: near the middle of the ranges in tiers)." in heading
    assert assumed.startswith("Assumed (defaults of design.assumptions): 50% of people")
    mine = changed(classes=4, astray=0.4)
    heading, assumed = assumed_lines(about_of(sources=sources_of(mine, defaults)))
    assert (
        "(classes stated in design.assumptions; subclasses assumed: near the middle of the ranges "
        "in tiers)"
    ) in heading
    assert (
        "(astray stated in design.assumptions; coarse, smaller_population defaults of "
        "design.assumptions)"
    ) in assumed
    mine["tiers"] = {**mine["tiers"], "subclasses": 20}
    assert sources_of(mine, defaults)["subclasses"] == "tiers"
    mine["design"]["pilot"] = "old"
    found = sources_of(mine, defaults)
    assert [name for name, own in found.items() if own != "pilot"] == ["smaller_population"]
    assert "(from the pilot old)" in assumed_lines(about_of(sources=found, pilot="old"))[0]


def test_words_that_nobody_understood_are_gone():
    text = " ".join(plan_text(GRID, about_of(), "plans/brine", OWN).split())
    for hard in ("matched test", "at the worst", "stepped up"):
        assert hard not in text + figure_text(about_of())
    assert "over 80: more than a third of the terms." in text
