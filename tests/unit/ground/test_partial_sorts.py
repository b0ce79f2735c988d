"""Sorts of people who were shown some terms each: what is counted, and what is made of it."""

from itertools import combinations

import numpy as np
import pytest
from felloe.clustering.choice import chance_line
from felloe.clustering.replicates.draw_distances import DrawDistances
from felloe.clustering.replicates.redraws import (
    draw,
    make_basis,
    permute_terms,
    permuted_basis,
    redrawn_distances,
)
from felloe.comparison.exchanging.shape import mean_agreement
from felloe.ground.people.counts import Counts, count_cooccurrence, counts_of, similarity
from felloe.ground.people.halves import correlate_rows, correlated_samples, similarities
from felloe.ground.people.pairs import (
    mirkin_distances,
    one_culture,
    pair_vectors,
    person_covariances,
)
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.randomness import Streams
from felloe.ground.squares import condensed, squared
from felloe.ground.terms import Terms
from felloe.matrices.distances import chart_dissimilarity, sorts_distances
from felloe.matrices.observers import observers_record, unseen_rows
from felloe.sensitivity.weighting import WEIGHTINGS, weighted_distances
from partial_example import (
    as_shown,
    balanced_shown,
    example,
    lumpers_and_splitters,
    term_ids,
)

# four people, five terms; nobody placed a and e both
PILES = np.array(
    [
        [1, 1, 2, UNPLACED, UNPLACED],
        [1, 2, UNPLACED, 2, UNPLACED],
        [UNPLACED, 3, 3, UNPLACED, 1],
        [UNPLACED, UNPLACED, 1, 1, 1],
    ]
)


def by_definition(piles, prior):
    """Return 1 - (together + a m) / (both + a), pair by pair; m where nobody placed both."""
    n = piles.shape[1]
    together, both = np.zeros((n, n)), np.zeros((n, n))
    for row in piles.tolist():
        for i, j in combinations(range(n), 2):
            if row[i] != UNPLACED and row[j] != UNPLACED:
                both[i, j] += 1
                together[i, j] += row[i] == row[j]
    mean = together.sum() / both.sum()
    apart = np.zeros((n, n))
    for i, j in combinations(range(n), 2):
        observers = both[i, j] + prior
        share = (together[i, j] + prior * mean) / observers if observers else mean
        apart[i, j] = apart[j, i] = 1 - share
    return apart


def sorts_of(piles, prior, names=None):
    """Return sorts of people of one population, or of those named."""
    people = tuple(f"p{at:03d}" for at in range(len(piles)))
    return Sorts(
        people, tuple(names or ["all"] * len(piles)), Terms(term_ids(piles.shape[1])), piles, prior
    )


@pytest.mark.parametrize("prior", [0.0, 0.5, 1.0, 3.0])
def test_distances_are_drawn_to_the_mean_as_defined(prior):
    found = sorts_distances(sorts_of(PILES, prior), "pooled", "plain").D
    assert found == pytest.approx(by_definition(PILES, prior), abs=1e-12)


def test_a_hand_counted_pair():
    # 12 pairs were placed, three by each person; ab, bd, bc, cd, ce and de together
    together, both = count_cooccurrence(PILES)
    similar = similarity(together, both, 1.0)
    assert similar[0, 4] == 0.5  # nobody placed a and e: the mean
    assert similar[0, 1] == (1 + 0.5) / (2 + 1)  # one of two, and one observer at the mean
    assert (np.diagonal(similar) == 1).all()


def test_a_pair_that_nobody_placed_takes_the_mean_also_without_a_prior():
    together, both = count_cooccurrence(PILES)
    assert similarity(together, both, 0.0)[0, 4] == 0.5


def test_whole_sorts_are_counted_as_they_are():
    piles, _ = example()
    together, both = count_cooccurrence(piles)
    assert np.array_equal(similarity(together, both), together / both)
    assert np.array_equal(similarity(together, both, 0.0), together / both)
    whole = sorts_distances(sorts_of(piles, None), "pooled", "plain").D
    assert np.array_equal(whole, sorts_distances(sorts_of(piles, 0.0), "pooled", "plain").D)


def test_whole_sorts_with_a_pair_that_nobody_placed_are_refused():
    with pytest.raises(ValueError, match="nobody placed both 't000' and 't004'"):
        sorts_distances(sorts_of(PILES, None), "pooled", "plain")


def test_unseen_pairs_are_listed_and_observers_told():
    counts = {"all": counts_of(sorts_of(PILES, 1.0))}
    assert unseen_rows(counts) == [("all", "t000", "t004")]
    # three pairs of two people, six of one, one of nobody: mean of 1 / (n + 1) is one half
    assert observers_record(counts, 1.0)["populations"]["all"] == {
        "least": 0, "median": 1.0, "largest": 2, "effective": pytest.approx(1.0), "pairs": 10,
        "unseen_pairs": 1, "unseen_share": 0.1,
    }  # fmt: skip


def test_a_prior_stays_with_fewer_people_and_terms():
    sorts = sorts_of(PILES, 2.0).on(["t001", "t003"]).rows([0, 1])
    assert sorts.prior == counts_of(sorts).prior == counts_of(sorts).on(["t001"]).prior == 2.0
    assert Counts(Terms(["a"]), np.eye(1, dtype=int), np.eye(1, dtype=int)).prior is None


def test_shares_of_some_people_are_those_of_their_counts():
    piles, shown = example()
    piles = as_shown(piles, shown)
    chosen = np.random.default_rng(3).random((4, len(piles))) < 0.4
    found = similarities(pair_vectors(piles, 1.0), chosen)
    for row, people in zip(found, chosen, strict=True):
        assert row == pytest.approx(1 - condensed(by_definition(piles[people], 1.0)), abs=1e-12)


def test_halves_are_compared_over_every_pair():
    vectors = pair_vectors(PILES, 1.0)
    one = np.array([[True, True, False, False]])
    rows = [1 - condensed(by_definition(PILES[people], 1.0)) for people in (one[0], ~one[0])]
    expected = correlate_rows(rows[0][None], rows[1][None])
    assert correlated_samples(vectors, one, ~one) == pytest.approx(expected, abs=1e-9)


def test_people_are_compared_on_what_both_placed_and_strangers_take_the_mean():
    piles = np.array([[1, 1, 2, -1, -1], [1, 2, 2, -1, -1], [-1, -1, 1, 1, 1]])
    apart = mirkin_distances(pair_vectors(piles, 1.0))
    # the first two disagree on two of three pairs; neither shares a pair with the third
    assert apart == pytest.approx(10 * 2 / 3 * (1 - np.eye(3)))
    with pytest.raises(ValueError, match="no pair of terms in common"):
        mirkin_distances(pair_vectors(piles))


def test_people_without_anything_in_common_do_not_stop_a_comparison():
    piles = np.array([[1, 2, -1, -1], [-1, -1, 1, 1]])
    vectors = pair_vectors(piles, 1.0)
    assert not mirkin_distances(vectors).any()
    found = person_covariances(vectors)
    assert np.array_equal(np.isnan(found), ~np.eye(2, dtype=bool))
    assert np.isfinite(one_culture(found).first_loadings).all()
    assert mean_agreement(vectors) == 0.0


def test_covariances_of_whole_sorts_are_the_same_by_either_road():
    piles, _ = example()
    whole = person_covariances(pair_vectors(piles))
    assert person_covariances(pair_vectors(piles, 1.0)) == pytest.approx(whole, abs=1e-12)


def test_dealing_piles_keeps_who_saw_what_and_the_sizes():
    piles, shown = example()
    dealt = permute_terms(as_shown(piles, shown), np.random.default_rng(0), partial=True)
    assert np.array_equal(dealt != UNPLACED, shown)
    for before, after in zip(as_shown(piles, shown), dealt, strict=True):
        assert np.array_equal(np.sort(before), np.sort(after))
    assert not np.array_equal(dealt, as_shown(piles, shown))


@pytest.mark.parametrize("prior", [0.0, 1.0])
def test_the_chance_line_is_the_mean_of_those_who_placed_both(prior):
    """E(S_ij) = (sum over them of p_g + a m) / (both_ij + a); m does not change by dealing."""
    rng = np.random.default_rng(5)
    shown = np.vstack([balanced_shown(rng, 5, 7, 3), balanced_shown(rng, 4, 7, 5)])
    piles = as_shown(rng.integers(1, 4, shown.shape), shown)
    vectors = pair_vectors(piles)
    p = vectors.together.sum(axis=1) / vectors.placed.sum(axis=1)
    mean = vectors.together.sum() / vectors.placed.sum()
    both = vectors.placed.sum(axis=0)
    expected = np.where(
        both + prior > 0, (p @ vectors.placed + prior * mean) / np.maximum(both + prior, 1e-9), mean
    )
    basis = make_basis(piles, ["all"] * 9, prior=prior)
    runs = 4000
    drawn = np.array([1 - permuted_basis(basis, rng).observed for _ in range(runs)])
    error = drawn.std(axis=0) / np.sqrt(runs) + 1e-9
    assert (np.abs(drawn.mean(axis=0) - expected) < 5 * error).all()


@pytest.mark.parametrize("prior", [0.0, 1.0])
def test_the_line_of_sets_dealt_over_the_whole_lexicon_is_near_its_truth(prior):
    """Not that of sets dealt by theme: there the mean of S is no mean over dealings."""
    rng = np.random.default_rng(8)
    piles, classes, _ = lumpers_and_splitters(rng, 60, 40, 5, 2, 0.3)
    evenly = np.vstack([balanced_shown(rng, 30, 40, number) for number in (14, 26)])
    by_theme = (classes == rng.integers(5, size=(60, 1))) | (rng.random((60, 40)) < 0.2)

    def line_and_truth(shown):
        basis = make_basis(as_shown(piles, shown), ["all"] * 60, prior=prior)
        dealt = [permuted_basis(basis, rng).observed.mean() for _ in range(100)]
        return chance_line(basis.observed, "average"), np.mean(dealt)

    line, truth = line_and_truth(evenly)
    assert line == pytest.approx(truth, abs=0.005)
    line, truth = line_and_truth(by_theme)
    assert abs(line - truth) > 0.03


def test_people_who_were_shown_different_numbers_are_compared_as_defined():
    """Every two people, pair of terms by pair of terms."""
    rng = np.random.default_rng(9)
    shown = np.vstack([balanced_shown(rng, 4, 12, 5), balanced_shown(rng, 4, 12, 9)])
    piles = as_shown(rng.integers(1, 4, shown.shape), shown)
    vectors = pair_vectors(piles, 1.0)
    apart, covariances = mirkin_distances(vectors), person_covariances(vectors)
    for g, h in combinations(range(8), 2):
        told = [
            [row[i] == row[j] if min(row[i], row[j]) != UNPLACED else None for row in piles]
            for i, j in combinations(range(12), 2)
        ]
        shares = [np.mean([pair[one] for pair in told if pair[one] is not None]) for one in (g, h)]
        common = [(pair[g], pair[h]) for pair in told if None not in (pair[g], pair[h])]
        if not common:
            continue
        differ = np.mean([one != other for one, other in common])
        product = np.mean([(one - shares[0]) * (other - shares[1]) for one, other in common])
        assert apart[g, h] == pytest.approx(66 * differ)
        assert covariances[g, h] == pytest.approx(product)


@pytest.mark.parametrize("weights", ["plain", "equal"])
@pytest.mark.parametrize("prior", [0.0, 1.0])
def test_redraws_are_measured_as_the_people_drawn_would_be(weights, prior):
    piles, shown = example(n_people=8, n_shown=12)
    piles = as_shown(piles, shown)
    names = np.array(["makers"] * 8 + ["panel"] * 8)
    basis = make_basis(piles, names, weights=weights, prior=prior)
    streams = Streams(1, "partial")
    for number, row in enumerate(redrawn_distances(basis, streams, 6)):
        people = np.repeat(np.arange(16), draw(basis, streams, number)[0])
        expected = chart_dissimilarity(
            piles[people], names[people].tolist(), "pooled", weights, prior
        )
        assert row == pytest.approx(condensed(expected), abs=2e-12)
        assert (count_cooccurrence(piles[people])[1] == 0).any()  # pairs that nobody drawn placed


@pytest.mark.parametrize("weights", ["plain", "equal"])
@pytest.mark.parametrize("prior", [0.0, 1.0])
def test_dealt_anew_they_are_measured_as_sorts_of_their_own(weights, prior):
    piles, shown = example(n_people=8, n_shown=12)
    piles, names = as_shown(piles, shown), np.array(["makers"] * 8 + ["panel"] * 8)
    basis = make_basis(piles, names, weights=weights, prior=prior)
    dealt = permuted_basis(basis, np.random.default_rng(4))
    anew = make_basis(dealt.piles, names, weights=weights, prior=prior)
    assert np.array_equal(dealt.observed, anew.observed)
    whole = DrawDistances(basis, len(piles))
    counts = np.array([draw(dealt, Streams(2, "partial"), one)[0] for one in range(5)])
    # who placed which pair is taken over from the sorts that were dealt
    taken_over = DrawDistances(dealt, len(piles), whole)
    assert taken_over.partial[0].placed is whole.partial[0].placed
    assert np.array_equal(taken_over(counts), DrawDistances(anew, len(piles))(counts))


@pytest.mark.parametrize("prior", [0.0, 1.0])
def test_many_people_are_counted_as_few(prior):
    # beyond 2**16 - 1 people drawn, counts no longer fit the short numbers
    piles, shown = example(n_people=8, n_shown=12)
    basis = make_basis(as_shown(piles, shown), ["all"] * 16, prior=prior)
    counts = np.random.default_rng(6).integers(4, size=(3, 16))
    short, long = (DrawDistances(basis, most)(counts) for most in (100, 2**16))
    assert np.array_equal(short, long)
    assert np.isfinite(short).all()


def test_the_chart_of_one_population_is_its_own_people_s():
    piles, shown = example()
    piles, names = as_shown(piles, shown), ["makers"] * 30 + ["panel"] * 30
    basis = make_basis(piles, names, source="panel", prior=1.0)
    assert squared(basis.observed, 40) == pytest.approx(by_definition(piles[30:], 1.0), abs=1e-12)


@pytest.mark.parametrize("weighting", WEIGHTINGS)
def test_every_weighting_knows_pairs_that_nobody_placed(weighting):
    found = weighted_distances(sorts_of(PILES, 1.0, ["x", "x", "y", "y"]), weighting).D
    assert np.isfinite(found).all()
    assert found.max() <= 1
