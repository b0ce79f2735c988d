"""Classes and terms from one edition to the next, against definitions and slow search."""

import itertools
import math

import numpy as np
import pytest
from felloe.numerics.editions import (
    circular_correlation,
    class_mapping,
    grade_migration,
    match_classes,
    order_agreement,
)


def overlap(older, newer, mapping):
    return sum(mapping.get(a) == b for a, b in zip(older, newer, strict=True))


@pytest.mark.parametrize("seed", range(8))
def test_matching_has_the_largest_overlap_of_all_one_to_one_matchings(seed):
    rng = np.random.default_rng(seed)
    older = rng.choice(list("abcd"), size=25).tolist()
    newer = rng.choice(list("vwxyz"), size=25).tolist()
    best = max(
        overlap(older, newer, dict(zip("abcd", drawn, strict=True)))
        for drawn in itertools.permutations("vwxyz", 4)
    )
    assert overlap(older, newer, match_classes(older, newer).matched) == best


def test_matching_goes_by_members_and_not_by_names():
    assert match_classes(list("aaabbb"), list("bbbaaa")).matched == {"a": "b", "b": "a"}


def test_a_class_cut_in_two_has_split_and_its_terms_have_not_moved():
    older, newer = list("aaaaaaabbb"), list("xxxxyyyzzz")
    found = match_classes(older, newer)
    assert found.split_from == {"y": "a"}
    assert [found.relation("a", name) for name in "xyz"] == ["stayed", "split", "moved"]


def test_two_classes_that_became_one_have_merged_and_their_terms_have_not_moved():
    found = match_classes(list("aaaabbbccc"), list("xxxxxxxyyy"))
    assert found.merged_into == {"b": "x"}
    assert found.relation("b", "x") == "merged"


def test_a_term_that_left_its_fellows_has_moved():
    found = match_classes(list("aaaabbbb"), list("xxxyyyyy"))
    assert found.relation("a", "y") == "moved"


@pytest.mark.parametrize(
    ("older", "newer", "grade"),
    [(0.75, 0.9, "robust"), (0.74, 0.99, "possible"), (0.5, 0.5, "possible"), (0.49, 1.0, "noise")],
)
def test_a_move_is_graded_by_the_weaker_of_both_editions(older, newer, grade):
    assert grade_migration("moved", older, newer, robust=0.75, possible=0.5) == grade


def test_a_term_whose_class_split_has_not_migrated():
    assert grade_migration("split", 1.0, 1.0, robust=0.75, possible=0.5) == "none"


@pytest.mark.parametrize(
    ("older", "newer", "mapping"),
    [
        ("abc", "abc", "exact"),
        ("ab", "abc", "broad"),
        ("abc", "ab", "narrow"),
        ("abcd", "abce", "close"),
        ("abcd", "aefg", "related"),
        ("ab", "cd", None),
    ],
)
def test_mapping_of_classes_follows_from_their_members(older, newer, mapping):
    assert class_mapping(set(older), set(newer)) == mapping


@pytest.mark.parametrize("seed", range(5))
def test_circular_correlation_equals_the_definition_over_pairs(seed):
    a, b = np.random.default_rng(seed).uniform(0, 2 * math.pi, size=(2, 20))
    pairs = list(itertools.combinations(range(20), 2))
    sines = [(math.sin(a[i] - a[j]), math.sin(b[i] - b[j])) for i, j in pairs]
    above = sum(x * y for x, y in sines)
    below = math.sqrt(sum(x * x for x, _ in sines) * sum(y * y for _, y in sines))
    assert circular_correlation(a, b) == pytest.approx(above / below, abs=1e-11)


def test_an_order_with_its_mirror_is_minus_one_and_with_itself_one():
    # Fisher & Lee (1983): the two ends of the scale.
    angles = np.linspace(0, 2 * math.pi, 100, endpoint=False)
    assert circular_correlation(angles, -angles) == pytest.approx(-1.0, abs=1e-12)
    assert circular_correlation(angles, angles + 1.234) == pytest.approx(1.0, abs=1e-12)


def test_turning_a_circle_changes_nothing():
    terms = [f"t{i:02}" for i in range(12)]
    turned = terms[5:] + terms[:5]
    correlation, p_value = order_agreement(terms, turned, np.random.default_rng(0), 199)
    assert (correlation, p_value) == (pytest.approx(1.0), 1 / 200)


def test_p_of_unrelated_orders_is_uniform():
    from scipy.stats import kstest

    terms = list("abcdefghijkl")
    rng = np.random.default_rng(20)
    found = [
        order_agreement(terms, rng.permutation(terms).tolist(), rng, 99)[1] for _ in range(300)
    ]
    assert kstest(found, "uniform").pvalue > 0.01


def test_orders_of_different_terms_are_refused():
    with pytest.raises(ValueError, match="the same three terms"):
        order_agreement(list("abc"), list("abd"), np.random.default_rng(0), 9)
