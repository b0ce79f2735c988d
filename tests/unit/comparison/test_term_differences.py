"""Differences per term and per pair, against slow loops and published intervals."""

import numpy as np
import pytest
from felloe.comparison.exchanging import term_differences as differences
from felloe.comparison.exchanging.label_tests import shuffled_people
from felloe.ground import permutation
from felloe.ground.people.counted_pairs import CountedPairs
from felloe.ground.people.pairs import pair_vectors

N_PEOPLE, N_TERMS = 16, 9
FIRST = np.arange(N_PEOPLE) < 7


def sorts(seed, unplaced=0.0):
    rng = np.random.default_rng(seed)
    piles = rng.integers(rng.integers(2, 6, size=(N_PEOPLE, 1)), size=(N_PEOPLE, N_TERMS))
    piles[rng.random(piles.shape) < unplaced] = -1
    return piles


def share(piles, people, i, j):
    both = [g for g in people if piles[g, i] >= 0 and piles[g, j] >= 0]
    return np.mean([piles[g, i] == piles[g, j] for g in both]) if both else np.nan


def term_means(piles, first):
    """Mean absolute difference of every term over the other terms, by the definition."""
    a, b = np.flatnonzero(first), np.flatnonzero(~first)
    means = []
    for i in range(N_TERMS):
        gaps = [
            abs(share(piles, a, i, j) - share(piles, b, i, j)) for j in range(N_TERMS) if j != i
        ]
        means.append(np.mean(np.nan_to_num(gaps)))
    return np.array(means)


def orders(permutations=60):
    return shuffled_people(np.random.default_rng(1), N_PEOPLE, permutations)


@pytest.mark.parametrize("unplaced", [0.0, 0.2])
def test_difference_and_largest_of_all_terms_equal_the_definition(unplaced):
    piles, shuffled = sorts(1, unplaced), orders()
    found = differences.term_differences(pair_vectors(piles), FIRST, shuffled)
    observed = term_means(piles, FIRST)
    assert found.terms == pytest.approx(observed, abs=1e-9)
    largest = np.array([term_means(piles, FIRST[order]).max() for order in shuffled])
    expected = [(np.sum(largest >= value - 1e-9) + 1) / 61 for value in observed]
    assert found.p_terms == pytest.approx(expected, abs=1e-15)


def test_p_of_a_pair_equals_the_definition():
    piles, shuffled = sorts(2), orders()
    found = differences.term_differences(pair_vectors(piles), FIRST, shuffled)

    def gap(first, i, j):
        return share(piles, np.flatnonzero(first), i, j) - share(
            piles, np.flatnonzero(~first), i, j
        )

    for pair, (i, j) in list(enumerate(zip(*np.triu_indices(N_TERMS, 1), strict=True)))[::7]:
        assert found.pairs[pair] == pytest.approx(gap(FIRST, i, j), abs=1e-9)
        sizes = np.array([abs(gap(FIRST[order], i, j)) for order in shuffled])
        expected = (np.sum(sizes >= abs(gap(FIRST, i, j)) - 1e-9) + 1) / 61
        assert found.p_pairs[pair] == pytest.approx(expected, abs=1e-15)


def test_exchanging_the_populations_changes_no_difference_but_its_sign():
    vectors, shuffled = pair_vectors(sorts(4)), orders()
    one = differences.term_differences(vectors, FIRST, shuffled)
    other = differences.term_differences(vectors, ~FIRST, shuffled)
    assert np.array_equal(one.p_terms, other.p_terms)
    assert np.array_equal(one.pairs, -other.pairs)


@pytest.mark.parametrize("chunk", [1, 7, 1000])
def test_permutations_at_a_time_change_no_p(monkeypatch, chunk):
    vectors, shuffled = pair_vectors(sorts(5)), orders()
    plain = differences.term_differences(vectors, FIRST, shuffled)
    monkeypatch.setattr(differences, "CHUNK", chunk)
    again = differences.term_differences(vectors, FIRST, shuffled)
    assert np.array_equal(plain.p_pairs, again.p_pairs)
    assert np.array_equal(plain.p_terms, again.p_terms)


def test_a_pair_that_nobody_of_one_population_placed_is_no_difference():
    piles = sorts(6)
    piles[FIRST, 0] = -1
    found = differences.term_differences(pair_vectors(piles), FIRST, orders())
    assert found.terms[0] == 0.0


def test_a_moved_term_is_named_and_no_other():
    rng = np.random.default_rng(7)
    piles = np.tile(np.repeat([0, 1, 2], 4), (40, 1))
    slip = rng.random(piles.shape) < 0.1
    piles[slip] = rng.integers(3, size=slip.sum())
    first = np.arange(40) < 20
    piles[first, 0] = 2
    vectors = pair_vectors(piles)
    found = differences.term_differences(
        vectors, first, shuffled_people(np.random.default_rng(1), 40, 999)
    )
    assert found.p_terms[0] == 0.001
    assert found.terms.argmax() == 0


@pytest.mark.parametrize(
    ("a", "n_a", "b", "n_b", "low", "high"),
    [
        # Newcombe (1998), Table II, method 10: 56/70 and 48/80, 9/10 and 3/10 (from memory)
        (56, 70, 48, 80, 0.0524, 0.3339),
        (9, 10, 3, 10, 0.1705, 0.8090),
    ],
)
def test_published_intervals_of_a_difference_of_shares(a, n_a, b, n_b, low, high):
    found = differences.newcombe_interval(a, n_a, b, n_b)
    assert found == pytest.approx((low, high), abs=5e-5)


def test_score_interval_of_a_share_is_scipys():
    from scipy.stats import binomtest

    for count, n in ((0, 12), (3, 12), (12, 12)):
        expected = binomtest(count, n).proportion_ci(method="wilson")
        found = differences.wilson_interval(count, n, 1.959963984540054)
        assert found[1:] == pytest.approx((expected.low, expected.high), abs=1e-12)


@pytest.mark.parametrize("unplaced", [0.0, 0.2, 0.6])
def test_people_counted_and_terms_summed_without_tables_give_the_same(monkeypatch, unplaced):
    piles, shuffled = sorts(4, unplaced), orders()
    written = differences.term_differences(pair_vectors(piles), FIRST, shuffled)
    monkeypatch.setattr(differences, "MOST_INCIDENT", 0)
    monkeypatch.setattr(differences, "MOST_CELLS", 100)
    counted = differences.term_differences(CountedPairs(piles), FIRST, shuffled)
    for name in ("terms", "p_terms", "pairs", "p_pairs"):
        assert np.array_equal(getattr(written, name), getattr(counted, name))


def test_of_very_many_pairs_fewer_permutations_are_drawn(monkeypatch):
    piles = sorts(5)
    monkeypatch.setattr(permutation, "MOST_DRAWN", 25 * N_TERMS * (N_TERMS - 1) // 2)
    monkeypatch.setattr(permutation, "FEWEST_DRAWN", 19)
    few = differences.term_differences(pair_vectors(piles), FIRST, orders())
    assert few.permutations == 25
    first_ones = differences.term_differences(pair_vectors(piles), FIRST, orders()[:25])
    assert np.array_equal(few.p_pairs, first_ones.p_pairs)


@pytest.mark.parametrize(
    ("n_terms", "asked", "drawn"), [(40, 9999, 9999), (316, 9999, 9999), (1000, 9999, 1001),
                                    (1000, 199, 199), (5000, 9999, 999)],
)  # fmt: skip
def test_permutations_fall_only_where_pairs_are_many(n_terms, asked, drawn):
    assert permutation.permutations_at(n_terms * (n_terms - 1) // 2, asked) == drawn


@pytest.mark.parametrize("seed", [0, 1, 71, 155, 222, 241])  # the last four failed once
def test_a_permutation_that_changes_nothing_reaches_what_was_observed(seed):
    piles, same = sorts(seed, 0.1 * (seed % 2)), np.tile(np.arange(N_PEOPLE), (5, 1))
    found = differences.term_differences(pair_vectors(piles), FIRST, same)
    assert found.p_terms.tolist() == [1.0] * N_TERMS
    assert found.p_pairs.tolist() == [1.0] * (N_TERMS * (N_TERMS - 1) // 2)
