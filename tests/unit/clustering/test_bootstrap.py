"""Trees of redrawn participants against the plain loop, and R's counts of 200 given draws."""

import sys
from types import ModuleType

import numpy as np
import pytest
from felloe.clustering.replicates import redraws as bootstrap
from felloe.clustering.replicates.draw_distances import DrawDistances, PairCounter
from felloe.clustering.replicates.redraws import (
    draw,
    make_basis,
    permute_terms,
    permuted_basis,
    redraw_trees,
    tree_builder,
)
from felloe.clustering.replicates.replicate_trees import accumulate
from felloe.ground.groups.linkage import METHODS, build_tree
from felloe.ground.randomness import Streams, stratified_draw
from felloe.ground.squares import condensed
from felloe.matrices.distances import chart_dissimilarity
from sorting_examples import patchy, planted_piles, populations_of

STREAMS = Streams(7, "example")
PILES, _ = planted_piles(30, 4, 6, 0.3, seed=1)
POPULATIONS = populations_of(30)
CASES = {
    "plain": (PILES, "pooled", "plain"),
    "equal weights": (PILES, "pooled", "equal"),
    "one population": (PILES, "makers", "plain"),
    "terms not placed": (patchy(PILES, 0.05, seed=2), "pooled", "plain"),
    "terms not placed, equal weights": (patchy(PILES, 0.05, seed=2), "pooled", "equal"),
}


def slow_merges(piles, populations, source, weights, method, replicate):
    """The definition: redraw people, count, build the tree in a random order of the terms."""
    if source != "pooled":
        piles, populations = piles[populations == source], populations[populations == source]
    rng = STREAMS.generator("bootstrap", replicate)
    drawn = stratified_draw(rng, populations)
    order = rng.permutation(piles.shape[1])
    D = chart_dissimilarity(piles[drawn], populations[drawn], "pooled", weights)
    tree = build_tree(D[np.ix_(order, order)], method)
    names = np.concatenate([order, np.arange(len(order), 2 * len(order) - 1)])
    return names[tree[:, :2].astype(int)]


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("case", CASES)
def test_replicates_equal_the_plain_loop(case, method):
    piles, source, weights = CASES[case]
    basis = make_basis(piles, POPULATIONS, source, weights)
    merges = redraw_trees(basis, method, STREAMS, range(12))
    for replicate in range(12):
        slow = slow_merges(piles, POPULATIONS, source, weights, method, replicate)
        assert np.array_equal(merges[replicate], slow)


def test_a_replicate_is_the_same_whatever_others_are_drawn(monkeypatch):
    basis = make_basis(PILES, POPULATIONS)
    together = redraw_trees(basis, "average", STREAMS, range(9))
    monkeypatch.setattr(bootstrap, "BATCH", 2)
    apart = [redraw_trees(basis, "average", STREAMS, [one])[0] for one in range(9)]
    assert np.array_equal(together, apart)
    assert np.array_equal(together[3:], redraw_trees(basis, "average", STREAMS, range(3, 9)))


def test_draws_keep_the_size_of_each_population():
    basis = make_basis(PILES, POPULATIONS)
    counts, _ = draw(basis, STREAMS, 0)
    assert counts[POPULATIONS == "panel"].sum() == (POPULATIONS == "panel").sum()
    assert counts.sum() == 30


def test_a_larger_scale_draws_more_people():
    basis = make_basis(PILES, POPULATIONS)
    counts, _ = draw(basis, STREAMS, 0, size=1.4)
    assert counts.sum() == 28 + 14  # 20 makers and 10 panelists


def test_everybody_twice_leaves_the_distances_unchanged():
    twice = np.concatenate([PILES, PILES])
    basis = make_basis(PILES, POPULATIONS)
    doubled = make_basis(twice, np.tile(POPULATIONS, 2))
    assert np.array_equal(basis.observed, doubled.observed)


@pytest.mark.parametrize("n_participants", [40, 300])
def test_packed_counts_equal_plain_counts(n_participants):
    # 300 people need two bytes a pair
    rng = np.random.default_rng(3)
    marked = rng.random((n_participants, 101)) < 0.4
    counts = rng.integers(0, 4, size=(6, n_participants))
    counter = PairCounter(marked, int(counts.sum(axis=1).max()))
    assert np.array_equal(counter(counts)[:, counter.position], counts @ marked)


def test_a_pair_that_nobody_drawn_placed_keeps_the_observed_distance():
    piles = PILES.copy()
    piles[1:, 0] = -1  # only the first participant placed the first term
    basis = make_basis(piles, POPULATIONS)
    measure = DrawDistances(basis, 30)
    counts = np.zeros((1, 30), dtype=int)
    counts[0, 5] = 30
    found = measure(counts)[0, measure.position]
    i, _ = np.triu_indices(24, 1)
    assert np.array_equal(found[i == 0], basis.observed[i == 0])


@pytest.mark.parametrize("method", METHODS)
def test_the_fast_builder_gives_what_scipy_gives(method):
    from scipy.cluster.hierarchy import linkage

    values = np.round(np.random.default_rng(4).random(45) * 8) / 8
    assert np.array_equal(tree_builder(method, 10)(values.copy()), linkage(values, method))


@pytest.mark.parametrize("wrong", ["missing", "other numbers", "other arguments"])
def test_the_builder_falls_back_to_the_public_function(wrong, monkeypatch):
    from scipy.cluster.hierarchy import linkage

    private = ModuleType("scipy.cluster._hierarchy")
    if wrong == "other numbers":
        private.nn_chain = lambda distances, n_terms, code: np.zeros((n_terms - 1, 4))
    if wrong == "other arguments":
        private.nn_chain = lambda distances: None
    monkeypatch.setitem(sys.modules, "scipy.cluster._hierarchy", private)
    values = np.random.default_rng(5).random(45)
    assert np.array_equal(tree_builder("average", 10)(values.copy()), linkage(values, "average"))


def test_permuting_terms_keeps_the_sizes_of_piles():
    permuted = permute_terms(PILES, np.random.default_rng(6))
    assert np.array_equal(np.sort(permuted, axis=1), np.sort(PILES, axis=1))


def test_permuting_terms_keeps_the_mean_share():
    basis = make_basis(PILES, POPULATIONS)
    without = permuted_basis(basis, np.random.default_rng(6))
    assert without.observed.mean() == pytest.approx(basis.observed.mean(), abs=1e-9)


def test_clade_counts_of_the_given_draws_are_those_of_r(reference, monkeypatch):
    # values/kinship_bootstrap_200_*.csv: 200 draws of the 85 women; for each clade R's count of
    # trees over 20 orders of the terms, which ties let vary a little
    piles, terms = reference.kinship_piles()
    rows = reference.rows("values/kinship_bootstrap_200_people_draws.csv")
    given = [[int(row[f"draw_{one}"]) - 1 for one in range(1, 86)] for row in rows]

    def given_draw(basis, streams, replicate, purpose, size):
        order = streams.generator("order", replicate).permutation(len(terms))
        return np.bincount(given[replicate], minlength=85), order

    monkeypatch.setattr(bootstrap, "draw", given_draw)
    basis = make_basis(piles, ["women"] * 85)
    merges = redraw_trees(basis, "average", STREAMS, range(200))
    below = accumulate(merges, np.eye(15, dtype=np.uint8))[:, 15:].astype(bool)
    found = {}
    for clade in below.reshape(-1, 15):
        name = " ".join(np.array(terms)[clade])
        found[name] = found.get(name, 0) + 1
    for row in reference.rows("values/kinship_bootstrap_200_clade_counts.csv"):
        low = int(row["min_count_over_20_term_orders"])
        high = int(row["max_count_over_20_term_orders"])
        # a 21st order can fall outside the range of 20 by a tree or two
        assert low - 2 <= found.get(row["members"], 0) <= high + 2


def test_an_unknown_linkage_is_refused():
    basis = make_basis(PILES, POPULATIONS)
    with pytest.raises(ValueError, match="refused"):
        redraw_trees(basis, "centroid", STREAMS, range(2))


def test_a_basis_of_one_population_leaves_the_others_out():
    basis = make_basis(PILES, POPULATIONS, "panel")
    assert len(basis.piles) == 10
    expected = condensed(chart_dissimilarity(PILES, POPULATIONS, "panel", "plain"))
    assert np.array_equal(basis.observed, expected)
