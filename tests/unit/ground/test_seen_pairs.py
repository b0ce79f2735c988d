"""The pairs that people placed, against a slow loop over people and pairs."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from felloe.ground.people import counts
from felloe.ground.people.counts import count_cooccurrence
from felloe.ground.people.seen_pairs import (
    joined_marks,
    joined_pairs,
    placed_marks,
    placed_pairs,
)
from felloe.ground.people.sorts import UNPLACED

N_TERMS, N_PEOPLE = 9, 30


def some_piles(seed, share_placed, n_people=N_PEOPLE):
    """Return piles of people who placed about a share of the terms, a few of them none or one."""
    rng = np.random.default_rng(seed)
    piles = rng.integers(3, size=(n_people, N_TERMS))
    piles[rng.random(piles.shape) > share_placed] = UNPLACED
    piles[:2] = UNPLACED
    piles[1, 4] = 2
    return piles


def slow_marks(piles):
    """Mark together and placed pair by pair, person by person."""
    together, placed = [], []
    for one, other in combinations(range(piles.shape[1]), 2):
        both = [own[one] != UNPLACED and own[other] != UNPLACED for own in piles]
        placed.append(both)
        together.append(
            [seen and own[one] == own[other] for seen, own in zip(both, piles, strict=True)]
        )
    return np.array(together), np.array(placed)


@pytest.mark.parametrize("kind", [np.uint16, np.float32])
@pytest.mark.parametrize("share", [0.2, 0.6, 1.0])
def test_marks_are_those_of_a_loop_over_people_and_pairs(share, kind):
    piles = some_piles(1, share)
    together, placed = slow_marks(piles)
    drawn = np.random.default_rng(5).integers(4, size=(N_PEOPLE, 3)).astype(kind)
    for found, expected in ((joined_marks, together), (placed_marks, placed)):
        marks = found(piles, kind)
        assert np.array_equal(marks.toarray(), expected)
        assert np.array_equal(marks @ drawn, expected.astype(int) @ drawn.astype(int))
        assert (marks @ drawn).dtype == kind


@pytest.mark.parametrize("share", [0.2, 0.6, 1.0])
def test_pairs_read_from_piles_are_those_that_a_loop_finds_joined(share):
    piles = some_piles(4, share)
    numbers, people = joined_pairs(piles)
    found = np.zeros((N_TERMS * (N_TERMS - 1) // 2, N_PEOPLE), dtype=int)
    np.add.at(found, (numbers, people), 1)
    assert np.array_equal(found, slow_marks(piles)[0])


def test_only_the_pairs_that_people_placed_are_held():
    piles = some_piles(2, 0.3)
    together, placed = slow_marks(piles)
    numbers, joined, ends = placed_pairs(piles)
    assert len(numbers) == placed.sum() < placed.size / 4
    assert joined.sum() == together.sum()
    for person, (start, end) in enumerate(pairwise(ends)):
        assert np.array_equal(numbers[start:end], np.flatnonzero(placed[:, person]))


@pytest.mark.parametrize("share", [0.3, 0.9])  # below and above counts.FEW_PLACED
@pytest.mark.parametrize("at_once", [4, 512])
def test_counts_are_those_of_a_loop_however_many_terms_people_placed(share, at_once, monkeypatch):
    monkeypatch.setattr(counts, "PEOPLE_AT_ONCE", at_once)
    piles = some_piles(3, share)
    marks = slow_marks(piles)
    shown = [(piles != UNPLACED).sum(axis=0)] * 2
    for found, expected, diagonal in zip(count_cooccurrence(piles), marks, shown, strict=True):
        assert found.dtype == np.int64
        assert np.array_equal(found[np.triu_indices(N_TERMS, 1)], expected.sum(axis=1))
        assert np.array_equal(found, found.T)
        assert np.array_equal(np.diagonal(found), diagonal)


def test_people_who_placed_nothing_count_nothing():
    together, both = count_cooccurrence(np.full((3, 4), UNPLACED))
    assert not together.any()
    assert not both.any()
    nobody = np.full((3, 4), UNPLACED)
    assert not placed_marks(nobody).nnz
    assert not joined_marks(nobody).nnz
