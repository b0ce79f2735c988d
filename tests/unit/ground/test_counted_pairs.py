"""Pairs counted of many people, against the same written out in full."""

import numpy as np
import pytest
from felloe.ground.people import counted_pairs
from felloe.ground.people.counted_pairs import CountedPairs, pairs_of
from felloe.ground.people.halves import divided_correlations, random_groups, similarities
from felloe.ground.people.pairs import (
    PairVectors,
    mirkin_distances,
    pair_vectors,
    person_covariances,
)
from felloe.ground.people.sorts import UNPLACED

KINDS = {"whole": 0.0, "a few missing": 0.04, "in parts": 0.6}


def sorts(missing, seed=0, people=23, terms=14):
    rng = np.random.default_rng(seed)
    piles = rng.integers(4, size=(people, terms))
    piles[rng.random(piles.shape) < missing] = UNPLACED
    piles[:, :3] = rng.integers(2, size=(people, 3))  # everybody shares pairs with everybody
    return piles


@pytest.fixture(params=KINDS, ids=str)
def piles(request):
    return sorts(KINDS[request.param])


@pytest.fixture(params=[(8_000_000, 60_000_000), (200, 60_000_000), (200, 0)], ids=str)
def at_once(request, monkeypatch):
    """One block, many kept, many made anew each time."""
    monkeypatch.setattr(counted_pairs, "AT_ONCE", request.param[0])
    monkeypatch.setattr(counted_pairs, "MOST_HELD", request.param[1])
    monkeypatch.setattr(counted_pairs, "COLUMNS", 3)


@pytest.mark.usefixtures("at_once")
def test_counts_are_those_of_slow_loops(piles):
    chosen = np.random.default_rng(1).random((7, len(piles))) < 0.5
    together, both = CountedPairs(piles).counted(chosen)
    n = piles.shape[1]
    for row, group in enumerate(chosen):
        pair = 0
        for i in range(n):
            for j in range(i + 1, n):
                own = piles[group]
                placed = (own[:, i] != UNPLACED) & (own[:, j] != UNPLACED)
                assert both[row, pair] == placed.sum()
                assert together[row, pair] == (placed & (own[:, i] == own[:, j])).sum()
                pair += 1
    assert together.flags.c_contiguous
    assert both.flags.c_contiguous


@pytest.mark.usefixtures("at_once")
@pytest.mark.parametrize("prior", [None, 1.0])
def test_what_is_told_of_people_is_told_by_full_tables_too(piles, prior):
    counted, full = CountedPairs(piles, prior), pair_vectors(piles, prior)
    for one, other in zip(counted.between(), full.between(), strict=True):
        assert np.array_equal(one, other)
    assert np.array_equal(mirkin_distances(counted), mirkin_distances(full))
    covariances = person_covariances(counted)
    assert covariances == pytest.approx(person_covariances(full), abs=1e-12, nan_ok=True)
    assert counted.complete == full.complete


@pytest.mark.usefixtures("at_once")
@pytest.mark.parametrize("prior", [None, 1.0])
def test_shares_and_correlations_have_the_same_bits(piles, prior):
    counted, full = CountedPairs(piles, prior), pair_vectors(piles, prior)
    groups = random_groups(np.random.default_rng(2), len(piles), 9, 12)
    for one in (groups, groups[:, ::-1]):
        assert np.array_equal(similarities(counted, one), similarities(full, one), equal_nan=True)
    assert np.array_equal(divided_correlations(counted, groups), divided_correlations(full, groups))


def test_whoever_is_outside_a_group_is_everybody_less_the_group(piles):
    full = pair_vectors(piles)
    groups = random_groups(np.random.default_rng(3), len(piles), 9, 6)
    slow = [
        np.corrcoef(full.together[a].sum(0) / full.placed[a].sum(0),
                    full.together[~a].sum(0) / full.placed[~a].sum(0))[0, 1]
        for a in groups
        if full.placed[a].any(0).all() and full.placed[~a].any(0).all()
    ]  # fmt: skip
    known = [
        r
        for r, a in zip(divided_correlations(full, groups), groups, strict=True)
        if full.placed[a].any(0).all() and full.placed[~a].any(0).all()
    ]
    assert known == pytest.approx(slow, abs=1e-8)


@pytest.mark.usefixtures("at_once")
def test_weighted_sums_are_those_of_what_people_said_less_the_usual(piles):
    full = pair_vectors(piles)
    usual = np.random.default_rng(4).random(full.n_pairs)
    said = np.where(full.placed > 0, full.together, usual)
    counted = CountedPairs(piles)
    taken_off = 0.0 if counted.are_missing else usual
    found = counted.filled_in(usual).toarray().T
    assert found == pytest.approx(said - taken_off, abs=1e-12)


def test_some_people_are_counted_as_they_stand(piles):
    who = np.array([3, 1, 8])
    one, other = (vectors.of(who).counted(np.ones((1, 3))) for vectors in
                  (CountedPairs(piles), pair_vectors(piles)))  # fmt: skip
    assert all(np.array_equal(a, b) for a, b in zip(one, other, strict=True))


def test_only_many_are_counted(monkeypatch):
    piles = sorts(0.0)
    assert isinstance(pairs_of(piles), PairVectors)
    monkeypatch.setattr(counted_pairs, "MOST_WRITTEN", 100)
    assert isinstance(pairs_of(piles), CountedPairs)
