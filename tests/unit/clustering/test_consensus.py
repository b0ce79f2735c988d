"""Consensus of many trees: R's majority tree, and properties that any consensus must have."""

import numpy as np
import pytest
from felloe.clustering.replicates import redraws as bootstrap
from felloe.clustering.replicates.consensus import (
    Homes,
    RogueRule,
    ambiguous_share,
    coclassification,
    coclassifications,
    find_homes,
    find_rogues,
    frequent_values,
    majority_clades,
)
from felloe.clustering.replicates.redraws import make_basis, redraw_trees
from felloe.clustering.replicates.replicate_trees import cuts
from felloe.ground.groups.contingency import match_table
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.randomness import Streams
from felloe.ground.squares import squared
from matching_oracle import best_pairings
from sorting_examples import planted_piles, populations_of

STREAMS = Streams(5, "consensus")


def trees_of(noise, seed=21, replicates=60):
    piles, classes = planted_piles(30, 4, 5, noise, seed=seed)
    basis = make_basis(piles, populations_of(30))
    return redraw_trees(basis, "average", STREAMS, range(replicates)), classes, basis


def test_majority_clades_of_the_given_draws_are_those_of_r(reference, monkeypatch):
    # values/kinship_majority_consensus_clades.csv, from 200 given draws of the 85 women
    piles, terms = reference.kinship_piles()
    rows = reference.rows("values/kinship_bootstrap_200_people_draws.csv")
    given = [[int(row[f"draw_{one}"]) - 1 for one in range(1, 86)] for row in rows]
    monkeypatch.setattr(
        bootstrap,
        "draw",
        lambda basis, streams, replicate, purpose, size: (
            np.bincount(given[replicate], minlength=85),
            np.arange(len(terms)),
        ),
    )
    merges = redraw_trees(make_basis(piles, ["w"] * 85), "average", STREAMS, range(200))
    groups, counts = majority_clades(merges)
    found = {
        " ".join(np.array(terms)[group]): count
        for group, count in zip(groups, counts.tolist(), strict=True)
    }
    published = reference.rows("values/kinship_majority_consensus_clades.csv")
    assert set(found) == {row["members"] for row in published}
    ranges = {
        row["members"]: [int(row[f"{end}_count_over_20_term_orders"]) for end in ("min", "max")]
        for row in reference.rows("values/kinship_bootstrap_200_clade_counts.csv")
    }
    for members, count in found.items():
        # R's range over 20 orders of the terms; another order can fall outside by a tree or two
        low, high = ranges[members]
        assert low - 2 <= count <= high + 2


@pytest.mark.parametrize("noise", [0.2, 0.5, 0.8])
def test_majority_clades_are_nested_or_disjoint(noise):
    # Margush & McMorris (1981)
    groups, counts = majority_clades(trees_of(noise)[0])
    for a in groups:
        for b in groups:
            shared = (a & b).sum()
            assert shared in (0, a.sum(), b.sum())
    assert (counts > 30).all()


def test_clades_of_equal_trees_are_all_in_the_majority():
    merges, _, _ = trees_of(0.3, replicates=1)
    groups, counts = majority_clades(np.repeat(merges, 5, axis=0))
    assert len(groups) == merges.shape[1] - 1
    assert (counts == 5).all()


@pytest.mark.parametrize("least", [3, 40, 500])
def test_frequent_values_are_found_where_first_bits_meet(least):
    rng = np.random.default_rng(1)
    # few different first 16 bits, so that several values share a bin
    values = (rng.integers(0, 3, 400) << 48 | rng.integers(0, 30, 400)).astype(np.uint64)
    names, counts = frequent_values(values.reshape(20, 20), least)
    slow = {int(one): int((values == one).sum()) for one in np.unique(values)}
    assert dict(zip(names.tolist(), counts.tolist(), strict=True)) == {
        one: often for one, often in slow.items() if often > least
    }


def test_coclassification_equals_the_slow_loop():
    labels = cuts(trees_of(0.4)[0], [5])[5]
    slow = sum((row[:, None] == row[None, :]).astype(int) for row in labels)
    assert np.array_equal(coclassification(labels), slow)


def test_ambiguity_is_none_for_equal_partitions_and_all_for_even_shares():
    clear = np.kron(np.eye(3), np.ones((4, 4)))
    assert ambiguous_share(clear) == 0.0
    assert ambiguous_share(np.full((6, 6), 0.5)) == 1.0


def test_homes_equal_the_slow_count():
    merges, _, basis = trees_of(0.5)
    classes = cut(build_tree(squared(basis.observed, 20), "average"), 4)
    labels = cuts(merges, [4])[4]
    homes = find_homes(labels, classes)
    votes = np.zeros((20, 4))
    for row in labels:
        table = np.array(
            [[((classes == a) & (row == b)).sum() for b in range(4)] for a in range(4)]
        )
        chosen = {b: int(a) for b, a in enumerate(match_table(table)) if a >= 0}
        assert chosen in best_pairings(table.tolist())
        for term in range(20):
            if row[term] in chosen:
                votes[term, chosen[row[term]]] += 1 / len(labels)
    assert homes.home_probability == pytest.approx(votes[np.arange(20), classes], abs=1e-12)
    assert homes.shares == pytest.approx(votes, abs=1e-12)
    votes[np.arange(20), classes] = 0
    assert homes.rival_probability == pytest.approx(votes.max(axis=1), abs=1e-12)
    assert (homes.home_probability + homes.rival_probability <= 1 + 1e-12).all()


def test_terms_of_a_clear_structure_are_at_home():
    merges, classes, _ = trees_of(0.0)
    homes = find_homes(cuts(merges, [4])[4], classes)
    assert (homes.home_probability == 1.0).all()
    assert (homes.rival == -1).all()


def test_rogues_are_the_least_settled_and_never_too_many():
    probability = np.array([0.9, 0.2, 0.5, 0.55, 1.0, 0.3, 0.9, 0.9, 0.9, 0.9])
    shares = np.column_stack([probability, 1 - probability])
    homes = Homes(np.zeros(10, int), probability, np.ones(10, int), 1 - probability, shares)
    assert np.flatnonzero(find_rogues(homes, RogueRule(0.6, 0.2))).tolist() == [1, 5]
    assert np.flatnonzero(find_rogues(homes, RogueRule(0.25, 0.5))).tolist() == [1]


def test_consecutive_cuts_count_the_pairs_of_each_cut():
    merges, *_ = trees_of(0.4)
    labels = cuts(merges, [2, 3, 4, 9, 10, 20])  # runs of numbers, and gaps between them
    found = {number: together.copy() for number, together in coclassifications(labels)}
    assert list(found) == [2, 3, 4, 9, 10, 20]
    for number, together in found.items():
        slow = sum(row[:, None] == row[None] for row in labels[number].astype(int))
        assert np.array_equal(together, slow)
        assert together.dtype == np.int64
