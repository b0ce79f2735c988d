"""What is counted another way for many people or terms, against slow loops over each of them."""

from fractions import Fraction
from itertools import combinations
from math import comb

import numpy as np
import pytest
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.counts import count_cooccurrence, mean_share
from felloe.ground.people.sorts import UNPLACED
from felloe.validation.screened import consensus
from felloe.validation.screened.consensus import agreement_with_others, left_out_together
from felloe.validation.screened.granularity import expected_piles
from felloe.validation.screened.order_followed import chances_of_neighbours
from felloe.validation.screened.task import task_profile


def some_piles(seed, share_placed, n_people=23, n_terms=12):
    """Return piles, among them one pile, singles, one term and nothing placed."""
    rng = np.random.default_rng(seed)
    piles = rng.integers(4, size=(n_people, n_terms))
    piles[rng.random(piles.shape) > share_placed] = UNPLACED
    piles[0], piles[1], piles[2] = 1, np.arange(n_terms), UNPLACED
    piles[3], piles[3, 5] = UNPLACED, 2
    return piles


def slow_chances(sizes):
    """Lay piles one after another into all gaps, each way counted as a fraction."""
    chances, length = {0: Fraction(1)}, 0
    for size in sizes:
        new = {}
        for shared, chance in chances.items():
            for blocks in range(1, size + 1):
                for parted in range(blocks + 1):
                    ways = comb(size - 1, blocks - 1) * comb(shared, parted)
                    ways *= comb(length + 1 - shared, blocks - parted)
                    if ways:
                        left = shared + size - blocks - parted
                        part = chance * ways / comb(length + size, size)
                        new[left] = new.get(left, 0) + part
        chances, length = new, length + size
    return [float(chances.get(number, 0)) for number in range(length)]


@pytest.mark.parametrize(
    "sizes", [(1,), (6,), (1, 1, 1), (9, 2), (2, 9), (1, 7, 1), (20, 20), (12, 8, 8, 3, 1, 1)]
)
def test_chances_of_neighbours_are_those_of_a_loop_over_all_ways(sizes):
    found, expected = chances_of_neighbours(sizes), np.array(slow_chances(sizes))
    assert found == pytest.approx(expected, rel=1e-12, abs=0)
    assert np.cumsum(found[::-1]) == pytest.approx(np.cumsum(expected[::-1]), rel=1e-12, abs=0)


def test_chances_of_the_most_terms_are_known():
    found = chances_of_neighbours((500, 480, 12, 8))
    assert found.sum() == pytest.approx(1, abs=1e-12)
    pairs = sum(size * (size - 1) for size in (500, 480, 12, 8))
    assert found @ np.arange(1000) == pytest.approx(pairs / 1000, rel=1e-12)  # each of 999 pairs


@pytest.mark.parametrize("sizes", [(1,), (4,), (1, 1, 1), (5, 3, 1), (2, 2, 2)])
def test_expected_piles_are_the_mean_over_all_draws(sizes):
    labels = np.repeat(np.arange(len(sizes)), sizes)
    for number in range(1, len(labels) + 1):
        draws = [np.bincount(labels[list(one)]) for one in combinations(range(len(labels)), number)]
        counted = [
            np.mean([(held == size).sum() for held in draws]) for size in range(1, number + 1)
        ]
        assert expected_piles(np.array(sizes), number) == pytest.approx(counted, abs=1e-12)


@pytest.mark.parametrize("share", [0.4, 1.0])
def test_the_share_of_pairs_together_is_that_of_a_loop(share):
    for row in some_piles(1, share):
        placed = row[row != UNPLACED].tolist()
        pairs = [one == other for one, other in combinations(placed, 2)]
        expected = np.mean(pairs) if pairs else np.nan
        found = task_profile(row).pairs_together_share
        assert found == pytest.approx(expected, abs=1e-15, nan_ok=True)


def slow_agreement(piles, groups, partial):
    """Chart everybody outside a person's group, person by person."""
    unknown = mean_share(*count_cooccurrence(piles)) if partial else 0.0
    found = []
    for person, row in enumerate(piles):
        own = next(group for group in groups if person in group)
        others = np.delete(piles, own, axis=0)
        placed = row[row != UNPLACED]
        number = len(set(placed.tolist()))
        if number < 2 or number == len(placed):
            found.append(0.0)
            continue
        apart = np.zeros((piles.shape[1],) * 2)
        for i, j in combinations(range(piles.shape[1]), 2):
            both = [(a, b) for a, b in others[:, [i, j]].tolist() if UNPLACED not in (a, b)]
            together = sum(a == b for a, b in both)
            apart[i, j] = apart[j, i] = 1.0 - (together / len(both) if both else unknown)
        found.append(adjusted_rand(row, cut(build_tree(apart, "average"), number)))
    return found


@pytest.mark.parametrize("share", [0.3, 0.95])
@pytest.mark.parametrize("partial", [False, True])
@pytest.mark.parametrize("groups", [None, 5])
def test_agreement_is_with_everybody_outside_the_group(share, partial, groups, monkeypatch):
    piles = some_piles(2, share)
    if groups:
        monkeypatch.setattr(consensus, "ALONE_AT_MOST", len(piles) - 1)
        monkeypatch.setattr(consensus, "GROUPS", groups)
    expected = slow_agreement(piles, left_out_together(len(piles)), partial)
    assert agreement_with_others(piles, partial).tolist() == expected


def test_everybody_is_left_out_once_and_of_few_people_alone(monkeypatch):
    monkeypatch.setattr(consensus, "ALONE_AT_MOST", 40)
    for n_people, largest in ((1, 1), (40, 1), (41, 1), (250, 3)):
        groups = left_out_together(n_people)
        assert sorted(np.concatenate(groups).tolist()) == list(range(n_people))
        assert max(map(len, groups)) == largest


def test_agreement_in_groups_is_near_that_with_every_other_person(monkeypatch):
    rng = np.random.default_rng(4)
    truth = np.arange(30) % 5
    piles = np.where(rng.random((300, 30)) < 0.4, rng.integers(5, size=(300, 30)), truth)
    alone = agreement_with_others(piles)
    monkeypatch.setattr(consensus, "ALONE_AT_MOST", 100)
    in_groups = agreement_with_others(piles)
    assert np.abs(in_groups - alone).max() < 0.1
    assert np.abs(in_groups.mean() - alone.mean()) < 0.005
