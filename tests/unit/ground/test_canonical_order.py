"""The order of people follows from what they sorted."""

import numpy as np
import pytest
from felloe.ground.people.canonical_order import (
    canonical_order,
    canonical_piles,
    in_canonical_order,
)
from felloe.ground.people.sorts import UNPLACED, Sorts

TERMS = tuple("abcdefg")


def some_sorts(seed, n=12):
    rng = np.random.default_rng(seed)
    piles = rng.integers(UNPLACED, 3, size=(n, len(TERMS)))
    piles[1] = piles[0]
    names = tuple(f"p{i:02}" for i in range(n))
    return Sorts(names, tuple(rng.choice(["makers", "panel"], n).tolist()), TERMS, piles)


@pytest.mark.parametrize("seed", range(5))
def test_two_sorts_have_equal_rows_where_they_put_the_same_terms_together(seed):
    rng = np.random.default_rng(seed)
    piles = rng.integers(UNPLACED, 3, size=(40, 4))
    rows = canonical_piles(piles)
    for a, one in zip(rows, piles):
        for b, other in zip(rows, piles):
            pairs = [
                (one[i] == UNPLACED) == (other[i] == UNPLACED)
                and (one[i] == one[j]) == (other[i] == other[j])
                for i in range(4)
                for j in range(4)
            ]
            assert (a == b).all() == all(pairs)


@pytest.mark.parametrize("seed", range(5))
def test_renaming_and_reordering_people_leaves_every_row_where_it_was(seed):
    sorts, rng = some_sorts(seed), np.random.default_rng(seed + 100)
    shuffled = sorts.rows(rng.permutation(len(sorts.participants)).tolist())
    renamed = Sorts(sorts.participants, shuffled.populations, TERMS, shuffled.piles)
    one, other = in_canonical_order(sorts), in_canonical_order(renamed)
    assert one.populations == other.populations
    assert (canonical_piles(one.piles) == canonical_piles(other.piles)).all()


def test_numbers_of_piles_decide_nothing():
    sorts = some_sorts(1)
    renumbered = np.where(sorts.piles == UNPLACED, UNPLACED, 7 - sorts.piles)
    other = Sorts(sorts.participants, sorts.populations, TERMS, renumbered)
    assert in_canonical_order(sorts).participants == in_canonical_order(other).participants


@pytest.mark.parametrize("seed", range(4))
def test_people_are_ordered_as_lists_of_their_numbers_are(seed):
    rng = np.random.default_rng(seed)
    populations = rng.choice(["makers", "panel"], 60).tolist()
    piles = rng.integers(UNPLACED, 2, size=(60, 3)).astype(np.int16)
    positions = rng.integers(0, 70_000, size=(60, 2)).astype(np.int32)
    minutes = rng.choice([1.5, 20.0, np.inf], 60)
    keys = list(zip(populations, piles.tolist(), positions.tolist(), minutes.tolist(), strict=True))
    expected = sorted(range(60), key=keys.__getitem__)
    assert canonical_order(populations, piles, positions, minutes) == expected


def test_nobody_and_one_person_have_an_order():
    assert canonical_order([], np.zeros((0, 3), dtype=int)) == []
    assert canonical_order(["panel"], np.full((1, 3), UNPLACED)) == [0]
