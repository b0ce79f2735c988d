"""Nested cuts, merging upward, and the rule that says how firmly a term sits."""

import numpy as np
import pytest
from felloe.clustering.choice import Limits
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import build_tree
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree
from felloe.ground.people.counts import Counts
from felloe.ground.squares import nearest_terms
from felloe.ground.terms import DifferentTerms, Terms
from felloe.tiers.cuts import Tiers, cut_branch, merge_upward, nested_cut, place_subclasses
from felloe.tiers.placement import (
    Evidence,
    StatusRule,
    judge_terms,
    leaning,
    leanings_of,
    mean_similarity,
    similarities,
)
from felloe.tiers.settings import BranchCut

RULE = StatusRule(firm=0.75, undecided=0.5, chance=0.2)


def terms_of(number):
    return Terms(f"t{place:02d}" for place in range(number))


def random_tree(n_terms, seed, ties=False):
    corner = np.triu(np.random.default_rng(seed).random((n_terms, n_terms)), 1)
    D = corner + corner.T
    D = np.round(D * 5) / 5 if ties else D
    return Tree(terms_of(n_terms), build_tree(D, "average"))


def largest_class(tiers):
    """A term of the class with most terms, and the number of these."""
    sizes = np.bincount(tiers.classes.labels)[tiers.classes.labels]
    return tiers.terms[int(np.argmax(sizes))], int(sizes.max())


@pytest.mark.parametrize("ties", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_every_subclass_lies_in_one_class(seed, ties):
    tiers = nested_cut(random_tree(25, seed, ties), 5, 12)
    assert_nested(tiers)
    assert tiers.classes.n_groups == 5
    assert tiers.subclasses.n_groups == 12


def assert_nested(tiers):
    """Every subclass lies in one class, told from the ids alone."""
    homes = {}
    for of_class, of_subclass in zip(
        tiers.classes.of_terms, tiers.subclasses.of_terms, strict=True
    ):
        assert homes.setdefault(of_subclass, of_class) == of_class


def test_fewer_subclasses_than_classes_are_refused():
    with pytest.raises(ValueError, match="cannot lie within"):
        nested_cut(random_tree(10, 1), 5, 4)


def test_groups_that_cross_are_refused():
    terms = terms_of(3)
    with pytest.raises(ValueError, match="'t01' lies in 2 classes"):
        Tiers(Partition(terms, [0, 0, 1]), Partition(terms, [0, 1, 1]))


def test_tiers_of_other_terms_are_refused():
    with pytest.raises(DifferentTerms, match="the classes and the subclasses"):
        Tiers(Partition(terms_of(2), [0, 0]), Partition(Terms("ab"), [0, 0]))


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_branch_is_cut_as_asked_and_no_other_branch_changes(number):
    tree = random_tree(30, 3)
    tiers = nested_cut(tree, 4, 10)
    term, _ = largest_class(tiers)
    cut_once = cut_branch(tree, tiers, BranchCut(term, number))
    inside = tiers.classes.labels == tiers.classes.labels[tree.terms.index(term)]
    before, after = tiers.subclasses.labels, cut_once.subclasses.labels
    assert len(np.unique(after[inside])) == number
    pairs = set(zip(before[~inside], after[~inside], strict=True))
    assert len(pairs) == len(np.unique(before[~inside]))
    assert_nested(cut_once)


def test_a_branch_cannot_have_more_subclasses_than_terms():
    tree = random_tree(12, 4)
    with pytest.raises(ValueError, match="cannot have 13"):
        cut_branch(tree, nested_cut(tree, 2, 4), BranchCut("t00", 13))


def test_small_subclasses_join_what_the_tree_puts_beside_them():
    # ((0 1) (2 3)) 4 in one class, 5 6 in the other; subclass 4 is single
    D = np.full((7, 7), 0.9)
    for i, j, height in ((0, 1, 0.1), (2, 3, 0.15), (5, 6, 0.2)):
        D[i, j] = D[j, i] = height
    D[np.ix_([0, 1], [2, 3])] = D[np.ix_([2, 3], [0, 1])] = 0.3
    D[4, :4] = D[:4, 4] = 0.5
    np.fill_diagonal(D, 0)
    tree = Tree(terms_of(7), build_tree(D, "average"))
    tiers = nested_cut(tree, 2, 4)
    assert tiers.subclasses.labels.tolist() == [0, 0, 1, 1, 2, 3, 3]
    merged = merge_upward(tree, tiers, lambda inside: inside.sum() >= 2)
    # term 4 joins the next merge of the tree, which holds all of its class
    assert merged.subclasses.labels.tolist() == [0, 0, 0, 0, 0, 1, 1]
    assert merged.dissolved == ("t04",)


@pytest.mark.parametrize("seed", range(5))
def test_merging_upward_keeps_classes_and_branches(seed):
    tree = random_tree(24, seed)
    tiers = nested_cut(tree, 4, 14)
    merged = merge_upward(tree, tiers, lambda inside: inside.sum() >= 3)
    assert merged.classes.of_terms == tiers.classes.of_terms
    assert_nested(merged)
    branches = {tuple(group) for group in tree.members()} | {
        tuple(row) for row in np.eye(24, dtype=bool)
    }
    labels = merged.classes.labels
    for one in range(merged.subclasses.n_groups):
        inside = merged.subclasses.labels == one
        assert tuple(inside) in branches
        whole = (labels == labels[inside][0]).sum() == inside.sum()
        assert inside.sum() >= 3 or whole


def test_subclasses_of_a_branch_cut_by_hand_are_left_as_asked():
    tree = random_tree(20, 6)
    limits = Limits(1, 3, 0.5)  # at least three terms
    term, number = largest_class(nested_cut(tree, 3, 8))
    tiers = place_subclasses(tree, (3, 8), [BranchCut(term, number)], {}, limits)
    inside = tiers.classes.labels == tiers.classes.labels[tree.terms.index(term)]
    assert len(np.unique(tiers.subclasses.labels[inside])) == number


def test_weak_subclasses_can_be_kept():
    kept = place_subclasses(random_tree(20, 7), (3, 9), [], {}, None)
    assert kept.subclasses.n_groups == 9


def test_a_subclass_that_is_found_again_no_better_than_without_structure_is_merged():
    tree, limits = random_tree(20, 7), Limits(1, 1, 0.5)
    whole = nested_cut(tree, 3, 9)
    group = next(
        frozenset(members)
        for members in map(whole.subclasses.members, range(9))
        if len(members) > 1 and members not in map(whole.classes.members, range(3))
    )
    better = place_subclasses(tree, (3, 9), [], {group: (0.8, 0.7)}, limits)
    no_better = place_subclasses(tree, (3, 9), [], {group: (0.7, 0.7)}, limits)
    assert better.subclasses.n_groups == 9
    assert no_better.dissolved == (min(group),)


def test_limits_name_the_reason():
    limits = Limits(2, 1, 0.5)
    assert limits.failure(1, 2, 0.9, 0.3) == "few_terms"
    assert limits.failure(5, 2, 0.49, 0.3) == "low_support"
    assert limits.failure(5, 2, 0.6, 0.6) == "chance_support"
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
        status, reasons = RULE.judge(probability, 0.5, True, 0.0)
        assert (status == "firm") == (reasons == ())


def test_every_reason_of_a_status_is_given():
    assert RULE.judge(0.1, 0.1, False, 0.9)[1] == ("below_undecided", "chance")
    assert RULE.judge(0.6, 0.5, False, 0.9)[1] == ("below_firm", "weak_class", "ties")


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


def evidence(labels, probability, rival):
    """Evidence of terms in classes that hold."""
    part = Partition(terms_of(len(labels)), np.array(labels))
    nothing = np.zeros(len(labels))
    shares = np.array(probability), tuple(rival), nothing + 0.1
    return Evidence(Tiers(part, part), *shares, nothing == 0, nothing, nothing > 0, {})


def test_terms_are_judged_in_their_class_and_against_their_rival():
    S = np.full((4, 4), 0.1)
    S[0, 1] = S[1, 0] = S[2, 3] = S[3, 2] = 0.8
    np.fill_diagonal(S, 1.0)
    known = evidence([0, 0, 1, 1], [0.9, 0.4, 0.9, 0.6], ["t02", "t02", "", "t00"])
    placed = judge_terms(Distances(terms_of(4), 1.0 - S), known, RULE)
    assert placed.status == ("firm", "undecided", "firm", "doubtful")
    assert placed.similarity_home == pytest.approx([0.8] * 4)
    assert placed.similarity_rival == pytest.approx([0.1, 0.1, np.nan, 0.1], nan_ok=True)


def test_terms_are_not_judged_by_the_distances_of_other_terms():
    known = evidence([0, 1], [0.9, 0.9], ["", ""])
    with pytest.raises(DifferentTerms, match="the distances and the tiers"):
        judge_terms(Distances(Terms("ab"), 1.0 - np.eye(2)), known, RULE)


def test_a_rival_that_is_no_class_is_refused():
    with pytest.raises(ValueError, match=r"no classes: \['t01'\]"):
        evidence([0, 0], [0.9, 0.9], ["t01", ""])


def test_a_population_leans_to_the_class_it_finds_nearer():
    assert leaning(0.5, 0.3) == "home"
    assert leaning(0.3, 0.5) == "rival"
    assert leaning(0.5, 0.5) == "neither"
    assert leaning(float("nan"), 0.5) == "neither"


def test_a_population_leans_by_its_own_counts():
    # ten people put t00 with t01, its class, and two of ten of the others with t02, its rival
    known = evidence([0, 0, 1], [0.9, 0.9, 0.9], ["t02", "", ""])
    together = np.array([[10, 10, 2], [10, 10, 0], [2, 0, 10]])
    counts = Counts(terms_of(3), together, np.full((3, 3), 10))
    found = leanings_of({"makers": counts}, known)
    assert found.home[0, 0] == 1.0
    assert found.rival[0, 0] == 0.2
    assert found.sides(0) == ["home"]


def test_a_pair_that_nobody_of_a_population_placed_counts_as_never_put_together():
    known = evidence([0, 0], [0.9, 0.9], ["", ""])
    counts = Counts(terms_of(2), np.diag([3, 3]), np.diag([3, 3]))
    assert leanings_of({"makers": counts}, known).home[0, 0] == 0.0


def test_counts_of_other_terms_are_refused():
    known = evidence([0, 0], [0.9, 0.9], ["", ""])
    counts = Counts(Terms("ab"), np.diag([3, 3]), np.diag([3, 3]))
    with pytest.raises(DifferentTerms, match="the counts of makers and the tiers"):
        leanings_of({"makers": counts}, known)


def test_similarity_to_no_rival_is_absent():
    home, rival = similarities(np.eye(2), np.array([0, 1]), np.array([-1, -1]))
    assert np.isnan(home).all()
    assert np.isnan(rival).all()


def test_nearest_terms_leave_the_term_itself_out():
    S = np.array([[1.0, 0.2, 0.7, 0.2], [0.2, 1, 0, 0], [0.7, 0, 1, 0], [0.2, 0, 0, 1]])
    assert nearest_terms(S, 0, 3) == [2, 1, 3]
    assert nearest_terms(S[:2, :2], 0, 3) == [1]
