"""The same chart under other choices."""

import numpy as np
import pytest
from felloe.ground.distances import Distances
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import tree_of
from felloe.ground.terms import DifferentTerms, Terms
from felloe.provenance import SCRIPTS, files_of
from felloe.sensitivity.tables import TERMS, UNIVERSES, write_terms
from felloe.sensitivity.universes import (
    around,
    explore,
    level_shares,
    numbered,
    shares,
    universe_rows,
)
from felloe.sensitivity.words import unsettled_terms
from felloe.validation.received import read_received

CORNER = np.triu(np.random.default_rng(51).random((16, 16)), 1)
IDS = Terms(f"t{one:02d}" for one in range(16))
D = Distances(IDS, CORNER + CORNER.T)
PUBLISHED = tree_of(D, "average").cut(4)


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
    labels, published = tree_of(D, "average").cut(5).labels, PUBLISHED.labels
    split = next(one for one in range(4) if len(np.unique(labels[one == published])) == 2)
    parts = [np.flatnonzero(labels == part) for part in np.unique(labels[split == published])]
    smaller = min(parts, key=len)
    assert len(finer.changing) == len(smaller)
    if len(parts[0]) != len(parts[1]):
        assert list(finer.changing) == [IDS[one] for one in smaller]


def test_published_classes_of_other_terms_are_refused():
    others = Partition(Terms(f"u{one:02d}" for one in range(16)), PUBLISHED.labels)
    with pytest.raises(DifferentTerms, match="the distances and the published classes"):
        explore(D, others, ["average"], [4])


def test_the_chart_is_the_universe_of_its_own_choices():
    own = {"screening": "none", "weighting": "plain", "linkage": "ward", "n_classes": 4}
    rows = numbered([{**own, "n_classes": 3}, own, {**own, "linkage": "average"}], own)
    assert [(row["universe"], row["is_chart"]) for row in rows] == [
        (1, False), (2, True), (3, False),
    ]  # fmt: skip


def test_shares_count_the_universes_that_keep_a_term():
    assert shares([("a", "b"), ("a",), (), ()], Terms("abc")).tolist() == [0.5, 0.75, 1.0]


def test_numbers_around_the_chosen_one_stay_possible():
    assert around(3, 2, 6) == [2, 3, 4, 5]
    assert around(9, 1, 96) == [8, 9, 10]


def test_shares_recompute_from_the_written_table(tmp_path):
    choices = {"screening": "none", "weighting": "plain"}
    found = explore(D, PUBLISHED, ["average", "ward", "single"], [3, 4, 5])
    path = tmp_path / "universes.csv"
    UNIVERSES.write(path, universe_rows(found, choices, 12))
    rows = UNIVERSES.read(path)
    away = [sum(term in row["terms_changing"] for row in rows) for term in IDS]
    assert shares([one.changing for one in found], IDS) == pytest.approx(1 - np.array(away) / 9)
    told = level_shares(rows, IDS)
    assert told.share == pytest.approx(1 - np.array(away) / 9)
    assert ("linkage", "ward") in told.levels
    assert told.by_level.shape == (16, len(told.levels))


def test_the_universes_read_by_their_declaration_are_written_again_with_the_same_bytes(tmp_path):
    found = explore(D, PUBLISHED, ["average", "single"], [3, 5])
    own = {"screening": "none", "weighting": "plain", "linkage": "single", "n_classes": 5}
    rows = universe_rows(found, {"screening": "none", "weighting": "plain"}, 12)
    for name, written in (("part", rows), ("all", numbered(rows, own))):
        UNIVERSES.write(tmp_path / name, written)
        UNIVERSES.write(tmp_path / "again", UNIVERSES.read(tmp_path / name))
        assert (tmp_path / name).read_bytes() == (tmp_path / "again").read_bytes()


def test_the_shares_read_by_their_declaration_are_written_again_with_the_same_bytes(tmp_path):
    write_terms(tmp_path / "terms", PUBLISHED, np.linspace(0.0, 1.0, 16), 7)
    TERMS.write(tmp_path / "again", TERMS.read(tmp_path / "terms"))
    assert (tmp_path / "terms").read_bytes() == (tmp_path / "again").read_bytes()


def test_a_changed_sentence_reruns_no_universe():
    assert SCRIPTS / "felloe/sensitivity/words.py" not in files_of("explore_universes")


def test_unscreened_sorts_are_read_with_what_was_not_placed(tmp_path):
    (tmp_path / "sorts.csv").write_text(
        "participant,term,pile,position\np1,ash,1,1\np1,beet,1,2\np2,ash,1,1\np2,beet,,2\n"
    )
    (tmp_path / "register.csv").write_text("participant,population,minutes\np1,a,\np2,b,\n")
    read = read_received(tmp_path / "sorts.csv", tmp_path / "register.csv").sorts
    assert read.participants == ("p1", "p2")
    assert read.populations == ("a", "b")
    assert read.piles.tolist() == [[1, 1], [1, -1]]


def test_terms_that_not_all_analyses_leave_in_their_class_stand_worst_first():
    shares = {"ash": 0.5, "beet": 1.0, "clove": 0.25, "dill": 0.5}
    rows = [{"term": term, "share_of_universes": one} for term, one in shares.items()]
    assert [row["term"] for row in unsettled_terms(rows)] == ["clove", "ash", "dill"]
