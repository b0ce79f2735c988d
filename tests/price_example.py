"""Published charts to price moves from, and the plain way: each decision replayed in full."""

import numpy as np
from felloe.ground.distances import Distances
from felloe.ground.groups.tree import tree_of
from felloe.ground.terms import Terms
from felloe.tiers.cuts import nested_cut
from felloe.tiers.decisions import Decision, FitRule, changes, replay, replayed_chart
from felloe.tiers.prices import PriceSettings, possible_moves, priced
from felloe.tiers.publishing import prices
from reference_distances import kinship_distances

LINKAGES = ["average", "complete", "single", "weighted", "ward"]
LAST = "9999-12-31"
EVERY = PriceSettings(priced_subclasses=10**6, priced_terms=10**6)


def named(D):
    """Distances of terms whose order is not that of their numbers alone."""
    return Distances(Terms(f"t{place:03d}" for place in range(len(D))), np.round(D, 12))


def sorted_by_few(seed, terms=(5, 16)):
    """Sorts of a few people: distances are simple fractions, and tie often."""
    rng = np.random.default_rng(seed)
    n, people = int(rng.integers(*terms)), int(rng.integers(2, 9))
    piles = rng.integers(0, int(rng.integers(2, 6)), (people, n))
    return named((piles[:, :, None] != piles[:, None]).mean(axis=0))


def points(seed, terms=(5, 30)):
    """Another make: points in space, whose distances are no fractions and never tie."""
    rng = np.random.default_rng(1000 + seed)
    place = rng.random((int(rng.integers(*terms)), 3))
    return named(np.hypot.reduce(place[:, None] - place[None], axis=2) / 2)


def unlike_distances(seed, terms=(5, 20)):
    """Numbers that keep to no triangle, nearly all of them zero, one or a half."""
    rng = np.random.default_rng(2000 + seed)
    n = int(rng.integers(*terms))
    D = np.triu(rng.choice([0, 1, 0.5, rng.random()], (n, n)), 1)
    return named(D + D.T)


def all_alike(n, apart):
    """Every pair as far apart as every other: nothing but ties, and no variance."""
    return named(apart * (1.0 - np.eye(n)))


def charted(distances, method, numbers, rule=None, n_decisions=0, seed=0):
    """The data's tree and tiers, and random decisions on them."""
    tree = tree_of(distances, method)
    tiers = nested_cut(tree, *numbers)
    rng = np.random.default_rng(seed)
    moving = rng.permutation(len(distances.terms))[: 2 * n_decisions].reshape(-1, 2)
    decisions = [
        Decision(tree.terms[one], tree.terms[other], "why", f"2026-01-{day:02d}")
        for day, (one, other) in enumerate(moving, 1)
    ]
    return tree, tiers, distances, decisions, rule or FitRule("tree", method)


def kinship(source, method, numbers, **more):
    """A chart of published sorts of kinship terms."""
    return charted(named(kinship_distances(source)), method, numbers, **more)


def all_moves(example):
    """Every move from a published chart with its price, as the step makes them."""
    chart = replayed_chart(*example)
    before, decided = chart.fit(), {one.term: one.beside for one in example[3]}
    moves = possible_moves(chart, EVERY, (), decided)
    return [(move, changes(before, after)) for move, after in priced(chart, moves)]


def appended(example, move):
    """The plain way: what `tiers/decisions.csv` says of the same decision appended last."""
    tree, tiers, distances, decisions, rule = example
    further = Decision(move.term, move.beside, "why", LAST)
    last = replay(tree, tiers, distances, [*decisions, further], rule).replayed[-1]
    assert (last.decision, last.status) == (further, "applied")
    found = prices(last.fit_before, last.fit_after)
    return {name.removesuffix("_change"): found[name] for name in found if name.endswith("_change")}
