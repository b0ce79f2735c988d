"""Trees of terms against R's hclust and agnes, SciPy's cut, and their definitions."""

import numpy as np
import pytest
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.linkage import (
    METHODS,
    agglomerative_coefficient,
    build_tree,
    cophenetic,
    cophenetic_correlation,
    cut,
    merge_scale,
)
from felloe.ground.squares import condensed
from reference_distances import DATASETS, R_NAMES, distances, for_build


def value_row(reference, dataset, quantity):
    for row in reference.rows("values/reference_values.csv"):
        if (row["dataset"], row["quantity"]) == (dataset, quantity):
            return row
    return None


def random_distances(n_terms, seed):
    corner = np.random.default_rng(seed).random((n_terms, n_terms))
    D = np.triu(corner, 1)
    return D + D.T


def tied_distances(n_terms, seed):
    D = np.round(random_distances(n_terms, seed) * 4) / 4 + 0.25
    np.fill_diagonal(D, 0.0)
    return D


def slow_average_heights(D):
    """Average linkage from its definition: the two groups with the least mean distance."""
    groups, heights = [[term] for term in range(len(D))], []
    while len(groups) > 1:
        best = min(
            (np.mean([D[i, j] for i in a for j in b]), x, y)
            for x, a in enumerate(groups)
            for y, b in enumerate(groups)
            if x < y
        )
        height, x, y = best
        groups[x] = groups[x] + groups.pop(y)
        heights.append(height)
    return np.array(heights)


@pytest.mark.parametrize("seed", range(5))
def test_average_linkage_equals_its_definition(seed):
    D = random_distances(9, seed)
    assert build_tree(D, "average")[:, 2] == pytest.approx(slow_average_heights(D), abs=1e-9)


def joined_in_r(reference, dataset, method, items):
    """Heights at which items join in R's tree: the lowest merge that holds both."""
    place = {item: one for one, item in enumerate(items)}
    joined = np.full((len(items), len(items)), np.inf)
    np.fill_diagonal(joined, 0.0)
    for merge in reference.rows("values/hclust_merges.csv"):
        if (merge["dataset"], merge["method"]) == (dataset, R_NAMES[method]):
            inside = [place[item] for item in merge["members"].split(" ")]
            cells = np.ix_(inside, inside)
            joined[cells] = np.minimum(joined[cells], float(merge["height"]))
    return joined


@pytest.mark.parametrize("dataset", DATASETS)
@pytest.mark.parametrize("method", R_NAMES)
def test_heights_and_cophenetic_correlation_are_those_of_r(reference, dataset, method):
    # R stats 4.2.2 hclust: values/hclust_merges.csv and reference_values.csv
    row = value_row(reference, dataset, f"cophenetic_correlation_{R_NAMES[method]}")
    D, items = distances(reference, dataset)
    tree = build_tree(for_build(D, method), method)
    found = cophenetic_correlation(tree, D)
    if row["kind"] == "exact":
        joined = joined_in_r(reference, dataset, method, items)
        assert cophenetic(tree) == pytest.approx(joined, abs=1e-9)
        assert found == pytest.approx(float(row["value"]), abs=1e-9)
    else:  # ties: only the range that R found over 200 input orders can be compared
        low, high = (float(word) for word in row["note"].split("ranges ")[1].split(" to "))
        assert low - 1e-8 <= found <= high + 1e-8


def test_cophenetic_heights_of_the_women_are_those_of_r(reference):
    # values/kinship_women_single_cophenetic_average.csv, R stats 4.2.2
    D, items = distances(reference, "kin_women_single")
    joined = reference.square("values/kinship_women_single_cophenetic_average.csv", items)
    assert cophenetic(build_tree(D, "average")) == pytest.approx(joined, abs=1e-9)


def test_cophenetic_correlation_of_the_help_page_example(reference):
    # ?cophenetic of R stats, USArrests, average linkage: 0.7659 printed, 0.765898317727075
    rows = reference.rows("data/usarrests.csv")
    points = np.array(
        [[float(value) for name, value in row.items() if name != "state"] for row in rows]
    )
    D = np.sqrt(((points[:, None] - points[None]) ** 2).sum(axis=2))
    found = cophenetic_correlation(build_tree(D, "average"), D)
    assert found == pytest.approx(0.765898317727075, abs=1e-9)


@pytest.mark.parametrize("example", ["sneath_sokal_5", "johnson_wichern_5"])
@pytest.mark.parametrize("method", ["single", "complete", "average"])
def test_heights_of_the_hand_examples(reference, example, method):
    # Sneath & Sokal fig. 5-29 (help page of R's cophenetic); Johnson & Wichern example 12.3
    rows = [
        row
        for row in reference.rows("data/hand_distance_examples.csv")
        if row["example"] == example
    ]
    items = sorted({row["item_a"] for row in rows} | {row["item_b"] for row in rows})
    D = np.zeros((len(items), len(items)))
    for row in rows:
        i, j = items.index(row["item_a"]), items.index(row["item_b"])
        D[i, j] = D[j, i] = float(row["distance"])
    heights = build_tree(D, method)[:, 2]
    known = [value_row(reference, example, f"merge_height_{method}_{n}") for n in range(1, 5)]
    for height, row in zip(heights, known, strict=True):
        if row:
            assert height == pytest.approx(float(row["value"]), abs=1e-9)


@pytest.mark.parametrize("method", ["average", "single", "complete", "ward"])
def test_agglomerative_coefficient_of_the_help_page_example(reference, method):
    # R cluster 2.1.4, ?agnes: agnes(agriculture)$ac, 0.7818932 for average linkage
    rows = reference.rows("data/agriculture.csv")
    points = np.array([[float(row["x"]), float(row["y"])] for row in rows])
    D = np.sqrt(((points[:, None] - points[None]) ** 2).sum(axis=2))
    found = agglomerative_coefficient(build_tree(for_build(D, method), method))
    expected = reference.value("agriculture", f"agglomerative_coefficient_{method}")
    assert found == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("method", ["average", "ward"])
def test_agglomerative_coefficient_of_the_women_is_that_of_agnes(reference, method):
    # R cluster 2.1.4, agnes on the distances of the 85 women
    D, _ = distances(reference, "kin_women_single")
    found = agglomerative_coefficient(build_tree(for_build(D, method), method))
    expected = reference.value("kin_women_single", f"agglomerative_coefficient_{method}")
    assert found == pytest.approx(expected, abs=1e-9)


def test_three_classes_of_the_women_are_the_published_consensus(reference):
    # Gordon & Vichi (2001), Psychometrika 66:229-248, table 6: all three models
    D, items = distances(reference, "kin_women_single")
    classes = cut(build_tree(D, "average"), 3)
    for model in ("MF1", "MF2", "JMF"):
        rows = {
            row["term"]: row
            for row in reference.rows("data/kinship_gordon_vichi_consensus.csv")
            if row["model"] == model
        }
        published = [
            max(range(1, 4), key=lambda one: float(rows[item][f"class_{one}"])) for item in items
        ]
        assert adjusted_rand(classes, np.array(published)) == 1.0


@pytest.mark.parametrize("method", METHODS)
def test_heights_never_fall(method):
    heights = build_tree(tied_distances(30, 1), method)[:, 2]
    assert (np.diff(heights) >= -1e-12).all()


@pytest.mark.parametrize("method", METHODS)
def test_joining_heights_are_ultrametric(method):
    joined = cophenetic(build_tree(random_distances(12, 2), method))
    widest = np.maximum(joined[:, :, None], joined[None, :, :].transpose(0, 2, 1)).min(axis=1)
    assert (joined <= widest + 1e-12).all()


@pytest.mark.parametrize("method", METHODS)
def test_the_order_of_the_terms_changes_nothing_where_nothing_is_tied(method):
    D = random_distances(20, 3)
    order = np.random.default_rng(4).permutation(20)
    joined = cophenetic(build_tree(D[np.ix_(order, order)], method))
    assert joined == pytest.approx(
        cophenetic(build_tree(D, method))[np.ix_(order, order)], abs=1e-12
    )


def test_an_ultrametric_input_is_its_own_tree():
    joined = cophenetic(build_tree(random_distances(15, 5), "average"))
    assert cophenetic_correlation(build_tree(joined, "average"), joined) == pytest.approx(
        1, abs=1e-9
    )


def test_ward_works_on_the_square_root():
    D = random_distances(12, 6)
    points = np.random.default_rng(7).random((12, 3))
    squared = ((points[:, None] - points[None]) ** 2).sum(axis=2)
    # Ward (1963): the last height squared is twice the sum of squares that the last merge adds
    tree = build_tree(squared, "ward")
    labels = cut(tree, 2)
    within = sum(
        ((points[labels == one] - points[labels == one].mean(axis=0)) ** 2).sum() for one in (0, 1)
    )
    total = ((points - points.mean(axis=0)) ** 2).sum()
    assert tree[-1, 2] ** 2 / 2 == pytest.approx(total - within, abs=1e-9)
    assert build_tree(D, "ward")[0, 2] == pytest.approx(np.sqrt(condensed(D).min()), abs=1e-9)


@pytest.mark.parametrize("method", ["centroid", "median"])
def test_linkages_that_can_invert_are_refused_with_the_reason(method):
    with pytest.raises(ValueError, match="heights can fall"):
        build_tree(random_distances(5, 8), method)


@pytest.mark.parametrize("method", METHODS)
def test_a_cut_gives_the_number_asked_for_where_heights_tie(method):
    # SciPy's fcluster(maxclust) gives fewer classes on ties
    tree = build_tree(tied_distances(20, 9), method)
    for k in range(1, 21):
        assert len(np.unique(cut(tree, k))) == k


def test_cuts_nest():
    tree = build_tree(tied_distances(20, 10), "average")
    for k in range(1, 20):
        pairs = set(zip(cut(tree, k), cut(tree, k + 1), strict=True))
        assert len(pairs) == k + 1


@pytest.mark.parametrize("k", [0, 21, -1])
def test_an_impossible_cut_is_refused(k):
    with pytest.raises(ValueError, match="cannot be cut"):
        cut(build_tree(random_distances(20, 11), "average"), k)


def test_labels_are_numbered_by_first_appearance():
    labels = cut(build_tree(random_distances(20, 12), "complete"), 6)
    firsts = [int(np.argmax(labels == one)) for one in range(6)]
    assert firsts == sorted(firsts)
    assert labels[0] == 0


def test_distances_that_differ_by_rounding_only_are_tied():
    D = random_distances(8, 13)
    noisy = D + np.triu(np.full((8, 8), 1e-14), 1) + np.triu(np.full((8, 8), 1e-14), 1).T
    assert np.array_equal(build_tree(D, "average")[:, :2], build_tree(noisy, "average")[:, :2])


@pytest.mark.parametrize("method", METHODS)
def test_only_the_heights_of_ward_are_on_another_scale_than_the_distances(method):
    # two terms join at their distance, for ward at its square root
    D = np.array([[0.0, 0.25], [0.25, 0.0]])
    assert build_tree(D, method)[0, 2] == (0.5 if method == "ward" else 0.25)
    assert merge_scale(D, method)[0, 1] == build_tree(D, method)[0, 2]
