"""The invented sorts of the demo: careless and incomplete people, planted groups found again.

The adjusted Rand index is computed from its definition (Hubert & Arabie 1985), the tree by SciPy;
neither uses the project's own numerics.
"""

from collections import Counter
from math import comb

import numpy as np
import pytest
from demo_tables import STUDIES, planted_classes, read, terms_of


def piles_by_participant(study):
    sorts = {}
    for row in read(f"{study}/sorts.csv"):
        sorts.setdefault(row["participant"], {})[row["term"]] = row["pile"]
    return sorts


def partition(piles):
    """The set of piles, each a set of terms, without pile numbers."""
    members = {}
    for term, pile in piles.items():
        members.setdefault(pile, set()).add(term)
    return frozenset(frozenset(group) for group in members.values())


def minutes_of(study):
    """How long each participant took."""
    return {row["participant"]: int(row["minutes"]) for row in read(f"{study}/participants.csv")}


def careful(study):
    """The sorts of those who took their time, each partition once."""
    minutes = minutes_of(study)
    sorts = {}
    for participant, piles in sorted(piles_by_participant(study).items()):
        if minutes[participant] >= 15:
            sorts.setdefault(partition(piles), piles)
    return list(sorts.values())


def share_together(study):
    """Terms in sorted order, and the share of careful participants who put two together."""
    terms = sorted(terms_of(study))
    together = np.zeros((len(terms), len(terms)))
    both = np.zeros_like(together)
    for piles in careful(study):
        row = np.array([int(piles[term] or 0) for term in terms])
        placed = np.outer(row > 0, row > 0)
        together += placed & (row[:, None] == row)
        both += placed
    return terms, together / both


def adjusted_rand_index(first, second):
    """Hubert & Arabie (1985), equation 5, from the counts of pairs."""
    pairs = sum(comb(n, 2) for n in Counter(zip(first, second, strict=True)).values())
    in_first = sum(comb(n, 2) for n in Counter(first).values())
    in_second = sum(comb(n, 2) for n in Counter(second).values())
    expected = in_first * in_second / comb(len(first), 2)
    return (pairs - expected) / ((in_first + in_second) / 2 - expected)


def test_the_careless_of_2026_are_one_pile_all_apart_and_in_order():
    minutes = minutes_of("brine-2026")
    quick = {participant for participant, spent in minutes.items() if spent < 15}
    sorts = piles_by_participant("brine-2026")
    assert sorted(len(set(sorts[participant].values())) for participant in quick) == [1, 12, 96]
    shown = {participant: [] for participant in quick}
    for row in sorted(read("brine-2026/sorts.csv"), key=lambda row: int(row["position"])):
        if row["participant"] in quick:
            shown[row["participant"]].append(int(row["pile"]))
    assert all(piles == sorted(piles) for piles in shown.values())


def test_two_sorts_of_2026_are_incomplete_and_one_was_received_twice():
    sorts = piles_by_participant("brine-2026")
    unplaced = [sum(not pile for pile in piles.values()) for piles in sorts.values()]
    assert sorted(share for share in unplaced if share) == [6, 11]
    twice = [n for n in Counter(partition(piles) for piles in sorts.values()).values() if n > 1]
    assert twice == [2]


def test_some_lump_and_some_split():
    counts = [len(set(piles.values()) - {""}) for piles in careful("brine-2026")]
    assert sum(count <= 9 for count in counts) >= 8
    assert sum(15 <= count <= 31 for count in counts) >= 20
    assert min(counts) >= 5


@pytest.mark.parametrize("study", STUDIES)
def test_average_linkage_finds_most_of_the_planted_classes_again(study):
    from scipy.cluster.hierarchy import average, fcluster
    from scipy.spatial.distance import squareform

    terms, together = share_together(study)
    planted = planted_classes(study)
    placed = [i for i, term in enumerate(terms) if planted[term]]
    classes = [planted[terms[i]] for i in placed]
    # the terms planted nowhere stand alone, so that many more groups are cut
    n_groups = len(set(classes)) + len(terms) - len(placed)
    tree = average(squareform(1 - together, checks=False))
    found = fcluster(tree, n_groups, "maxclust")
    index = adjusted_rand_index(classes, list(found[placed]))
    assert 0.85 < index < 0.99


@pytest.mark.parametrize("study", STUDIES)
def test_neighbours_on_the_ring_of_classes_are_joined_more_often(study):
    terms, together = share_together(study)
    planted = planted_classes(study)
    year = study.removeprefix("brine-")
    rows = [row["class"] for row in read("sources/groups.csv") if row["edition"] == year]
    ring = list(dict.fromkeys(rows))
    near, far = [], []
    for i, first in enumerate(ring):
        for j in range(i):
            here = [planted[term] == first for term in terms]
            there = [planted[term] == ring[j] for term in terms]
            share = together[np.ix_(here, there)].mean()
            (near if (i - j) % len(ring) in (1, len(ring) - 1) else far).append(share)
    assert np.mean(near) > 1.5 * np.mean(far)
