"""The same chart under other choices."""

import numpy as np
import pytest
from felloe.ground.linkage import build_tree, cut
from felloe.sensitivity.tables import (
    read_universes,
    universe_rows,
    write_universes,
)
from felloe.sensitivity.universes import around, explore, level_shares, shares
from felloe.validation.received import read_received

CORNER = np.triu(np.random.default_rng(51).random((16, 16)), 1)
D = CORNER + CORNER.T
PUBLISHED = cut(build_tree(D, "average"), 4)


def test_the_charts_own_universe_changes_no_term():
    (own,) = explore(D, PUBLISHED, ["average"], [4])
    assert own.changing == ()
    assert own.rand == 1.0


def test_every_combination_is_one_universe():
    found = explore(D, PUBLISHED, ["average", "ward"], [3, 4, 5])
    assert [(one.linkage, one.n_classes) for one in found] == [
        ("average", 3), ("average", 4), ("average", 5), ("ward", 3), ("ward", 4), ("ward", 5),
    ]  # fmt: skip


def test_one_class_more_moves_the_smaller_part_of_the_class_that_splits():
    (finer,) = explore(D, PUBLISHED, ["average"], [5])
    labels = cut(build_tree(D, "average"), 5)
    split = next(one for one in range(4) if len(np.unique(labels[one == PUBLISHED])) == 2)
    parts = [np.flatnonzero(labels == part) for part in np.unique(labels[split == PUBLISHED])]
    smaller = min(parts, key=len)
    assert len(finer.changing) == len(smaller)
    if len(parts[0]) != len(parts[1]):
        assert list(finer.changing) == smaller.tolist()


def test_shares_count_the_universes_that_keep_a_term():
    assert shares([(0, 1), (0,), (), ()], 3).tolist() == [0.5, 0.75, 1.0]


def test_numbers_around_the_chosen_one_stay_possible():
    assert around(3, 2, 6) == [2, 3, 4, 5]
    assert around(9, 1, 96) == [8, 9, 10]


def test_shares_recompute_from_the_written_table(tmp_path):
    terms = [f"t{one:02d}" for one in range(16)]
    choices = {"screening": "none", "weighting": "plain"}
    found = explore(D, PUBLISHED, ["average", "ward", "single"], [3, 4, 5])
    path = tmp_path / "universes.csv"
    write_universes(path, universe_rows(found, terms, choices, 12))
    rows = read_universes(path)
    away = [sum(term in row["terms_changing"] for row in rows) for term in terms]
    assert shares([one.changing for one in found], 16) == pytest.approx(1 - np.array(away) / 9)
    share, levels, by_level = level_shares(rows, terms)
    assert share == pytest.approx(1 - np.array(away) / 9)
    assert ("linkage", "ward") in levels
    assert by_level.shape == (16, len(levels))


def test_unscreened_sorts_are_read_with_what_was_not_placed(tmp_path):
    (tmp_path / "sorts.csv").write_text(
        "participant,term,pile,position\np1,ash,1,1\np1,beet,1,2\np2,ash,1,1\np2,beet,,2\n"
    )
    (tmp_path / "register.csv").write_text("participant,population,minutes\np1,a,\np2,b,\n")
    read = read_received(tmp_path / "sorts.csv", tmp_path / "register.csv").sorts
    assert read.participants == ("p1", "p2")
    assert read.populations == ("a", "b")
    assert read.piles.tolist() == [[1, 1], [1, -1]]
