"""
Published kinship sorts as two editions, by the functions that compare editions.

Sorts: Rosenberg & Kim (1975). Values: R packages vegan 2.6-4, ade4, mclust, dendextend, phangorn,
clue, in `tests/references/values/reference_values.csv` (`SOURCES.md` says how); scikit-bio for
what R breaks ties in. What shuffled terms give is held against the law of dealing them at random.
"""

import itertools

import numpy as np
import pytest
from felloe.circle.agreement import circular_agreement
from felloe.editions.comparison import compare, compare_distances, compare_drawings, divided
from felloe.editions.correspondence import (
    NO_CORRESPONDENCE,
    Bounds,
    against_chance,
    believed,
    grade_migration,
    match_classes,
    order_angles,
)
from felloe.editions.settings import Settings
from felloe.ground.groups.linkage import build_tree
from felloe.ground.randomness import Streams
from kinship_editions import (
    PAIRS,
    adjusted_rand_of,
    classes_of,
    correlation_spread,
    dealt_tables,
    distances_of,
    edition_of,
    edition_of_sorts,
)
from scipy.stats import binom, entropy, hypergeom, spearmanr

PERMUTATIONS = 9999
BOUNDS = Bounds(robust=0.75, possible=0.5, correspondence=0.05)
FEW = Settings(permutations=199, shape_permutations=199, halves=20, granularity_bins=6, level=0.05)
SHUFFLES = 100
ALMOST_SURE = 1e-5  # how seldom a right function fails a check of many shuffles


def streams(seed=1):
    return Streams(seed, "kinship")


def both(reference, pair):
    return [distances_of(reference, source) for source in PAIRS[pair]]


def pairs_of(matrix):
    return matrix[np.triu_indices(len(matrix), 1)]


def judged(older, newer, seed=1):
    """Return how the classes correspond, and every term's grade were its classes certain."""
    chance = against_chance(older, newer, np.random.default_rng(seed), PERMUTATIONS)
    found = believed(match_classes(older, newer), chance, BOUNDS.correspondence)
    relations = [found.relation(a, b) for a, b in zip(older, newer, strict=True)]
    return chance, [grade_migration(relation, 1.0, 1.0, BOUNDS) for relation in relations]


@pytest.fixture(scope="module")
def drawn(reference):
    """Trees, orders and maps of both pairs."""
    return {
        pair: compare_drawings(*map(edition_of, both(reference, pair)), PERMUTATIONS, streams())
        for pair in PAIRS
    }


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("n_classes", [3, 4, 5])
def test_adjusted_rand_of_two_editions_is_that_of_r_mclust(reference, pair, n_classes):
    found = divided(*(classes_of(one, n_classes) for one in both(reference, pair)))
    expected = reference.value(pair, f"adjusted_rand_average_k{n_classes}")
    assert found.adjusted_rand == pytest.approx(expected, abs=1e-9)
    assert (found.n_older, found.n_newer) == (n_classes, n_classes)


@pytest.mark.parametrize("n_classes", [3, 4, 5])
def test_variation_of_information_follows_from_the_shared_information_of_r_clue(
    reference, n_classes
):
    pair = "kin_women_single_vs_men_single"
    one, other = (classes_of(each, n_classes) for each in both(reference, pair))
    a, b = (entropy(np.unique(each, return_counts=True)[1]) for each in (one, other))
    shared = reference.value(pair, f"nmi_average_k{n_classes}") * np.sqrt(a * b)
    expected = a + b - 2 * shared
    assert divided(one, other).variation_of_information == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("method", ["pearson", "spearman"])
def test_mantels_test_of_two_editions_is_that_of_r_vegan(reference, pair, method):
    found = getattr(compare_distances(*both(reference, pair), PERMUTATIONS, streams()), method)
    expected = reference.value(pair, f"mantel_r_{method}")
    assert found.correlation == pytest.approx(expected, abs=1e-9)
    assert found.p_value == 1 / (PERMUTATIONS + 1)  # R: none of 99,999 reached it


@pytest.mark.parametrize("pair", PAIRS)
def test_maps_of_two_editions_lie_over_each_other_as_in_r_vegan_and_ade4(reference, pair, drawn):
    found = drawn[pair].maps
    for value, quantity in (
        (found.m_squared, "procrustes_m12_squared"),
        (found.correlation, "protest_correlation"),
        (found.rv, "rv_coefficient_pcoa2"),
    ):
        assert value == pytest.approx(reference.value(pair, quantity), abs=1e-8)


@pytest.mark.parametrize("pair", PAIRS)
def test_cophenetic_correlation_of_two_editions_is_that_of_r_dendextend(reference, pair, drawn):
    expected = reference.value(pair, "cophenetic_correlation_between_trees_pearson")
    assert drawn[pair].trees.cophenetic_correlation == pytest.approx(expected, abs=1e-9)


def test_bakers_gamma_is_the_rank_correlation_of_r_where_equal_heights_are_one_stage(
    reference, drawn
):
    pair = "kin_women_single_vs_men_single"
    expected = reference.value(pair, "cophenetic_correlation_between_trees_spearman")
    assert drawn[pair].trees.bakers_gamma == pytest.approx(expected, abs=1e-9)


def test_bakers_gamma_lies_among_the_values_that_orders_of_equal_merges_give(reference, drawn):
    # R's 0.0822 is one of them: dendextend numbers merges of one height as they come
    pair = "kin_women_first_vs_men_first"
    rng = np.random.default_rng(1)
    found = []
    for _ in range(400):
        stages = []
        for one in both(reference, pair):
            tree = build_tree(one.D, "average")
            late = np.lexsort([rng.random(len(tree)), np.round(tree[:, 2], 9)])
            stages.append(stages_of(tree, np.argsort(late)))
        found.append(spearmanr(*map(pairs_of, stages)).statistic)
    for value in (drawn[pair].trees.bakers_gamma, reference.value(pair, "bakers_gamma")):
        assert min(found) - 1e-9 <= value <= max(found) + 1e-9


def stages_of(tree, stage):
    """Return the stage at which each two terms join, every merge having the stage given."""
    n_terms = len(tree) + 1
    members = [{i} for i in range(n_terms)]
    joined = np.zeros((n_terms, n_terms))
    for (left, right), number in zip(tree[:, :2].astype(int).tolist(), stage.tolist(), strict=True):
        for i, j in itertools.product(members[left], members[right]):
            joined[i, j] = joined[j, i] = number
        members.append(members[left] | members[right])
    return joined


@pytest.mark.parametrize("pair", PAIRS)
def test_robinson_foulds_of_two_editions_is_that_of_scikit_bio_and_r_phangorn(
    reference, pair, drawn
):
    from skbio import TreeNode

    one, other = (
        TreeNode.from_linkage_matrix(build_tree(each.D, "average"), list(each.terms))
        for each in both(reference, pair)
    )
    assert drawn[pair].trees.robinson_foulds == one.compare_rfd(other, rooted=True)
    # that both packages mean the same by a tree: R gives the unrooted distance of both pairs
    unrooted = reference.value(pair, "robinson_foulds_unrooted")
    assert one.compare_rfd(other, rooted=False) == unrooted
    if pair == "kin_women_single_vs_men_single":
        rooted = reference.value(pair, "robinson_foulds_rooted")
        assert drawn[pair].trees.robinson_foulds == rooted


def test_distances_may_go_together_where_classes_do_not(reference):
    """The trap: a Mantel correlation of 0.87 that no shuffle reaches, classes as if dealt."""
    pair = "kin_women_first_vs_men_first"
    one, other = both(reference, pair)
    found = compare_distances(one, other, PERMUTATIONS, streams()).pearson
    assert found.correlation > 0.86
    assert found.p_value == 1 / (PERMUTATIONS + 1)
    for n_classes in (3, 4):
        classes = [classes_of(each, n_classes) for each in (one, other)]
        chance, grades = judged(*classes)
        assert abs(chance.adjusted_rand) < 0.1
        assert chance.p_value > BOUNDS.correspondence
        assert set(grades) == {NO_CORRESPONDENCE}  # no move is told of classes that do not match


@pytest.mark.parametrize("pair", PAIRS)
def test_p_of_the_adjusted_rand_index_is_that_of_all_ways_to_deal_the_terms(reference, pair):
    older, newer = (classes_of(one, 3) for one in both(reference, pair))
    chance = against_chance(older, newer, np.random.default_rng(1), PERMUTATIONS)
    sizes = [np.unique(each, return_counts=True)[1].tolist() for each in (older, newer)]
    law = [(adjusted_rand_of(table), share) for table, share in dealt_tables(*sizes)]
    assert sum(share for _, share in law) == pytest.approx(1.0)
    assert sum(value * share for value, share in law) == pytest.approx(0.0, abs=1e-12)
    exact = sum(share for value, share in law if value >= chance.adjusted_rand - 1e-9)
    reached = round(chance.p_value * (PERMUTATIONS + 1)) - 1
    low, high = binom.interval(1 - ALMOST_SURE, PERMUTATIONS, exact)
    assert low <= reached <= high


@pytest.fixture(scope="module")
def women(reference):
    return edition_of_sorts(*reference.kinship_piles())


def test_an_edition_against_itself_is_the_same_in_everything(women):
    found = compare(women, women, FEW, streams())
    one = pytest.approx(1.0, abs=1e-9)
    assert (found.distances.pearson.correlation, found.distances.spearman.correlation) == (one, one)
    for tiers in found.divisions.values():
        for each in tiers.values():
            assert each.adjusted_rand == one
            assert each.adjusted_mutual_information == one
            assert each.variation_of_information == pytest.approx(0.0, abs=1e-9)
    trees = found.drawn.trees
    assert (trees.cophenetic_correlation, trees.bakers_gamma) == (one, one)
    assert (trees.robinson_foulds, trees.robinson_foulds_share) == (0, 0.0)
    assert (found.drawn.maps.correlation, found.drawn.maps.rv) == (one, one)
    assert found.drawn.maps.m_squared == pytest.approx(0.0, abs=1e-8)
    assert (found.drawn.circle.uniform, found.drawn.circle.fisher_lee) == (one, one)


def test_the_same_people_twice_are_not_told_apart(women):
    found = compare(women, women, FEW, streams()).people
    assert found.correlation == pytest.approx(1.0, abs=1e-9)
    assert found.tests.unrestricted.p_value == 1.0  # no dealing of people brings them nearer
    assert found.shape.p_terms.min() > FEW.level


@pytest.mark.parametrize("n_classes", [3, 4])
def test_an_edition_against_itself_has_no_move(women, n_classes):
    classes = classes_of(women.distances, n_classes)
    _, grades = judged(classes, classes)
    assert set(grades) == {"none"}


def test_of_classes_that_chance_repeats_nothing_is_told_and_no_move_either(women):
    # five classes of 15 terms: two pairs of terms are alone, which dealing the terms repeats often
    classes = classes_of(women.distances, 5)
    sizes = sorted((classes.count(name) for name in set(classes)), reverse=True)
    assert sizes == [4, 4, 3, 2, 2]
    rarities = {
        (a, b): hypergeom.sf(np.arange(min(a, b) + 1) - 1, 15, a, b) for a in sizes for b in sizes
    }
    least, share = zip(
        *((rarest(table, sizes, rarities), p) for table, p in dealt_tables(sizes, sizes)),
        strict=True,
    )
    told = {
        size: sum(np.array(share)[np.array(least) <= rarities[size, size][size] + 1e-12])
        for size in sizes
    }
    assert told[2] > 1.2 * BOUNDS.correspondence  # far enough for the draws to find the same
    assert told[3] < BOUNDS.correspondence / 1.2
    _, grades = judged(classes, classes)
    assert grades == [
        "none" if told[classes.count(name)] <= BOUNDS.correspondence else NO_CORRESPONDENCE
        for name in classes
    ]


def rarest(table, sizes, rarities):
    """Return how probable the rarest overlap of a table is, or a larger one."""
    return min(
        rarities[a, b][shared]
        for a, row in zip(sizes, table.tolist(), strict=True)
        for b, shared in zip(sizes, row, strict=True)
    )


@pytest.fixture(scope="module")
def shuffled(women):
    """The women's edition, its terms dealt anew, many times over."""
    rng = np.random.default_rng(5)
    terms = list(women.terms)
    found = []
    for _ in range(SHUFFLES):
        order = rng.permutation(len(terms))
        piles = women.sorts.piles[:, order]
        found.append((order, edition_of_sorts(piles, terms)))
    return found


def test_adjusted_rand_of_shuffled_terms_is_about_nought_by_the_law_of_dealing(women, shuffled):
    sizes = sorted(np.unique(women.classes, return_counts=True)[1].tolist())
    law = [(adjusted_rand_of(table), share) for table, share in dealt_tables(sizes, sizes)]
    spread = np.sqrt(sum(share * value**2 for value, share in law))
    found = [divided(women.classes, other.classes).adjusted_rand for _, other in shuffled]
    assert abs(np.mean(found)) < 4.5 * spread / np.sqrt(SHUFFLES)
    assert abs(np.mean(np.square(found)) - spread**2) < 4.5 * fourth(law, spread)
    assert {round(value, 9) for value in found} <= {round(value, 9) for value, _ in law}


def fourth(law, spread):
    """Return the standard error of the mean of squares."""
    return np.sqrt((sum(s * v**4 for v, s in law) - spread**4) / SHUFFLES)


def test_correlations_of_shuffled_terms_are_about_nought_by_the_law_of_dealing(women, shuffled):
    heights, apart = women.heights.D, women.distances.D
    mantels = [
        compare_distances(women.distances, other.distances, 9, streams()).pearson.correlation
        for _, other in shuffled
    ]
    spread = correlation_spread(apart, apart)
    assert abs(np.mean(mantels)) < 4.5 * spread / np.sqrt(SHUFFLES)
    trees = [compare_drawings(women, other, 9, streams()).trees for _, other in shuffled]
    found = [each.cophenetic_correlation for each in trees]
    assert abs(np.mean(found)) < 4.5 * correlation_spread(heights, heights) / np.sqrt(SHUFFLES)
    ranks = np.zeros_like(heights)
    upper = np.triu_indices(len(heights), 1)
    ranks[upper] = np.unique(heights[upper], return_inverse=True)[1]
    ranks[upper] = [(pairs_of(ranks) < rank).sum() + (pairs_of(ranks) <= rank).sum()
                    for rank in pairs_of(ranks)]  # fmt: skip
    found = [each.bakers_gamma for each in trees]
    assert abs(np.mean(found)) < 4.5 * correlation_spread(ranks, ranks) / np.sqrt(SHUFFLES)


def test_clades_of_shuffled_terms_are_shared_as_often_as_sets_dealt_at_random(women, shuffled):
    from math import comb

    clades = clades_of(women.heights.D)
    sizes = [len(one) for one in clades]
    expected = sum(1 / comb(15, a) for a in sizes for b in sizes if a == b)
    trees = [compare_drawings(women, other, 9, streams()).trees for _, other in shuffled]
    shared = [(2 * len(clades) - each.robinson_foulds) / 2 for each in trees]
    most = np.sqrt(len(clades) * expected)  # of a count that is at most so large, with this mean
    assert abs(np.mean(shared) - expected) < 4.5 * most / np.sqrt(SHUFFLES)


def clades_of(heights):
    """Return the groups that a tree joins, less the single terms and all, by the definition."""
    found = set()
    for height in np.unique(heights):
        for row in heights <= height:
            found.add(frozenset(np.flatnonzero(row).tolist()))
    return {one for one in found if 1 < len(one) < len(heights)}


def test_p_of_shuffled_terms_is_small_no_oftener_than_the_level_says(women, shuffled):
    most = binom.ppf(1 - ALMOST_SURE, SHUFFLES, 0.05)
    small = {"distances": 0, "maps": 0, "order": 0, "classes": 0}
    for seed, (order, other) in enumerate(shuffled):
        rng = np.random.default_rng(seed)
        drawn = compare_drawings(women, other, 99, streams(seed))
        distant = compare_distances(women.distances, other.distances, 99, streams(seed))
        turned = [women.order[i] for i in order]
        circle = circular_agreement(*order_angles(women.order, turned), rng, 99)
        chance = against_chance(women.classes, other.classes, rng, 99)
        small["distances"] += distant.pearson.p_value <= 0.05
        small["maps"] += drawn.maps.p_value <= 0.05
        small["order"] += circle.p_value <= 0.05
        small["classes"] += chance.p_value <= 0.05
    assert all(number <= most for number in small.values()), small
