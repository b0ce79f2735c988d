"""The exact circular order: brute force over every drawing, published data, invariance."""

import csv
import math
from fractions import Fraction
from itertools import chain, pairwise, permutations, product
from pathlib import Path

import numpy as np
import pytest
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.ordering.circular_order import (
    circular_order,
    tour_length,
    whole_distances,
)
from felloe.ground.ordering.programme import Programme
from felloe.ground.ordering.tree import from_linkage, from_tiers, hung_from_leaf, leaves_below
from published import Reference

REFERENCES = Path(__file__).parents[2] / "references"


def random_case(seed, n, values):
    """A random tree over symmetric distances with few distinct values, so that tours tie."""
    rng = np.random.default_rng(seed)
    D = np.triu(rng.integers(1, values + 1, (n, n)) / values, 1)
    D = D + D.T
    nodes, Z = list(range(n)), []
    for merge in range(n - 1):
        left, right = sorted(rng.choice(len(nodes), 2, replace=False))
        Z.append([nodes[left], nodes[right], merge + 1, 0])
        nodes = [node for i, node in enumerate(nodes) if i not in (left, right)] + [n + merge]
    return np.array(Z, dtype=float), D


def drawings(node):
    """Every order of leaves that a tree allows, by definition."""
    if node.leaf >= 0:
        return [[node.leaf]]
    return [
        list(chain(*parts))
        for arrangement in permutations(node.children)
        for parts in product(*(drawings(child) for child in arrangement))
    ]


def canonical(order):
    """Turn and mirror a tour so that it begins with 0 and its smaller neighbour."""
    start = order.index(0)
    forward = tuple(order[start:] + order[:start])
    return min(forward, (0, *reversed(forward[1:])))


def brute_force(node, D, best=min):
    """Length, canonical order and number of the best tours, over all drawings."""
    whole = whole_distances(D)
    tours = {canonical(order) for order in drawings(node)}
    lengths = {tour: sum(whole[tour[i - 1], tour[i]] for i in range(len(tour))) for tour in tours}
    optimum = best(lengths.values())
    tied = sorted(tour for tour, length in lengths.items() if length == optimum)
    return tied[0], len(tied), len(tours)


def read_matrix(name):
    """A square matrix of the references under the labels of its rows."""
    with open(REFERENCES / "data" / name, newline="", encoding="utf-8") as stream:
        _, *rows = csv.reader(stream)
    return [row[0] for row in rows], np.array([row[1:] for row in rows], dtype=float)


def ekman():
    """Ekman (1954): 14 spectral colours, distance 1 - similarity."""
    labels, similar = read_matrix("ekman_14_colours_similarity.csv")
    return labels, np.round(1.0 - similar, 12)


def path_lengths():
    """Optimal path lengths of R's seriation 1.4.1 (values/reference_values.csv, OLO)."""
    with open(REFERENCES / "values" / "reference_values.csv", encoding="utf-8") as stream:
        return {
            row["dataset"]: float(row["value"])
            for row in csv.DictReader(stream)
            if row["quantity"].startswith("path_length_OLO")
        }


def kinship_distances(source):
    """Rosenberg & Kim (1975): share of people who kept two kinship terms apart."""
    counts, people, terms = Reference().source_counts(source)
    return terms, np.round(1.0 - counts / people, 12)


@pytest.mark.parametrize("part", range(10))
def test_the_order_equals_brute_force_over_all_drawings_ties_included(part):
    for seed in range(part * 60, part * 60 + 60):
        n = 4 + seed % 6
        Z, D = random_case(seed, n, values=(3, 7, 1000)[seed % 3])
        tree = from_linkage(Z)
        expected, tied, every = brute_force(tree, D)
        found = circular_order(tree, D)
        assert tuple(found.order.tolist()) == expected
        assert found.n_optima == tied
        assert every == 2 ** (n - 3)


@pytest.mark.parametrize("seed", range(40))
def test_the_longest_order_equals_brute_force(seed):
    Z, D = random_case(seed, 8, values=5)
    tree = from_linkage(Z)
    expected, tied, _ = brute_force(tree, D, best=max)
    found = circular_order(tree, D, longest=True)
    assert tuple(found.order.tolist()) == expected
    assert found.n_optima == tied


def shortest_path(tree, D):
    """Length of the shortest open path, whose ends are free, to compare with published ones."""
    free = np.zeros(len(D))
    order = Programme(tree, whole_distances(D), False).smallest_order(free, free)
    return round(float(sum(D[a, b] for a, b in pairwise(order))), 12)


@pytest.mark.parametrize("seed", range(40))
def test_the_path_equals_brute_force(seed):
    Z, D = random_case(seed, 8, values=50)
    tree = from_linkage(Z)
    shortest = min(sum(D[a, b] for a, b in pairwise(o)) for o in drawings(tree))
    assert shortest_path(tree, D) == pytest.approx(shortest, abs=1e-9)


def tiers_of(Z, n):
    """A nested cut of a random tree: two classes, four subclasses."""
    return cut(Z, 2), cut(Z, min(4, n))


@pytest.mark.parametrize("seed", range(40))
def test_the_order_that_keeps_only_the_tiers_equals_brute_force(seed):
    n = 6 + seed % 3
    Z, D = random_case(seed, n, values=(3, 100)[seed % 2])
    tree, refined = from_tiers(Z, *tiers_of(Z, n))
    expected, tied, _ = brute_force(tree, D)
    found = circular_order(tree, D)
    assert not refined
    assert tuple(found.order.tolist()) == expected
    assert found.n_optima == tied


@pytest.mark.parametrize("seed", range(30))
def test_keeping_only_the_tiers_is_never_longer_than_keeping_the_tree(seed):
    Z, D = random_case(seed, 14, values=1000)
    free, _ = from_tiers(Z, cut(Z, 3), cut(Z, 5))
    assert circular_order(free, D).length <= circular_order(from_linkage(Z), D).length


def test_a_subclass_of_more_than_fourteen_terms_keeps_its_merges():
    Z, D = random_case(1, 40, values=1000)
    one, two = cut(Z, 2), cut(Z, 2)
    tree, refined = from_tiers(Z, one, two)
    large = [np.flatnonzero(one == label) for label in (0, 1) if (one == label).sum() > 14]
    assert sorted(map(sorted, refined)) == sorted(members.tolist() for members in large)
    assert circular_order(tree, D).length <= circular_order(from_linkage(Z), D).length


def test_a_class_that_is_no_branch_is_refused():
    Z = np.array([[0, 1, 1, 2], [2, 3, 2, 2], [4, 5, 3, 4]], dtype=float)
    with pytest.raises(ValueError, match="not one branch"):
        from_tiers(Z, np.array([0, 1, 0, 1]), np.array([0, 1, 2, 3]))


@pytest.mark.parametrize("seed", range(10))
def test_the_order_of_the_input_rows_changes_nothing(seed):
    Z, D = random_case(seed, 12, values=4)
    shuffle = np.random.default_rng(seed).permutation(12)
    place = np.argsort(shuffle)
    renamed = Z.copy()
    renamed[:, :2] = [[place[int(node)] if node < 12 else node for node in row[:2]] for row in Z]
    found = circular_order(from_linkage(Z), D)
    again = circular_order(from_linkage(renamed), D[np.ix_(shuffle, shuffle)])
    assert again.length == found.length
    assert again.n_optima == found.n_optima


def test_sums_that_tie_as_fractions_tie_as_numbers():
    # 1/74 + 3/74 = 2/74 + 2/74, but not after rounding to a decimal grid
    D = np.round(np.array([[0, 1, 2], [1, 0, 3], [2, 3, 0]]) / 74, 12)
    assert whole_distances(D).tolist() == [[0, 1, 2], [1, 0, 3], [2, 3, 0]]


def test_sums_tie_as_fractions_whatever_their_common_denominator_is():
    # shares of so many people who placed a pair; the common denominator has 14 digits, shares 12
    people = [17, 23, 25, 27, 29, 31, 32, 37, 11, 13]
    shares = [Fraction(7, n) for n in people]
    common = math.lcm(*people)
    assert 10**13 < common < 10**14
    D = np.zeros((len(people) + 1,) * 2)
    D[0, 1:] = D[1:, 0] = np.round([float(share) for share in shares], 12)
    assert whole_distances(D)[0, 1:].tolist() == [int(share * common) for share in shares]


def test_distances_of_very_many_denominators_are_counted_on_the_grid():
    # the common denominator of all numbers up to 2000 has more than 800 digits
    D = np.round(1.0 / (1.0 + np.arange(45 * 45).reshape(45, 45) % 2000), 12)
    assert np.array_equal(whole_distances(D), np.rint(D * 1e9))


def test_equal_distances_leave_every_drawing_optimal():
    n = 30
    Z, _ = random_case(3, n, values=4)
    found = circular_order(from_linkage(Z), 1.0 - np.eye(n))
    assert found.n_optima == 2 ** (n - 3)


def test_more_optima_than_can_be_counted_are_said_to_be_an_estimate():
    n = 70
    Z, _ = random_case(3, n, values=4)
    found = circular_order(from_linkage(Z), 1.0 - np.eye(n))
    assert not found.counted_exactly
    assert found.n_optima == pytest.approx(2.0 ** (n - 3), rel=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_every_group_of_the_tree_is_a_run_of_the_circle(seed):
    Z, D = random_case(seed, 25, values=9)
    tree = from_linkage(Z)
    order = circular_order(tree, D).order
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        inside = np.isin(order, leaves_below(node))
        assert np.sum(inside != np.roll(inside, 1)) in (0, 2)
        waiting.extend(node.children)


def test_ekmans_colours_come_out_as_the_spectrum():
    # METHODS of the trade: the closed tour of the spectrum is 5.15, the open path 4.31
    # (values/reference_values.csv, closed_tour_length_wavelength_order)
    labels, D = ekman()
    tree = from_linkage(build_tree(D, "average"))
    found = circular_order(tree, D)
    assert [labels[i] for i in found.order] == sorted(labels)
    assert found.length == 5.15
    assert shortest_path(tree, D) == 4.31


def test_the_four_by_four_case_that_a_general_library_gets_wrong():
    # SciPy issue 11227 (open): optimal path 1.4999, the library's heuristic gives 1.7454
    D = np.zeros((4, 4))
    with open(REFERENCES / "data" / "hand_distance_examples.csv", encoding="utf-8") as stream:
        for row in csv.DictReader(stream):
            if row["example"] == "leaf_order_4x4":
                i, j = int(row["item_a"]), int(row["item_b"])
                D[i, j] = D[j, i] = float(row["distance"])
    tree = from_linkage(build_tree(D, "complete"))
    expected = path_lengths()["leaf_order_4x4"]
    assert shortest_path(tree, D) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("dataset", "source"),
    [
        ("kin_women_single", "women_single"),
        ("kin_men_single", "men_single"),
        ("kin_women_first", "women_first_of_two"),
        ("kin_men_first", "men_first_of_two"),
    ],
)
def test_the_path_of_kinship_sorts_equals_another_exact_programme(dataset, source):
    # R seriation 1.4.1, optimal leaf ordering (values/reference_values.csv)
    _, D = kinship_distances(source)
    tree = from_linkage(build_tree(D, "average"))
    assert shortest_path(tree, D) == pytest.approx(path_lengths()[dataset], abs=1e-9)


@pytest.mark.parametrize("method", ["average", "OLO_average", "single", "complete", "ward.D2"])
@pytest.mark.parametrize(
    ("dataset", "source"), [("kin_women_single", "women_single"), ("kin_men_single", "men_single")]
)
def test_no_published_leaf_order_of_the_tree_is_shorter(dataset, source, method):
    # R's hclust and seriation (values/leaf_orders.csv); orders of other trees may be shorter,
    # so only those that keep this tree together count
    terms, D = kinship_distances(source)
    tree = from_linkage(build_tree(D, "average"))
    with open(REFERENCES / "values" / "leaf_orders.csv", encoding="utf-8") as stream:
        given = next(
            row["leaf_order"].split()
            for row in csv.DictReader(stream)
            if (row["dataset"], row["method"]) == (dataset, method)
        )
    order = [terms.index(term) for term in given]
    if order in drawings(tree):
        length = sum(D[a, b] for a, b in pairwise(order))
        assert shortest_path(tree, D) <= length + 1e-9
        assert circular_order(tree, D).length <= tour_length(D, order) + 1e-9
    assert method != "OLO_average" or order in drawings(tree)


def test_the_textbook_kinship_matrix_has_path_482_and_circle_552():
    # path 482: R seriation 1.4.1; circle 552 and longest 719: brute force over its drawings
    _, D = read_matrix("kinship_mean_apart_textbook_matrix.csv")
    tree = from_linkage(build_tree(D, "average"))
    assert shortest_path(tree, D) == path_lengths()["kin_textbook_matrix"] == 482
    assert circular_order(tree, D).length == 552
    assert circular_order(tree, D, longest=True).length == 719


def test_the_textbook_kinship_optimum_equals_brute_force():
    _, D = read_matrix("kinship_mean_apart_textbook_matrix.csv")
    tree = from_linkage(build_tree(D, "average"))
    orders = np.array(drawings(tree))
    lengths = D[orders, np.roll(orders, -1, axis=1)].sum(axis=1)
    assert circular_order(tree, D).length == lengths.min()
    assert circular_order(tree, D, longest=True).length == lengths.max()


def test_the_length_of_a_tour_is_the_sum_between_neighbours_once_around():
    D = np.array([[0, 1, 5, 2], [1, 0, 1, 7], [5, 1, 0, 1], [2, 7, 1, 0]], dtype=float)
    assert tour_length(D, [0, 1, 2, 3]) == 1 + 1 + 1 + 2


def test_a_programme_that_does_not_count_refuses_to_say_how_many():
    tree, free = from_linkage(random_case(1, 6, values=5)[0]), np.zeros(6)
    with pytest.raises(ValueError, match="not asked to count"):
        Programme(tree, np.ones((6, 6)), False).ways(free, free)


def test_a_leaf_alone_has_nothing_to_hang_from_it():
    with pytest.raises(ValueError, match="no other leaves"):
        hung_from_leaf(from_linkage(np.empty((0, 4))), 0)
