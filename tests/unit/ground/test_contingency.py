"""Groups of two partitions: counted, and matched by one rule."""

import numpy as np
import pytest
from felloe.ground.groups.contingency import (
    changed_terms,
    contingencies,
    contingency,
    match_groups,
    match_table,
)
from felloe.ground.groups.partition import Partition
from matching_oracle import best_pairings


def pairs_of(matched):
    return {column: int(row) for column, row in enumerate(matched) if row >= 0}


@pytest.mark.parametrize("seed", range(3))
def test_counts_of_shared_terms_equal_the_slow_loop(seed):
    a, b = np.random.default_rng(seed).integers(4, size=(2, 30))
    slow = [[int(((a == i) & (b == j)).sum()) for j in range(4)] for i in range(4)]
    assert contingency(a, b).tolist() == slow
    assert contingencies(np.stack([b, a]), a)[0].tolist() == slow


def test_labels_may_be_words():
    assert contingency(list("xxyy"), list("bbba")).tolist() == [[0, 2], [1, 1]]


@pytest.mark.parametrize("shape", [(3, 3), (2, 4), (4, 2), (1, 3)])
def test_groups_are_matched_by_the_rule_spelled_out(shape):
    # small numbers tie often
    tables = np.random.default_rng(5).integers(0, 4, size=(150, *shape))
    for table, matched in zip(tables, match_groups(tables), strict=True):
        assert pairs_of(matched) in best_pairings(table.tolist())


def test_equal_overlaps_go_to_the_groups_that_are_more_alike():
    # both pairings share four terms; the first pairs a whole group of three with itself
    table = [[3, 3], [0, 1]]
    alone = best_pairings(table)
    assert len(alone) == 1
    assert pairs_of(match_table(np.array(table))) == alone[0]


@pytest.mark.parametrize("seed", range(40))
def test_charts_and_redraws_name_the_same_changed_terms(seed):
    a, b = np.random.default_rng(seed).integers(3, size=(2, 9))
    _, a = np.unique(a, return_inverse=True)
    _, b = np.unique(b, return_inverse=True)
    of_redraws = match_groups(contingencies(b[None], a))[0][b] != a
    assert of_redraws.tolist() == changed_terms(a, b).tolist()
    terms = [f"t{place}" for place in range(9)]
    one, other = Partition(terms, a), Partition(terms, b)
    assert sum(one.changed(other)) == sum(of_redraws)
