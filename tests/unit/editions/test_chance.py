"""Classes of two editions held against chance: by slow definition, and on invented editions."""

import itertools

import numpy as np
import pytest
from edition_examples import TRUTH, charted, judged, of_classes, of_points
from felloe.editions import correspondence as module
from felloe.editions.correspondence import against_chance, believed, match_classes
from felloe.ground.groups.agreement import adjusted_rand
from scipy.stats import hypergeom

OLDER, NEWER = list("aaaabbb"), list("xxyyxzz")


def overlap_of(older, newer, a, b):
    return sum((one, other) == (a, b) for one, other in zip(older, newer, strict=True))


def rarity(older, newer, a, b):
    """How probable it is that the two classes share so many terms or more."""
    shared = overlap_of(older, newer, a, b)
    return hypergeom.sf(shared - 1, len(older), list(older).count(a), list(newer).count(b))


def pairs_of(older, newer):
    return list(itertools.product(sorted(set(older)), sorted(set(newer))))


def jaccard(older, newer, a, b):
    shared = overlap_of(older, newer, a, b)
    return shared / (list(older).count(a) + list(newer).count(b) - shared)


def test_the_expected_overlap_is_the_mean_over_every_arrangement():
    found = against_chance(OLDER, NEWER, np.random.default_rng(1), 9)
    every = list(itertools.permutations(NEWER))
    means = [
        np.mean([jaccard(OLDER, dealt, a, b) for dealt in every]) for a, b in pairs_of(OLDER, NEWER)
    ]
    assert found.expected.ravel().tolist() == pytest.approx(means)
    assert found.jaccard.ravel().tolist() == pytest.approx(
        [jaccard(OLDER, NEWER, a, b) for a, b in pairs_of(OLDER, NEWER)]
    )


def test_p_is_that_of_every_arrangement_but_for_the_draws():
    permutations = 4999
    found = against_chance(OLDER, NEWER, np.random.default_rng(2), permutations)
    every = list(itertools.permutations(NEWER))
    least = [min(rarity(OLDER, dealt, *pair) for pair in pairs_of(OLDER, NEWER)) for dealt in every]
    for p, pair in zip(found.p_values.ravel(), pairs_of(OLDER, NEWER), strict=True):
        exact = np.mean(np.array(least) <= rarity(OLDER, NEWER, *pair) + 1e-12)
        assert abs(p - exact) < 4 * np.sqrt(exact * (1 - exact) / permutations) + 1e-3
    agreement = np.array([adjusted_rand(OLDER, dealt) for dealt in every])
    exact = np.mean(agreement >= adjusted_rand(OLDER, NEWER) - 1e-12)
    assert abs(found.p_value - exact) < 4 * np.sqrt(exact * (1 - exact) / permutations) + 1e-3


@pytest.mark.parametrize("seed", range(3))
def test_p_is_that_of_a_slow_loop_over_the_same_draws(seed, monkeypatch):
    monkeypatch.setattr(module, "CHUNK", 17)
    rng = np.random.default_rng(seed)
    older, newer = rng.choice(list("abcd"), 20).tolist(), rng.choice(list("vwxyz"), 20).tolist()
    newer[:6] = older[:6]
    found = against_chance(older, newer, np.random.default_rng(seed), 99)
    _, codes = np.unique(newer, return_inverse=True)
    dealt = np.random.default_rng(seed).permuted(np.tile(codes, (99, 1)), axis=1)
    names = sorted(set(newer))
    least, agreement = [], []
    for row in dealt.tolist():
        labels = [names[code] for code in row]
        least.append(min(rarity(older, labels, *pair) for pair in pairs_of(older, newer)))
        agreement.append(adjusted_rand(older, labels))
    for p, pair in zip(found.p_values.ravel(), pairs_of(older, newer), strict=True):
        reached = sum(one <= rarity(older, newer, *pair) + 1e-12 for one in least)
        assert p == pytest.approx((reached + 1) / 100)
    reached = sum(one >= adjusted_rand(older, newer) - 1e-12 for one in agreement)
    assert found.p_value == pytest.approx((reached + 1) / 100)


GENERATORS = pytest.mark.parametrize("study", [of_classes, of_points])


@GENERATORS
def test_two_editions_of_one_truth_hardly_ever_lack_correspondence(study):
    grades = [
        grade
        for seed in range(12)
        for grade in judged(
            charted(study(2 * seed, TRUTH), 6), charted(study(2 * seed + 1, TRUTH), 6), seed
        )
    ]
    assert grades.count("no_correspondence") <= 0.02 * len(grades)


@GENERATORS
def test_unrelated_editions_have_no_correspondence_and_no_robust_move(study):
    lacking, with_moves = 0, 0
    for seed in range(40):
        shuffled = np.random.default_rng(seed).permutation(TRUTH)
        older, newer = charted(study(2 * seed, TRUTH), 6), charted(study(2 * seed + 1, shuffled), 6)
        grades = judged(older, newer, seed)
        lacking += all(grade == "no_correspondence" for grade in grades)
        with_moves += "robust" in grades
    # at a level of 0.05, 6 of 40 or more come in 1.4 % of such series
    assert lacking >= 34
    assert with_moves <= 5


@GENERATORS
def test_planted_moves_are_found_and_no_others(study):
    for seed in range(6):
        later = TRUTH.copy()
        moved = [3, 17, 44]
        later[moved] = (later[moved] + 2) % 6
        older, newer = charted(study(2 * seed, TRUTH), 6), charted(study(2 * seed + 1, later), 6)
        grades = np.array(judged(older, newer, seed))
        assert set(grades[moved]) == {"robust"}
        assert (np.delete(grades, moved) != "none").mean() <= 0.05


def test_a_term_that_left_its_fellows_for_a_class_without_past_has_moved():
    older = ["a"] * 12 + ["b"] * 12 + ["c"] * 12
    newer = ["x"] * 9 + ["new"] * 3 + ["y"] * 9 + ["new"] * 3 + ["z"] * 9 + ["new"] * 3
    grades = judged(older, newer)
    assert [grade for grade, name in zip(grades, newer, strict=True) if name == "new"] == [
        "robust"
    ] * 9


def test_of_two_small_classes_that_overlap_by_chance_nothing_is_said():
    older = ["a"] * 15 + ["b"] * 15 + ["c", "c", "d", "d"]
    newer = ["x"] * 15 + ["y"] * 15 + ["v", "w", "v", "w"]
    assert judged(older, newer) == ["none"] * 30 + ["no_correspondence"] * 4


def test_a_class_that_is_matched_no_better_than_chance_may_have_joined_another():
    # three of b's four terms went to x, where a went; one to one it can only be matched with y
    older = "a a a a a a b b b b e e e e d d d d d d".split()
    newer = "x x x x x x x x x y w w w w z z z z z z".split()
    found = match_classes(older, newer)
    assert found.matched["b"] == "y"
    chance = against_chance(older, newer, np.random.default_rng(1), 999)
    told = believed(found, chance, 0.05)
    assert told.relation("b", "x") == "merged"
    assert told.relation("b", "y") == "no_correspondence"
    assert told.relation("a", "x") == "stayed"


def test_a_class_that_is_matched_no_better_than_chance_may_have_been_split_off():
    older = "x x x x x x x x x y w w w w z z z z z z".split()
    newer = "a a a a a a b b b b e e e e d d d d d d".split()
    chance = against_chance(older, newer, np.random.default_rng(1), 999)
    told = believed(match_classes(older, newer), chance, 0.05)
    assert told.relation("x", "b") == "split"
    assert told.relation("x", "a") == "stayed"
