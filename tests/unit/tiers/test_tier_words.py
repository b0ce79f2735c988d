"""What is said of the tiers: every code has its words, and numbers stand in them."""

from typing import get_args

import pytest
from felloe.tiers import words
from felloe.tiers.decisions import WhyVoid
from felloe.tiers.placement import Reason

RULE = {
    "firm_probability": 0.8,
    "undecided_probability": 0.4,
    "chance_similarity": 0.125,
    "tie_share": 0.2,
}
OPEN = {
    "term": "ash",
    "reason": "below_undecided;chance",
    "nearest_terms": ("elm", "oak"),
    "nearest_share_1": 0.625,
    "nearest_share_2": 0.5,
    "populations": "makers:home;panel:neither",
    "home:makers": 0.75,
    "rival:makers": 0.25,
    "home:panel": 0.5,
    "rival:panel": float("nan"),
}


@pytest.mark.parametrize("code", get_args(Reason))
def test_every_reason_has_words(code):
    assert len(words.reason(code, RULE)) > 20


@pytest.mark.parametrize("code", get_args(WhyVoid))
def test_every_void_decision_has_words(code):
    (row,) = words.decisions([{"note": code}])
    assert (row["note"] == "") == (code == "")


def test_reasons_name_the_bounds_of_the_study():
    assert words.reason("below_undecided", RULE).endswith("below 0.4")
    assert words.reason("below_firm", RULE).endswith("below 0.8")


def test_several_reasons_are_said_one_after_the_other():
    said = words.reason("chance;ties", RULE)
    assert said == "; ".join(words.reason(code, RULE) for code in ("chance", "ties"))


def test_the_rule_names_its_four_bounds():
    said = words.status_rule(RULE)
    assert [bound for bound in ("0.4", "0.125", "0.8", "0.2") if f" {bound}" not in said] == []


def test_an_undecided_term_is_told_with_its_neighbours_and_populations():
    (row,) = words.undecided([OPEN], RULE)
    assert row["nearest_terms"] == "elm (0.62); oak (0.50)"
    assert row["populations"] == (
        "makers: here (together here 0.75, with the rival 0.25); "
        "panel: neither (together here 0.50, with the rival -)"
    )
