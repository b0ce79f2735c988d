"""Information shared by two partitions, against definitions and general software."""

import csv
import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from felloe.ground.groups.agreement import (
    adjusted_mutual_information,
    entropy,
    expected_mutual_information,
    mutual_information,
    variation_of_information,
)
from felloe.ground.groups.contingency import contingency
from published import Reference
from reference_distances import kinship_distances
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.spatial.distance import squareform

REFERENCES = Path(__file__).parents[2] / "references"


reference = Reference().value


def kinship_partitions():
    """Return the piles of the 85 women, one row each."""
    path = REFERENCES / "data" / "kinship_women_single_sorts_wide.csv"
    with open(path, encoding="utf-8") as stream:
        return [list(row.values())[1:] for row in csv.DictReader(stream)]


def normalised(a, b):
    """Return mutual information over the geometric mean of the entropies."""
    table = contingency(a, b)
    return mutual_information(a, b) / math.sqrt(
        entropy(table.sum(axis=1)) * entropy(table.sum(axis=0))
    )


def test_mean_variation_of_information_between_85_people_is_that_of_r_clue():
    piles = kinship_partitions()
    values = [variation_of_information(a, b) for a, b in itertools.combinations(piles, 2)]
    expected = reference("kin_women_single", "mean_pairwise_variation_of_information_nats")
    assert np.mean(values) == pytest.approx(expected, abs=1e-9)


def test_mean_normalised_information_between_85_people_is_that_of_r_clue():
    piles = kinship_partitions()
    values = [normalised(a, b) for a, b in itertools.combinations(piles, 2)]
    expected = reference("kin_women_single", "mean_pairwise_NMI_between_people")
    assert np.mean(values) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("n_classes", [2, 3, 4, 5, 8])
def test_information_between_two_kinship_trees_cut_is_that_of_r_clue(n_classes):
    women, men = (
        fcluster(linkage(squareform(kinship_distances(source)), "average"), n_classes, "maxclust")
        for source in ("women_single", "men_single")
    )
    expected = reference("kin_women_single_vs_men_single", f"nmi_average_k{n_classes}")
    assert normalised(women, men) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("a", "b"), [("aabbc", "xxyyy"), ("aaabbb", "xyxyzz"), ("aabbcc", "xxxyyz"), ("aaaab", "xyzzz")]
)
def test_expected_information_is_the_mean_over_every_dealing_of_the_labels(a, b):
    a, b = list(a), list(b)
    every = [mutual_information(a, dealt) for dealt in itertools.permutations(b)]
    assert expected_mutual_information(contingency(a, b)) == pytest.approx(
        np.mean(every), abs=1e-12
    )


@pytest.mark.parametrize("seed", range(5))
def test_mutual_information_equals_the_definition(seed):
    a, b = np.random.default_rng(seed).integers(4, size=(2, 30))
    total = 0.0
    for i, j in itertools.product(range(4), range(4)):
        both = np.mean((a == i) & (b == j))
        if both:
            total += both * math.log(both / (np.mean(a == i) * np.mean(b == j)))
    assert mutual_information(a, b) == pytest.approx(total, abs=1e-12)


def test_halving_a_class_of_all_terms_costs_the_logarithm_of_two():
    assert variation_of_information([0] * 8, [0] * 4 + [1] * 4) == pytest.approx(math.log(2))


def test_adjusted_information_of_a_partition_with_itself_is_one():
    assert adjusted_mutual_information(list("aabbbc"), list("xxyyyz")) == pytest.approx(1.0)


def test_adjusted_information_averages_zero_over_every_dealing_of_the_labels():
    a, b = list("aabbc"), list("xxyyz")
    every = [adjusted_mutual_information(a, dealt) for dealt in itertools.permutations(b)]
    assert np.mean(every) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("flat", ["aaaaaa", "abcdef"])
def test_one_group_and_singles_tell_nothing(flat):
    assert adjusted_mutual_information(list(flat), list("xxyyyz")) == 0.0


@pytest.mark.parametrize("seed", range(3))
def test_variation_of_information_keeps_the_triangle_inequality(seed):
    a, b, c = np.random.default_rng(seed).integers(5, size=(3, 40))
    through = variation_of_information(a, b) + variation_of_information(b, c)
    assert variation_of_information(a, c) <= through + 1e-12


def test_partitions_of_different_length_are_refused():
    with pytest.raises(ValueError, match="can't be compared"):
        contingency([1, 2], [1, 2, 3])
