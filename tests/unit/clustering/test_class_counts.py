"""Indices of the number of classes against R's silhouettes and their definitions."""

import numpy as np
import pytest
from felloe.clustering.choice import considered, relative_pac
from felloe.clustering.class_counts import (
    choose,
    gap_number,
    gap_statistics,
    height_limits,
    log_within,
    mojena_scores,
    null_heights,
    silhouettes,
    tabulate,
)
from felloe.clustering.words import range_note
from felloe.ground.groups.linkage import build_tree, cut
from reference_distances import R_NAMES, distances, for_build


def cases(reference):
    found = {}
    for row in reference.rows("values/hclust_cuts_and_silhouettes.csv"):
        key = (row["dataset"], row["method"], int(row["k"]))
        found.setdefault(key, []).append(row)
    return found


def test_silhouettes_are_those_of_r(reference):
    # R cluster 2.1.4, silhouette(cutree(h, k), D): values/hclust_cuts_and_silhouettes.csv
    checked = 0
    for (dataset, _, _), rows in cases(reference).items():
        D, items = distances(reference, dataset)
        place = {row["item"]: row for row in rows}
        labels = np.array([int(place[item]["cluster"]) - 1 for item in items])
        expected = [float(place[item]["silhouette"]) for item in items]
        assert silhouettes(D, labels) == pytest.approx(expected, abs=1e-9)
        checked += len(rows)
    assert checked > 2000


def test_cuts_and_mean_silhouettes_are_those_of_r_where_nothing_is_tied(reference):
    methods = {name: ours for ours, name in R_NAMES.items()}
    checked = 0
    for row in reference.rows("values/reference_values.csv"):
        quantity = row["quantity"]
        if not quantity.startswith("mean_silhouette_") or row["kind"] != "exact":
            continue
        method, k = quantity.removeprefix("mean_silhouette_").rsplit("_k", 1)
        D, _ = distances(reference, row["dataset"])
        tree = build_tree(for_build(D, methods[method]), methods[method])
        mean = silhouettes(D, cut(tree, int(k))).mean()
        assert mean == pytest.approx(float(row["value"]), abs=1e-9)
        checked += 1
    assert checked > 100


def test_pooled_dispersion_equals_its_definition():
    rng = np.random.default_rng(1)
    points, labels = rng.random((15, 4)), np.arange(15) % 3
    D = ((points[:, None] - points[None]) ** 2).sum(axis=2)
    # for squared Euclidean distances it is the sum of squares around the group means
    within = sum(
        ((points[labels == one] - points[labels == one].mean(axis=0)) ** 2).sum()
        for one in range(3)
    )
    assert log_within(D, labels) == pytest.approx(np.log(within), abs=1e-8)


def test_gap_and_its_error_equal_their_definition():
    # Tibshirani, Walther & Hastie (2001), section 3: s = sd sqrt(1 + 1/B), sd over B
    observed, null = np.array([1.0, 0.5]), np.array([[1.5, 1.0], [1.7, 1.4], [1.3, 1.2]])
    gap, error = gap_statistics(observed, null)
    assert gap == pytest.approx([0.5, 0.7], abs=1e-9)
    spread = np.sqrt(((null - null.mean(axis=0)) ** 2).mean(axis=0))
    assert error == pytest.approx(spread * np.sqrt(4 / 3), abs=1e-8)


def test_mojena_counts_the_merges_that_stand_out():
    heights = np.array([1.0] * 16 + [1.2, 1.3, 9.0, 10.0])
    scores, recommended = mojena_scores(heights, [2, 3, 4])
    assert recommended == 3  # two merges far above the others
    assert scores[0] > scores[1] > 1.25 > scores[2]


def test_limits_of_a_cut_are_the_last_merge_made_and_the_next():
    heights = np.array([0.1, 0.2, 0.5, 0.9])
    assert height_limits(heights, 2) == (0.5, 0.9)
    assert height_limits(heights, 5) == (0.0, 0.1)


def test_a_cut_within_the_limits_gives_the_number():
    # SciPy's cut at a height, where no heights tie
    from scipy.cluster.hierarchy import fcluster

    corner = np.triu(np.random.default_rng(2).random((18, 18)), 1)
    tree = build_tree(corner + corner.T, "average")
    for k in range(2, 18):
        low, high = height_limits(tree[:, 2], k)
        assert len(np.unique(fcluster(tree, (low + high) / 2, "distance"))) == k


def test_a_range_is_clipped_to_what_the_terms_carry():
    clipped = considered("auto", (6, 12), 2, 7)
    assert (clipped.possible, clipped.numbers) == ((6, 7), (6, 7))
    assert considered("auto", (18, 32), 8, 11).numbers == (11,)


def test_a_number_fixed_in_the_settings_is_considered_with_all_up_to_it():
    assert considered(4, (6, 8), 2, 40).numbers == (4, 5, 6, 7, 8)
    assert considered(10, (6, 8), 2, 40).numbers == (6, 7, 8, 9, 10)


def test_a_clipped_range_is_told_and_another_is_not():
    told = range_note("classes", {"range": [6, 12], "possible": [6, 7]})
    assert "6 to 12 became 6 to 7" in told
    assert range_note("classes", {"range": [6, 12], "possible": [6, 12]}) == ""


def row(number, silhouette, **others):
    standard = {
        "below_null": True, "tied": False, "gap_criterion": 0.0, "height_gap": 0.0,
        "minimum_jaccard": 0.5, "pac": 0.5, "bootstrap_rand": 0.5,
    }  # fmt: skip
    return {"n_classes": number, "silhouette": silhouette, **standard, **others}


def test_the_best_mean_rank_wins():
    assert choose([row(5, 0.1), row(6, 0.3), row(7, 0.2)])[0] == 6
    assert choose([row(5, 0.2), row(6, 0.2, pac=0.1), row(7, 0.2)])[0] == 6


def test_pac_is_told_in_parts_of_what_there_is_without_structure():
    assert relative_pac(0.1, 0.4) == 0.25
    assert relative_pac(0.0, 0.4) == 0.0
    assert relative_pac(0.0, 0.0) == 1.0  # nothing to compare it with: no better than by chance


def test_what_is_printed_beside_does_not_count():
    assert choose([row(5, 0.2), row(6, 0.2, pac_ratio=0.1, gap_distance=0)])[0] == 5


def test_the_smaller_number_wins_where_ranks_are_equal():
    assert choose([row(5, 0.2), row(6, 0.2), row(7, 0.2)])[0] == 5


def test_loose_groups_and_cuts_through_a_tie_are_not_chosen():
    rows = [row(5, 0.9, below_null=False), row(6, 0.8, tied=True), row(7, 0.1)]
    chosen, ranks = choose(rows)
    assert chosen == 7
    assert np.isnan(ranks[0])
    assert np.isnan(ranks[1])


def test_conditions_are_dropped_where_no_number_meets_them():
    assert choose([row(5, 0.9, below_null=False), row(6, 0.8, tied=True)])[0] == 6
    only_loose = [row(5, 0.1, below_null=False), row(6, 0.8, below_null=False)]
    assert choose(only_loose)[0] == 6


@pytest.mark.parametrize(
    ("criterion", "number"),
    [([-0.1, 0.2, 0.9], 7), ([0.0, -0.1, 0.9], 6), ([-0.3, -0.2, -0.1], 8)],
    ids=["not the largest but the first", "equal is enough", "still rising at the end"],
)
def test_the_gap_asks_for_the_smallest_number_within_one_error_of_the_next(criterion, number):
    # Tibshirani, Walther & Hastie (2001): smallest k with gap(k) >= gap(k + 1) - s(k + 1)
    assert gap_number([6, 7, 8], np.array(criterion)) == number


def test_the_line_of_a_number_is_a_quantile_of_the_last_merge_made():
    trees = [np.array([[0, 1, 0.1 * one, 2], [2, 3, 0.5, 3], [4, 5, 0.9, 4]]) for one in range(21)]
    lines = null_heights(trees, [2, 3, 4])
    assert lines[3] == pytest.approx(0.1)  # 5 % point of 0, 0.1, ... 2.0
    assert lines[2] == 0.5
    assert lines[4] == 0.0  # no merge is made


def table(null_height):
    """A tree whose cut into two makes its last merge at 0.3."""
    D = np.array([[0, 0.2, 0.9, 0.9], [0.2, 0, 0.9, 0.9], [0.9, 0.9, 0, 0.3], [0.9, 0.9, 0.3, 0]])
    other = np.where(D == 0.3, null_height, D)
    stability = {2: {"minimum_jaccard": 0, "pac": 0, "pac_ratio": 0, "bootstrap_rand": 0}}
    null = [build_tree(other, "average")] * 2, [other] * 2
    return tabulate(build_tree(D, "average"), D, [2], null, stability, 0.7, 2)[0]


def test_a_cut_is_compared_with_the_same_cut_without_structure():
    assert table(0.31)["null_height"] == pytest.approx(0.31)
    assert table(0.31)["below_null"] is True


def test_groups_as_tight_as_without_structure_are_not_tighter():
    assert table(0.3)["below_null"] is False
    assert table(0.3)["below_chance"] is True


def test_the_table_finds_a_planted_number():
    rng = np.random.default_rng(3)
    labels = np.repeat(np.arange(4), 5)
    D = np.where(labels[:, None] == labels[None], 0.3, 0.9) + 0.05 * rng.random((20, 20))
    D = np.round((D + D.T) / 2, 6)
    np.fill_diagonal(D, 0)
    null = [], []
    for _ in range(8):
        order = rng.permutation(190)
        shuffled = np.zeros((20, 20))
        shuffled[np.triu_indices(20, 1)] = D[np.triu_indices(20, 1)][order]
        shuffled = shuffled + shuffled.T
        null[0].append(build_tree(shuffled, "average"))
        null[1].append(shuffled)
    stability = {k: {"minimum_jaccard": 0, "pac": 0, "bootstrap_rand": 0} for k in range(2, 9)}
    rows = tabulate(build_tree(D, "average"), D, range(2, 9), null, stability, 0.8, 2)
    assert choose(rows)[0] == 4
    best = max(rows, key=lambda one: one["silhouette"])
    assert best["n_classes"] == 4
