"""How sure a robust move is: the table of simulated editions, and which of its rows are told."""

import json
import math
from collections import defaultdict

import pytest
from felloe.editions.chance.planted import NEAR, Simulated, expected_moves
from felloe.editions.chance.planted_tables import PATH, simulated_editions


def row(make, people, planted, reliability, robust):
    moved = (math.nan, math.nan) if planted == 0 else (robust, 0.1)
    return Simulated(
        make, people, 60, 6, planted, 100, reliability, *moved, robust / 100, 0.02, robust / 10
    )


TABLE = [
    row("one", 10, 0, 0.80, 0.3),
    row("one", 10, 6, 0.79, 0.5),
    row("one", 40, 0, 0.94, 0.1),
    row("one", 40, 6, 0.94, 0.9),
    row("other", 20, 0, 0.90, 0.2),
    row("other", 20, 6, 0.90, 0.7),
    row("far", 20, 0, 0.50, 0.9),
    row("far", 20, 6, 0.50, 0.1),
]


def test_rows_as_reliable_as_the_less_reliable_study_are_told():
    found = expected_moves((0.99, 0.92), TABLE)
    assert found.makes == ("one", "other")
    assert found.people == (20, 40)
    assert found.reliability == 0.92
    assert found.false_robust == pytest.approx((0.01, 0.02))
    assert found.still_robust == pytest.approx((0.001, 0.002))
    assert found.moved_robust == (0.7, 0.9)
    assert (found.planted, found.runs, found.terms) == (6, 100, 60)


@pytest.mark.parametrize("reliabilities", [(0.3, 0.9), (float("nan"), 0.9), (0.9, float("nan"))])
def test_where_no_editions_are_as_reliable_nothing_is_told(reliabilities):
    assert expected_moves(reliabilities, TABLE) is None


def test_a_row_is_as_reliable_up_to_the_bound():
    only = [one for one in TABLE if one.make == "far"]
    assert expected_moves((0.50 + NEAR - 0.001, 0.9), only) is not None
    assert expected_moves((0.50 + NEAR + 0.001, 0.9), only) is None


def by_cell():
    return {(one.make, one.planted, one.people): one for one in simulated_editions()}


def test_the_table_is_whole_and_says_how_it_was_made():
    rows = simulated_editions()
    about = json.loads(PATH.with_suffix(".json").read_text(encoding="utf-8"))
    assert {one.runs for one in rows} == {about["runs"]}
    assert "bench_planted.py" in about["command"]
    sizes = defaultdict(set)
    for one in rows:
        sizes[one.make].add((one.people, one.planted > 0))
    assert len({frozenset(one) for one in sizes.values()}) == 1
    for one in rows:
        assert math.isnan(one.moved_robust) == (one.planted == 0)
        assert 0 <= one.still_robust + one.still_possible <= 1
        # a pair with a false move has one at least, and at most all its terms
        still = (one.terms - one.planted) * one.still_robust
        assert one.false_robust <= still + 1e-6


def test_more_people_are_more_reliable_and_miss_fewer_moves_within_the_error():
    rows = by_cell()
    for (make, planted, people), one in rows.items():
        for more in sorted(size for m, p, size in rows if (m, p) == (make, planted)):
            if more <= people:
                continue
            other = rows[make, planted, more]
            assert other.reliability > one.reliability
            if planted:
                spread = math.sqrt(2 * 0.25 / (planted * one.runs))
                assert other.moved_robust >= one.moved_robust - 3 * spread
