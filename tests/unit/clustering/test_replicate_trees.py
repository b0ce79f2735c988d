"""Many trees at once against one tree at a time."""

import numpy as np
import pytest
from felloe.clustering.replicates.redraws import make_basis, redraw_trees
from felloe.clustering.replicates.replicate_trees import (
    accumulate,
    adjusted_rands,
    best_jaccard,
    clade_hashes,
    cuts,
    group_jaccards,
)
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.contingency import contingencies, match_groups
from felloe.ground.groups.linkage import cut, members
from felloe.ground.randomness import Streams
from sorting_examples import planted_piles, populations_of

PILES, CLASSES = planted_piles(24, 4, 5, 0.4, seed=11)
MERGES = redraw_trees(make_basis(PILES, populations_of(24)), "average", Streams(3, "x"), range(15))
N = PILES.shape[1]


def as_linkage(merges):
    """One tree in SciPy's convention; heights are only in order."""
    below = accumulate(merges[None], np.eye(N, dtype=np.uint8))[0, N:]
    return np.column_stack([merges, np.arange(1, N), below.sum(axis=1)]).astype(float)


def clades(merges):
    return [set(np.flatnonzero(row).tolist()) for row in members(as_linkage(merges))]


def test_what_lies_below_a_merge_equals_the_tree_taken_alone():
    below = accumulate(MERGES, np.eye(N, dtype=np.uint8))[:, N:].astype(bool)
    for tree, merges in enumerate(MERGES):
        assert np.array_equal(below[tree], members(as_linkage(merges)))


@pytest.mark.parametrize("with_rogues", [False, True])
def test_best_jaccard_equals_the_slow_loop(with_rogues):
    rng = np.random.default_rng(1)
    groups = rng.random((7, N)) < 0.3
    groups[:, :2] = True
    kept = np.ones(N, dtype=bool)
    if with_rogues:
        kept[[3, 8]] = False
    keep = set(np.flatnonzero(kept).tolist())
    found = best_jaccard(MERGES, groups, kept)
    for tree, merges in enumerate(MERGES):
        for place, group in enumerate(groups):
            wanted = set(np.flatnonzero(group).tolist()) & keep
            slow = max(
                len(wanted & clade & keep) / len(wanted | (clade & keep))
                for clade in clades(merges)[:-1]
            )
            assert found[tree, place] == slow


def test_a_group_without_two_kept_terms_has_no_jaccard():
    groups = np.zeros((1, N), dtype=bool)
    groups[0, [0, 1]] = True
    kept = np.ones(N, dtype=bool)
    kept[0] = False
    assert np.isnan(best_jaccard(MERGES, groups, kept)).all()


@pytest.mark.parametrize("k", [1, 2, 5, N - 1, N])
def test_cuts_equal_the_cut_of_each_tree(k):
    labels = cuts(MERGES, [k])[k]
    for tree, merges in enumerate(MERGES):
        alone = cut(as_linkage(merges), k)
        assert len(set(zip(labels[tree], alone, strict=True))) == k
        assert len(np.unique(labels[tree])) == k


@pytest.mark.parametrize("k", [0, N + 1])
def test_cuts_into_impossible_numbers_are_refused(k):
    with pytest.raises(ValueError, match="cannot be cut"):
        cuts(MERGES, [k])


def test_clades_have_equal_numbers_exactly_if_they_are_equal():
    names = {}
    for tree, merges in enumerate(MERGES):
        for clade, name in zip(clades(merges), clade_hashes(MERGES)[tree], strict=True):
            assert names.setdefault(frozenset(clade), name) == name
    assert len(set(names.values())) == len(names)


def test_contingencies_count_shared_terms():
    labels = cuts(MERGES, [4])[4]
    tables = contingencies(labels, CLASSES)
    for tree, row in enumerate(labels):
        for one in range(4):
            for other in range(4):
                shared = ((one == CLASSES) & (row == other)).sum()
                assert tables[tree, one, other] == shared


def test_jaccard_and_rand_of_cuts_equal_their_definitions():
    labels = cuts(MERGES, [5])[5]
    tables = contingencies(labels, CLASSES)
    for tree, row in enumerate(labels):
        for one in range(4):
            inside = one == CLASSES
            slow = max((inside & (row == k)).sum() / (inside | (row == k)).sum() for k in range(5))
            assert group_jaccards(tables)[tree, one] == slow
        expected = adjusted_rand(row.astype(int), CLASSES)
        assert adjusted_rands(tables)[tree] == pytest.approx(expected, abs=1e-12)


def test_groups_are_paired_by_most_shared_terms():
    table = np.array([[[5, 1], [4, 0], [0, 3]]])
    # 5 + 3 terms beat any other pairing
    assert match_groups(table).tolist() == [[0, 2]]


def test_a_group_that_shares_nothing_is_paired_with_none():
    assert match_groups(np.array([[[3, 0], [0, 0]]])).tolist() == [[0, -1]]


@pytest.mark.parametrize("shape", [(3, 3), (3, 5), (5, 3), (1, 4)])
def test_pairing_shares_as_many_terms_as_any_other(shape):
    from scipy.optimize import linear_sum_assignment

    tables = np.random.default_rng(2).integers(0, 12, size=(60, *shape))
    for table, matched in zip(tables, match_groups(tables), strict=True):
        pairs = [(group, column) for column, group in enumerate(matched) if group >= 0]
        assert len({group for group, _ in pairs}) == len(pairs)
        best = table[linear_sum_assignment(table, maximize=True)].sum()
        assert sum(table[pair] for pair in pairs) == best


def test_undoing_a_merge_makes_the_terms_on_its_right_the_newest_group():
    found = cuts(MERGES, range(1, N + 1))
    for tree, merges in enumerate(MERGES):
        below = accumulate(merges[None], np.eye(N, dtype=np.uint8))[0].astype(bool)
        labels = np.zeros(N, dtype=int)
        for k in range(1, N + 1):
            if k > 1:
                labels[below[merges[N - k, 1]]] = k - 1
            assert np.array_equal(found[k][tree], labels)
