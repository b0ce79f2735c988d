"""Adjusted Rand index: published examples, general libraries, and what it must not depend on."""

from itertools import combinations

import numpy as np
import pytest
from felloe.ground.groups.agreement import adjusted_rand
from study_folder import reference_rows


def example(name):
    rows = [
        row for row in reference_rows("data/hand_partition_examples.csv") if row["example"] == name
    ]
    return [int(row["partition_1"]) for row in rows], [int(row["partition_2"]) for row in rows]


def kinship_piles():
    rows = reference_rows("data/kinship_women_single_sorts_wide.csv")
    return np.array([[int(value) for value in list(row.values())[1:]] for row in rows])


def random_piles(seed, people=7, terms=11):
    rng = np.random.default_rng(seed)
    piles = rng.integers(0, 4, size=(people, terms))
    piles[rng.random(piles.shape) < 0.1] = -1
    return piles


def by_pairs(a, b):
    """The definition: pairs together in both, against what chance gives; a slow loop as oracle."""
    known = [i for i in range(len(a)) if a[i] != -1 and b[i] != -1]
    every = list(combinations(known, 2))
    in_a = sum(a[i] == a[j] for i, j in every)
    in_b = sum(b[i] == b[j] for i, j in every)
    both = sum(a[i] == a[j] and b[i] == b[j] for i, j in every)
    if in_a in (0, len(every)) or in_b in (0, len(every)):
        return 0.0
    expected = in_a * in_b / len(every)
    return (both - expected) / ((in_a + in_b) / 2 - expected)


def test_adjusted_rand_of_the_example_of_yeung_and_ruzzo():
    # Yeung & Ruzzo (2001), table: 0.313 from memory; recomputed 0.31257 with mclust (SOURCES.md)
    assert adjusted_rand(*example("yeung_ruzzo_10")) == pytest.approx(0.31257, abs=5e-6)


def test_adjusted_rand_of_the_example_in_the_documentation_of_scikit_learn():
    # scikit-learn 1.9.1, docstring of adjusted_rand_score: 0.57 (SOURCES.md)
    assert adjusted_rand(*example("sklearn_doc")) == pytest.approx(0.5714285714285714, abs=1e-12)


def test_mean_agreement_of_the_kinship_sorters_equals_what_mclust_gives():
    # values/kinship_women_single_person_agreement.csv: R package mclust, adjustedRandIndex
    piles = kinship_piles()
    agreement = np.zeros((len(piles), len(piles)))
    for g, h in combinations(range(len(piles)), 2):
        agreement[g, h] = agreement[h, g] = adjusted_rand(piles[g], piles[h])
    expected = [
        float(row["mean_adjusted_rand_with_others"])
        for row in reference_rows("values/kinship_women_single_person_agreement.csv")
    ]
    np.testing.assert_allclose(agreement.sum(axis=1) / 84, expected, atol=1e-9)


@pytest.mark.parametrize("seed", range(20))
def test_adjusted_rand_equals_the_definition_by_pairs(seed):
    a, b = random_piles(seed, people=2)
    assert adjusted_rand(a, b) == pytest.approx(by_pairs(a, b), abs=1e-12)


@pytest.mark.parametrize("other", [np.arange(11), np.ones(11, dtype=int), *random_piles(3, 3)])
@pytest.mark.parametrize("empty", [np.arange(11), np.ones(11, dtype=int)])
def test_singles_and_one_pile_agree_with_nothing(empty, other):
    # METHODS of sorting: such a partition says nothing about which terms belong together
    assert adjusted_rand(empty, other) == 0.0


def test_the_same_partition_under_other_numbers_agrees_in_full():
    assert adjusted_rand([1, 1, 2, 2, 3], ["x", "x", "b", "b", "a"]) == 1.0


def test_a_random_sorter_agrees_by_nothing_on_average():
    rng = np.random.default_rng(5)
    fixed = np.arange(40) // 5
    values = [adjusted_rand(fixed, rng.permutation(fixed)) for _ in range(2000)]
    assert abs(np.mean(values)) < 4 * np.std(values) / np.sqrt(len(values))


def test_a_term_that_one_of_them_did_not_place_is_left_out():
    assert adjusted_rand([1, 1, 2, 2, -1], [1, 1, 2, 3, 1]) == adjusted_rand(
        [1, 1, 2, 2], [1, 1, 2, 3]
    )


def test_two_that_placed_no_term_in_common_agree_in_nothing():
    assert adjusted_rand([1, 1, -1, -1], [-1, -1, 2, 2]) == 0.0


def test_partitions_of_different_length_are_refused():
    with pytest.raises(ValueError, match="compared"):
        adjusted_rand([1, 2], [1, 2, 3])
