"""Nested cuts, merging upward, and the rule that says how firmly a term sits."""

import numpy as np
import pytest
from felloe.clustering.choice import Limits
from felloe.clustering.consensus import Homes
from felloe.clustering.support import NodeSupports
from felloe.ground.linkage import build_tree, cut, members
from felloe.tiers.cuts import (
    StatusRule,
    Tiers,
    check_nested,
    cut_branch,
    first_terms,
    mean_similarity,
    merge_upward,
    nearest_terms,
    nested_cut,
)
from felloe.tiers.placement import (
    Evidence,
    judge_terms,
    leaning,
    place_subclasses,
    similarities,
)

RULE = StatusRule(firm=0.75, undecided=0.5, chance=0.2)


def random_tree(n_terms, seed, ties=False):
    corner = np.triu(np.random.default_rng(seed).random((n_terms, n_terms)), 1)
    D = corner + corner.T
    return build_tree(np.round(D * 5) / 5 if ties else D, "average")


@pytest.mark.parametrize("ties", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_every_subclass_lies_in_one_class(seed, ties):
    tiers = nested_cut(random_tree(25, seed, ties), 5, 12)
    check_nested(tiers.classes, tiers.subclasses)
    assert len(np.unique(tiers.classes)) == 5
    assert len(np.unique(tiers.subclasses)) == 12


def test_fewer_subclasses_than_classes_are_refused():
    with pytest.raises(ValueError, match="cannot lie within"):
        nested_cut(random_tree(10, 1), 5, 4)


def test_groups_that_cross_are_refused():
    with pytest.raises(ValueError, match="lies in 2 classes"):
        check_nested(np.array([0, 0, 1]), np.array([0, 1, 1]))


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_branch_is_cut_as_asked_and_no_other_branch_changes(number):
    tree = random_tree(30, 3)
    tiers = nested_cut(tree, 4, 10)
    term = int(np.argmax(np.bincount(tiers.classes)[tiers.classes]))  # in the largest class
    cut_once = cut_branch(tree, tiers, term, number)
    inside = tiers.classes == tiers.classes[term]
    assert len(np.unique(cut_once.subclasses[inside])) == number
    pairs = set(zip(tiers.subclasses[~inside], cut_once.subclasses[~inside], strict=True))
    assert len(pairs) == len(np.unique(tiers.subclasses[~inside]))
    check_nested(cut_once.classes, cut_once.subclasses)


def test_a_branch_cannot_have_more_subclasses_than_terms():
    tree = random_tree(12, 4)
    with pytest.raises(ValueError, match="cannot have 13"):
        cut_branch(tree, nested_cut(tree, 2, 4), 0, 13)


def test_small_subclasses_join_what_the_tree_puts_beside_them():
    # ((0 1) (2 3)) 4 in one class, 5 6 in the other; subclass 4 is single
    D = np.full((7, 7), 0.9)
    for i, j, height in ((0, 1, 0.1), (2, 3, 0.15), (5, 6, 0.2)):
        D[i, j] = D[j, i] = height
    D[np.ix_([0, 1], [2, 3])] = D[np.ix_([2, 3], [0, 1])] = 0.3
    D[4, :4] = D[:4, 4] = 0.5
    np.fill_diagonal(D, 0)
    tree = build_tree(D, "average")
    tiers = nested_cut(tree, 2, 4)
    assert tiers.subclasses.tolist() == [0, 0, 1, 1, 2, 3, 3] or len(set(tiers.subclasses)) == 4
    merged = merge_upward(tree, tiers, lambda inside: inside.sum() >= 2)
    # term 4 joins the next merge of the tree, which holds all of its class
    assert merged.subclasses.tolist() == [0, 0, 0, 0, 0, 1, 1]
    assert merged.dissolved == (4,)


@pytest.mark.parametrize("seed", range(5))
def test_merging_upward_keeps_classes_and_branches(seed):
    tree = random_tree(24, seed)
    tiers = nested_cut(tree, 4, 14)
    merged = merge_upward(tree, tiers, lambda inside: inside.sum() >= 3)
    assert np.array_equal(merged.classes, tiers.classes)
    check_nested(merged.classes, merged.subclasses)
    branches = {tuple(group) for group in members(tree)} | {
        tuple(row) for row in np.eye(24, dtype=bool)
    }
    for one in np.unique(merged.subclasses):
        inside = merged.subclasses == one
        assert tuple(inside) in branches
        whole = (merged.classes == merged.classes[inside][0]).sum() == inside.sum()
        assert inside.sum() >= 3 or whole


def test_subclasses_of_a_branch_cut_by_hand_are_left_as_asked():
    tree = random_tree(20, 6)
    supports = NodeSupports({})
    limits = Limits(1, 3, 0.5)  # at least three terms
    largest = int(np.argmax(np.bincount(cut(tree, 3))[cut(tree, 3)]))
    number = int((cut(tree, 3) == cut(tree, 3)[largest]).sum())
    tiers = place_subclasses(tree, (3, 8), [(largest, number)], supports, limits, True)
    inside = tiers.classes == tiers.classes[largest]
    assert len(np.unique(tiers.subclasses[inside])) == number


def test_weak_subclasses_can_be_kept():
    tree = random_tree(20, 7)
    kept = place_subclasses(tree, (3, 9), [], NodeSupports({}), Limits(1, 5, 0.5), False)
    assert len(np.unique(kept.subclasses)) == 9


def test_limits_name_the_reason():
    limits = Limits(2, 1, 0.5)
    assert limits.failure(1, 2, 0.9, 0.3) == "fewer than 2 terms"
    assert limits.failure(5, 2, 0.49, 0.3) == "support below 0.5"
    assert limits.failure(5, 2, 0.6, 0.6) == "support no better than without structure"
    assert limits.failure(5, 2, 0.6, 0.3) == ""
    nothing = float("nan")
    assert limits.failure(1, 1, nothing, nothing) == ""


@pytest.mark.parametrize(
    ("probability", "similarity", "holds", "tied", "status"),
    [
        (0.9, 0.5, True, 0.0, "firm"),
        (0.75, 0.5, True, 0.0, "firm"),
        (0.74, 0.5, True, 0.0, "doubtful"),
        (0.9, 0.5, False, 0.0, "doubtful"),
        (0.9, 0.5, True, 0.25, "doubtful"),
        (0.5, 0.5, True, 0.0, "doubtful"),
        (0.49, 0.5, True, 0.0, "undecided"),
        (0.9, 0.19, True, 0.0, "undecided"),
        (0.9, float("nan"), False, 0.0, "doubtful"),  # alone in its class
    ],
)
def test_status_follows_the_rule(probability, similarity, holds, tied, status):
    assert RULE.judge(probability, similarity, holds, tied)[0] == status


def test_only_firm_terms_need_no_reason():
    for probability in (0.1, 0.6, 0.9):
        status, reason = RULE.judge(probability, 0.5, True, 0.0)
        assert (status == "firm") == (reason == "")


def test_mean_similarity_equals_the_slow_loop():
    rng = np.random.default_rng(8)
    corner = np.triu(rng.random((10, 10)), 1)
    S, classes = corner + corner.T + np.eye(10), np.array([0, 0, 0, 1, 1, 1, 1, 2, 2, 3])
    found = mean_similarity(S, classes)
    for term in range(10):
        for one in range(4):
            others = [k for k in range(10) if classes[k] == one and k != term]
            slow = np.mean([S[term, k] for k in others]) if others else np.nan
            assert found[term, one] == pytest.approx(slow, abs=1e-12, nan_ok=True)


def test_terms_are_judged_in_their_class_and_against_their_rival():
    S = np.full((4, 4), 0.1)
    S[0, 1] = S[1, 0] = S[2, 3] = S[3, 2] = 0.8
    np.fill_diagonal(S, 1.0)
    classes = np.array([0, 0, 1, 1])
    homes = Homes(classes, np.array([0.9, 0.4, 0.9, 0.6]), np.array([1, 1, -1, 0]), np.full(4, 0.1))
    evidence = Evidence(
        Tiers(classes, classes), homes, np.array([True, True]), np.zeros(4), np.zeros(4, bool)
    )
    placed = judge_terms(S, evidence, RULE)
    assert placed.status == ["firm", "undecided", "firm", "doubtful"]
    assert placed.similarity_home == pytest.approx([0.8] * 4)
    assert placed.similarity_rival == pytest.approx([0.1, 0.1, np.nan, 0.1], nan_ok=True)


def test_a_population_leans_to_the_class_it_finds_nearer():
    assert leaning(0.5, 0.3) == "home"
    assert leaning(0.3, 0.5) == "rival"
    assert leaning(0.5, 0.5) == "neither"
    assert leaning(float("nan"), 0.5) == "neither"


def test_similarity_to_no_rival_is_absent():
    home, rival = similarities(np.eye(2), np.array([0, 1]), np.array([-1, -1]))
    assert np.isnan(home).all()
    assert np.isnan(rival).all()


def test_groups_are_named_after_their_first_term():
    assert first_terms(np.array([0, 1, 0, 1]), ["ash", "beet", "clove", "dill"]) == [
        "ash", "beet", "ash", "beet",
    ]  # fmt: skip


def test_nearest_terms_leave_the_term_itself_out():
    S = np.array([[1.0, 0.2, 0.7, 0.2], [0.2, 1, 0, 0], [0.7, 0, 1, 0], [0.2, 0, 0, 1]])
    assert nearest_terms(S, 0) == [2, 1, 3]
