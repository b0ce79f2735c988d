"""Counts of choices of people, against a loop over the people chosen."""

import numpy as np
import pytest
from felloe.ground.people import counted_pairs, halves
from felloe.ground.people.counted_pairs import CountedPairs
from felloe.ground.people.counts import count_cooccurrence
from felloe.ground.people.halves import correlate_rows, correlated_samples, similarities
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.people.sorts import UNPLACED

N_TERMS = 9
UPPER = np.triu_indices(N_TERMS, 1)


def some_piles(seed, share_placed, n_people=31):
    """Return piles, among them one pile, singles, one term and nothing placed."""
    rng = np.random.default_rng(seed)
    piles = rng.integers(3, size=(n_people, N_TERMS))
    piles[rng.random(piles.shape) > share_placed] = UNPLACED
    if n_people > 4:
        piles[0], piles[1], piles[2] = 1, np.arange(N_TERMS), UNPLACED
        piles[3], piles[3, 5] = UNPLACED, 2
    return piles


def choices(seed, n_people, n_choices=7):
    """Return choices of people, among them everybody and nobody."""
    chosen = np.random.default_rng(seed).random((n_choices, n_people)) < 0.5
    chosen[0], chosen[1] = True, False
    return chosen


@pytest.mark.parametrize("share", [0.0, 0.2, 0.49, 0.51, 0.9, 1.0])
@pytest.mark.parametrize("n_people", [1, 31])
@pytest.mark.parametrize(("at_once", "kept"), [(2**23, 2**26), (72, 2**26), (72, 0)])
def test_counts_are_those_of_each_choice_alone(share, n_people, at_once, kept, monkeypatch):
    monkeypatch.setattr(counted_pairs, "AT_ONCE", at_once)
    monkeypatch.setattr(counted_pairs, "MOST_HELD", kept)
    piles, chosen = some_piles(1, share, n_people), choices(2, n_people)
    found = CountedPairs(piles).counted(chosen)
    for row, members in enumerate(chosen):
        for counted, expected in zip(found, count_cooccurrence(piles[members]), strict=True):
            assert np.array_equal(counted[row], expected[UPPER])
    for counted, dense in zip(found, pair_vectors(piles).counted(chosen), strict=True):
        assert np.array_equal(counted, dense)
        assert counted.flags.c_contiguous


@pytest.mark.parametrize("pile", [UNPLACED, 4])
def test_nothing_placed_and_one_pile_are_counted(pile):
    chosen = np.array([[True, True, False], [False, False, False]])
    together, both = CountedPairs(np.full((3, N_TERMS), pile)).counted(chosen)
    assert (together == both).all()
    assert set(both[0]) == {0.0 if pile == UNPLACED else 2.0}
    assert not both[1].any()


@pytest.mark.parametrize("share", [0.3, 0.9, 1.0])
@pytest.mark.parametrize("prior", [None, 1.0])
@pytest.mark.parametrize("cells", [1, 100, 2**23])
def test_samples_correlate_to_the_last_bit_as_whole_matrices_do(share, prior, cells, monkeypatch):
    piles, rng = some_piles(3, share), np.random.default_rng(4)
    first = rng.permuted(np.tile(np.arange(31) < 15, (11, 1)), axis=1)
    apart = first & (rng.random(first.shape) < 0.9)  # some people in neither sample
    vectors = pair_vectors(piles, prior)
    expected = [
        correlate_rows(similarities(vectors, one), similarities(vectors, ~first))
        for one in (first, apart)
    ]
    monkeypatch.setattr(halves, "MOST_CELLS", cells)
    for one, values in zip((first, apart), expected, strict=True):
        for counted in (vectors, CountedPairs(piles, prior)):
            found = correlated_samples(counted, one, ~first)
            assert np.array_equal(found, values, equal_nan=True)


def test_memory_bounds_the_choices_at_once_and_never_to_none():
    assert halves.at_once(1) == halves.CHUNK
    assert halves.at_once(499_500) * 499_500 <= halves.MOST_CELLS
    assert halves.at_once(10**9) == 1
