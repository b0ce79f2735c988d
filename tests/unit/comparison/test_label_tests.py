"""Tests that shuffle people, against scikit-bio and explicit residuals."""

import numpy as np
import pytest
from felloe.comparison.exchanging import label_tests
from felloe.comparison.exchanging.matching import granularity_measures, matched_contrasts
from felloe.ground.people.pairs import mirkin_distances, pair_shares, pair_vectors
from felloe.ground.permutation import permutation_p
from felloe.ground.squares import doubly_centred
from scipy.stats import f as f_distribution
from scipy.stats import f_oneway

PERMUTATIONS = 4999


def cohorts(reference):
    """Return the 33 sorts of 20 patterns and who belongs to cohort A (11) rather than B (22)."""
    rows = reference.rows("data/wallpaper_P31M_sorts_long.csv")
    people = sorted({row["participant"] for row in rows})
    items = sorted({row["item"] for row in rows})
    piles = np.full((len(people), len(items)), -1)
    for row in rows:
        piles[people.index(row["participant"]), items.index(row["item"])] = int(row["pile"])
    cohort = {row["participant"]: row["cohort"] for row in rows}
    return piles, np.array([cohort[person] == "A" for person in people])


def orders(n, seed=1):
    return label_tests.shuffled_people(np.random.default_rng(seed), n, PERMUTATIONS)


def general_library(piles, first, name, **options):
    """Return statistic and p of scikit-bio's test on the root of the disagreements."""
    from skbio.stats import distance

    squared = mirkin_distances(pair_vectors(piles))
    matrix = distance.DistanceMatrix(np.sqrt(squared))
    result = getattr(distance, name)(
        matrix, np.where(first, "a", "b"), permutations=PERMUTATIONS, seed=3, **options
    )
    return result["test statistic"], result["p-value"]


def two_standard_errors(p):
    return 4 * np.sqrt(2 * p * (1 - p) / PERMUTATIONS) + 2 / PERMUTATIONS


def test_pseudo_f_and_p_of_two_cohorts_are_scikit_bios(reference):
    piles, first = cohorts(reference)
    gram = doubly_centred(mirkin_distances(pair_vectors(piles)))
    found = label_tests.permanova(gram, first, orders(len(first)))
    statistic, p_value = general_library(piles, first, "permanova")
    assert found.pseudo_f == pytest.approx(statistic, rel=1e-9)
    assert abs(found.p_value - p_value) <= two_standard_errors(p_value)


@pytest.mark.parametrize("seed", range(3))
def test_pseudo_f_of_random_sorts_is_scikit_bios(seed):
    piles = np.random.default_rng(seed).integers(5, size=(17, 14))
    first = np.arange(17) < 6
    gram = doubly_centred(mirkin_distances(pair_vectors(piles)))
    found = label_tests.permanova(gram, first, orders(17)[:99])
    assert found.pseudo_f == pytest.approx(general_library(piles, first, "permanova")[0], rel=1e-9)


def test_dispersion_f_of_two_cohorts_is_scikit_bios_but_for_the_correction(reference):
    piles, first = cohorts(reference)
    apart = mirkin_distances(pair_vectors(piles))
    # scikit-bio has no correction for few people: it is taken back before the two are compared
    distances = np.empty(len(first))
    for group in (first, ~first):
        members = np.flatnonzero(group)
        shrunk = np.sqrt((len(members) - 1) / len(members))
        distances[members] = label_tests.distances_to_centroid(apart, members) * shrunk
    # and keeps 10 dimensions unless told otherwise, which gives another F
    statistic, _ = general_library(
        piles, first, "permdisp", test="centroid", dimensions=len(first) - 1
    )
    assert label_tests.variance_ratio(distances[None], first)[0] == pytest.approx(
        statistic, rel=1e-6
    )
    # p permutes residuals, as R's vegan does, where scikit-bio permutes people; the F distribution
    # is what both come near
    found = label_tests.permdisp(apart, first, orders(len(first)))
    assert abs(found.p_value - f_distribution.sf(found.f, 1, len(first) - 2)) < 0.03


@pytest.mark.parametrize("seed", range(3))
def test_sum_of_squares_among_is_the_weighted_squared_difference_of_the_two_matrices(seed):
    rng = np.random.default_rng(seed)
    piles, first = rng.integers(5, size=(19, 12)), np.arange(19) < 7
    vectors = pair_vectors(piles)
    difference = vectors.together[first].mean(axis=0) - vectors.together[~first].mean(axis=0)
    gram = doubly_centred(mirkin_distances(vectors))
    found = label_tests.permanova(gram, first, orders(19)[:99]).sum_among
    assert found == pytest.approx(7 * 12 / 19 * (difference**2).sum(), abs=1e-8)


def test_adjusted_test_equals_explicit_residuals_on_granularity():
    rng = np.random.default_rng(5)
    piles, first = rng.integers(rng.integers(2, 9, size=(24, 1)), size=(24, 15)), np.arange(24) < 11
    vectors = pair_vectors(piles)
    shares = pair_shares(vectors)
    cubic = label_tests.granularity_columns(granularity_measures(piles))
    residual = vectors.together - cubic @ np.linalg.lstsq(cubic, vectors.together, rcond=None)[0]
    contrast = first - cubic @ np.linalg.lstsq(cubic, first.astype(float), rcond=None)[0]
    bins = label_tests.granularity_bins(shares, 6)
    within = label_tests.shuffled_within(np.random.default_rng(1), bins, 499)
    gram = doubly_centred(mirkin_distances(vectors))
    found = label_tests.adjusted_label_test(gram, first, cubic, within)

    def along(direction):
        return ((direction @ residual) ** 2).sum() / (direction @ direction)

    assert found.sum_among == pytest.approx(along(contrast), abs=1e-7)
    at_least = 0
    for order in within:
        permuted = contrast[order]
        permuted = permuted - cubic @ np.linalg.lstsq(cubic, permuted, rcond=None)[0]
        at_least += along(permuted) >= along(contrast) - 1e-9
    assert found.p_value == (at_least + 1) / 500


def test_one_way_f_of_dispersions_is_scipys():
    values, first = np.random.default_rng(2).normal(size=20), np.arange(20) < 8
    expected = f_oneway(values[first], values[~first]).statistic
    assert label_tests.variance_ratio(values[None, :], first)[0] == pytest.approx(
        expected, rel=1e-9
    )


def test_distances_to_the_centroid_are_those_in_pair_space():
    vectors = pair_vectors(np.random.default_rng(3).integers(4, size=(8, 10)))
    expected = np.linalg.norm(vectors.together - vectors.together.mean(axis=0), axis=1)
    expected *= np.sqrt(8 / 7)  # a centroid lies nearer to its own people
    squared = mirkin_distances(vectors)
    assert label_tests.distances_to_centroid(squared, np.arange(8)) == pytest.approx(
        expected, abs=1e-9
    )


def test_exchanging_the_populations_changes_no_statistic():
    piles, first = np.random.default_rng(4).integers(5, size=(20, 12)), np.arange(20) < 9
    vectors = pair_vectors(piles)
    squared = mirkin_distances(vectors)
    columns = label_tests.granularity_columns(granularity_measures(piles))
    gram, shuffled = doubly_centred(squared), orders(20)[:199]
    for one, other in (
        (
            label_tests.permanova(gram, first, shuffled),
            label_tests.permanova(gram, ~first, shuffled),
        ),
        (
            label_tests.adjusted_label_test(gram, first, columns, shuffled),
            label_tests.adjusted_label_test(gram, ~first, columns, shuffled),
        ),
    ):
        assert one == other
    one, other = (label_tests.permdisp(squared, group, shuffled) for group in (first, ~first))
    assert (one.f, one.p_value) == (other.f, other.p_value)


def test_people_change_places_within_their_bins_only():
    bins = np.array([0, 1, 0, 2, 1, 2, 0, 1])
    shuffled = label_tests.shuffled_within(np.random.default_rng(1), bins, 50)
    assert (bins[shuffled] == bins).all()
    assert (np.sort(shuffled, axis=1) == np.arange(8)).all()


def test_bins_of_granularity_hold_equally_many_people_in_order():
    shares = np.random.default_rng(2).random(24)
    bins = label_tests.granularity_bins(shares, 6)
    assert np.bincount(bins).tolist() == [4] * 6
    assert (np.diff(bins[np.argsort(shares)]) >= 0).all()


def test_people_of_equal_granularity_share_a_bin_in_whatever_order_they_come():
    values = np.array([0.2, 0.2, 0.5, 0.2, 0.9, 0.5, 0.2, 0.9])
    bins = label_tests.granularity_bins(values, 4)
    assert [len(set(bins[values == one].tolist())) for one in (0.2, 0.5, 0.9)] == [1, 1, 1]
    order = np.random.default_rng(1).permutation(8)
    assert label_tests.granularity_bins(values[order], 4).tolist() == bins[order].tolist()


@pytest.mark.parametrize("seed", range(3))
def test_matched_test_compares_weighted_differences_within_sets(seed):
    rng = np.random.default_rng(seed)
    piles, first = rng.integers(4, size=(16, 9)), np.arange(16) % 2 == 0
    vectors, sets = pair_vectors(piles), np.repeat([0, 1, 2, 3], 4)
    contrast, permuted = matched_contrasts(first, sets, rng, 99)

    def length(members):
        total = np.zeros(vectors.together.shape[1])
        for one in range(4):
            a, b = (vectors.together[(sets == one) & who] for who in (members, ~members))
            total += len(a) * len(b) / (len(a) + len(b)) * (a.mean(axis=0) - b.mean(axis=0))
        return (total**2).sum()

    observed, shuffled = length(first), [length(row > 0) for row in permuted]
    at_least = sum(one >= observed - 1e-9 for one in shuffled)
    found = label_tests.matched_label_test(
        doubly_centred(mirkin_distances(vectors)), contrast, permuted
    )
    assert found == (at_least + 1) / 100


def test_p_is_never_zero_and_ties_count():
    assert permutation_p(5.0, np.zeros(99)) == 1 / 100
    assert permutation_p(1.0, np.ones(99)) == 1.0


def test_populations_that_granularity_tells_apart_altogether_cannot_be_tested():
    piles = np.array([[0, 0, 0, 1]] * 4 + [[0, 1, 2, 3]] * 4)
    vectors = pair_vectors(piles)
    first = np.arange(8) < 4
    gram = doubly_centred(mirkin_distances(vectors))
    columns = label_tests.granularity_columns(granularity_measures(piles))
    found = label_tests.adjusted_label_test(gram, first, columns, orders(8)[:99])
    assert found.p_value == 1.0


def test_equal_people_show_no_difference():
    gram = doubly_centred(mirkin_distances(pair_vectors(np.zeros((6, 5), dtype=int))))
    assert label_tests.permanova(gram, np.arange(6) < 3, orders(6)[:99]).p_value == 1.0


def test_permuted_contrasts_are_orthogonal_to_the_cubic_and_keep_their_length():
    rng = np.random.default_rng(6)
    shares, first = rng.random(30), np.arange(30) < 13
    projection, rank = label_tests.granularity_residuals(np.vander(shares, 4))
    direction = projection @ first
    within = label_tests.shuffled_within(rng, label_tests.granularity_bins(shares, 6), 50)
    found = label_tests.orthogonal_contrasts(projection, direction, within)
    cubic = np.vander(shares, 4)
    assert rank == 4
    assert found @ cubic == pytest.approx(np.zeros((50, 4)), abs=1e-9)
    assert (found**2).sum(axis=1) == pytest.approx(np.full(50, direction @ direction), rel=1e-9)
