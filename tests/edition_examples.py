"""Invented studies of one lexicon, charted, and graded as two editions."""

import numpy as np
from felloe.editions.correspondence import (
    Bounds,
    against_chance,
    believed,
    grade_migration,
    match_classes,
)
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.counts import count_cooccurrence
from sorting_examples import planted_piles

BOUNDS = Bounds(robust=0.75, possible=0.5, correspondence=0.05)


def judged(older, newer, seed=0):
    """Return every term's grade, its class being certain in both editions."""
    chance = against_chance(older, newer, np.random.default_rng(seed), 499)
    found = believed(match_classes(older, newer), chance, BOUNDS.correspondence)
    relations = [found.relation(a, b) for a, b in zip(older, newer, strict=True)]
    return [grade_migration(relation, 1.0, 1.0, BOUNDS) for relation in relations]


def charted(piles, n_classes):
    """Return the class of every term as average linkage finds it, by name."""
    together, both = count_cooccurrence(piles)
    apart = 1.0 - together / both
    np.fill_diagonal(apart, 0.0)
    return [f"c{label}" for label in cut(build_tree(apart, "average"), n_classes).tolist()]


def of_classes(seed, truth, n_people=30):
    """One study: people divide the true classes, some of them in two, and misplace a third."""
    piles, _ = planted_piles(n_people, 6, 10, 0.33, seed)
    return piles[:, np.argsort(np.argsort(truth, kind="stable"), kind="stable")]


def of_points(seed, truth, n_people=30):
    """One study: every person sees the terms at places of their own, and cuts a tree of them."""
    centres = 2.5 * np.eye(6, 8)  # no two classes nearer than others
    rng = np.random.default_rng(seed)
    piles = []
    for _ in range(n_people):
        places = centres[truth] + rng.normal(scale=0.9, size=(len(truth), 8))
        apart = np.sqrt(((places[:, None] - places[None]) ** 2).sum(axis=2))
        piles.append(cut(build_tree(apart, "average"), int(rng.integers(5, 15))))
    return np.array(piles)


TRUTH = np.repeat(np.arange(6), 10)
UNEQUAL = np.repeat(np.arange(8), [18, 12, 9, 7, 5, 4, 3, 2])


def of_habits(seed, truth, n_people=30):
    """One study: people of latent granularity keep, split or merge classes; terms are hard."""
    rng = np.random.default_rng(seed)
    hard = np.random.default_rng(7).beta(1.5, 3.0, len(truth))
    second_half = np.arange(len(truth)) % 2 == 1
    piles = []
    for _ in range(n_people):
        granularity, own = rng.random(), truth * 2
        for name in range(8):
            if rng.random() < granularity:
                own = np.where((truth == name) & second_half, own + 1, own)
        for name in range(0, 8, 2):
            if rng.random() < 0.6 * (1 - granularity):
                own = np.where(truth == name + 1, name * 2, own)
        astray = rng.random(len(truth)) < hard
        piles.append(np.where(astray, rng.choice(np.unique(own), len(truth)), own))
    return np.array(piles)
