"""The account of the participants as it is passed on: nothing follows that tells of a few."""

from itertools import product

import pytest
from felloe.ground.people.small_cells import joined_cells, told_quantile
from felloe.validation import circulated
from hypothesis import given
from hypothesis import strategies as st

LEAST = 3


def flow_rows(**populations):
    """Return the flow of populations, each given as received, lost as not valid, lost by rules."""
    rows = []
    for name, (received, invalid, ruled) in populations.items():
        left = (received, received - invalid, received - invalid - ruled)
        lost = (0, invalid, ruled)
        for stage, n, gone in zip(("received", "valid", "analysed"), left, lost, strict=True):
            rows.append({"population": name, "stage": stage, "n": n, "lost": gone})
    return rows


def possible_losses(told):
    """Return every pair of losses of one population that fits what is told, by trying them all."""
    received, valid, analysed = told
    fitting = set()
    for invalid, ruled in product(range(12), repeat=2):
        n = analysed["n"] + invalid + ruled
        if received["n"] not in (None, n) or valid["n"] not in (None, n - invalid):
            continue
        if valid["lost"] not in (None, invalid):
            continue
        whole = ruled if valid["n"] is not None else invalid + ruled
        if analysed["lost"] in (None, whole):
            fitting.add((invalid, ruled))
    return fitting


@given(st.integers(12, 60), st.integers(0, 5), st.integers(0, 5))
def test_no_small_loss_follows_from_the_flow(received, invalid, ruled):
    told = circulated.flow(flow_rows(a=(received, invalid, ruled)), LEAST)
    fitting = possible_losses(told)
    assert (invalid, ruled) in fitting
    for place, lost in enumerate((invalid, ruled)):
        if 0 < lost < LEAST:
            assert len({pair[place] for pair in fitting}) > 1
    if 0 < invalid + ruled < LEAST:
        assert len({sum(pair) for pair in fitting}) > 1


def test_a_flow_without_small_cells_is_told_as_it_is():
    rows = flow_rows(a=(52, 0, 4), b=(22, 0, 0))
    assert circulated.flow(rows, LEAST) == rows
    assert circulated.received(rows, LEAST) == 74


def test_the_total_is_not_told_where_a_populations_is_not():
    assert circulated.received(flow_rows(a=(52, 0, 4), b=(22, 0, 1)), LEAST) is None


def reasons(**counts):
    return [
        {"population": "a", "stage": "analysed", "rules": (rule,), "n": n}
        for rule, n in counts.items()
    ]


def test_reasons_of_a_few_are_told_as_one_that_names_none():
    rows = reasons(all_in_one=1, too_fast=4, all_apart=2)
    assert circulated.exclusions(rows, LEAST) == [
        rows[1],
        {"population": "a", "stage": "", "rules": circulated.JOINED, "n": 3},
    ]


def test_a_single_small_reason_takes_the_smallest_other_with_it():
    rows = reasons(all_in_one=1, too_fast=4, all_apart=7)
    assert circulated.exclusions(rows, LEAST) == [
        rows[2],
        {"population": "a", "stage": "", "rules": circulated.JOINED, "n": 5},
    ]


def test_reasons_of_a_few_in_all_have_no_number():
    (row,) = circulated.exclusions(reasons(all_in_one=1), LEAST)
    assert (row["rules"], row["n"]) == (circulated.JOINED, None)


@given(st.integers(0, 9), st.lists(st.integers(1, 9), max_size=5), st.integers(2, 5))
def test_reasons_taken_from_what_a_stage_lost_leave_no_few(invalid, ruled, least):
    rows = [{"population": "a", "stage": "valid", "rules": ("few",), "n": invalid}] * bool(invalid)
    rows += reasons(**{f"rule_{place}": n for place, n in enumerate(ruled)})
    named = [row for row in circulated.exclusions(rows, least) if row["stage"]]
    _, *stages = circulated.flow(flow_rows(a=(90, invalid, sum(ruled))), least)
    apart = stages[0]["lost"] is not None  # else the two stages' losses are told as one
    for stage in stages:
        if stage["lost"] is not None:
            counts = [row["n"] for row in named if not apart or row["stage"] == stage["stage"]]
            assert not 0 < stage["lost"] - sum(counts) < least


@given(st.lists(st.integers(1, 9), max_size=8), st.integers(2, 5))
def test_joined_cells_hold_enough_and_no_small_one_stands_alone(cells, least):
    joined = joined_cells(cells, least)
    alone = [n for place, n in enumerate(cells) if place not in joined]
    assert all(n >= least for n in alone)
    if joined:
        assert sum(cells[place] for place in joined) >= least or len(joined) == len(cells)
        assert len(joined) > 1 or len(cells) == 1
    else:
        assert alone == list(cells)


@pytest.mark.parametrize(
    ("share", "n", "told"),
    [(0, 100, False), (1, 100, False), (0.25, 11, False), (0.25, 12, True), (0.75, 12, True),
     (0.5, 5, False), (0.5, 6, True)],
)  # fmt: skip
def test_a_quantile_needs_three_people_on_either_side(share, n, told):
    assert told_quantile(share, n, LEAST) is told
