"""
How long the pooling dossier takes; run on one core: `python tests/benchmarks/bench_comparison.py`.

Prints seconds per part for 100 terms and 72 people, complete and with missing placements, and what
each part costs as a share of the whole.
"""

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import argparse
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "scripts"))

import numpy as np
from calibration.sorting_people import invented_sorts
from felloe.comparison.consequence import compare_splits
from felloe.comparison.correlating import association
from felloe.comparison.exchanging import label_tests
from felloe.comparison.exchanging import term_differences as differences
from felloe.comparison.exchanging.matching import (
    granularity_measures,
    match_people,
    matched_contrasts,
)
from felloe.comparison.exchanging.shape import shape_test
from felloe.comparison.pair import Settings, compare_people
from felloe.ground.people import halves
from felloe.ground.people import pairs as people_pairs
from felloe.ground.people.counts import count_cooccurrence
from felloe.ground.randomness import Streams
from felloe.ground.squares import doubly_centred
from sorting_examples import dissimilarity


def people(n_terms, n_people, unplaced):
    """Return invented sorts of two populations of equal size."""
    rng = np.random.default_rng(1)
    base = np.arange(n_terms) * 12 // n_terms
    piles = np.tile(base, (n_people, 1))
    slip = rng.random(piles.shape) < 0.35
    piles[slip] = rng.integers(12, size=slip.sum())
    piles[rng.random(piles.shape) < unplaced] = -1
    return piles, np.arange(n_people) < n_people // 2


def seconds(function, *arguments):
    """Return the shortest processor time of three runs."""
    runs = []
    for _ in range(3):
        start = time.process_time()
        function(*arguments)
        runs.append(time.process_time() - start)
    return min(runs)


def parts(piles, first, permutations, splits):
    """Return seconds of each part."""
    rng = np.random.default_rng(2)
    vectors = people_pairs.pair_vectors(piles)
    squared = people_pairs.mirkin_distances(vectors)
    gram = doubly_centred(squared)
    columns = label_tests.granularity_columns(granularity_measures(piles))
    matching = match_people(piles, first)
    matched = matched_contrasts(first, matching.sets, rng, permutations)
    orders = label_tests.shuffled_people(rng, len(first), permutations)
    bins = label_tests.granularity_bins(matching.scores, 6)
    within = label_tests.shuffled_within(rng, bins, permutations)
    groups = halves.random_groups(rng, len(first), int(first.sum()), splits)
    apart = [dissimilarity(*count_cooccurrence(piles[group])) for group in (first, ~first)]
    pooled = halves.similarities(vectors, np.ones((1, len(first))))[0]
    mantel = association.mantel
    return {
        "Mantel, Pearson": seconds(mantel, *apart, "pearson", permutations, rng),
        "Mantel, Spearman": seconds(mantel, *apart, "spearman", permutations, rng),
        "unrestricted test": seconds(label_tests.permanova, gram, first, orders),
        "adjusted test": seconds(label_tests.adjusted_label_test, gram, first, columns, within),
        "dispersion": seconds(label_tests.permdisp, squared, first, orders),
        "terms": seconds(differences.term_differences, vectors, first, orders),
        "matching": seconds(match_people, piles, first),
        "matched test": seconds(label_tests.matched_label_test, gram, *matched),
        "terms beyond granularity and noise, 1,999 permutations": seconds(
            shape_test, piles, first, rng, 1999, 0.05
        ),
        "random splits": seconds(compare_splits, vectors, groups, pooled, "average", (9, 25)),
    }


def whole(piles, first, permutations, splits):
    """Return seconds of the whole dossier of one pair of populations."""
    streams = Streams(1, "benchmark")
    settings = Settings(
        permutations=permutations, shape_permutations=1999, splits=splits, halves=200,
        granularity_bins=6, linkage="average", numbers=(9, 25),
    )  # fmt: skip
    sorts = invented_sorts(piles, first)
    return seconds(compare_people, sorts, settings, 0.05, streams)


def main():
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--terms", type=int, default=100)
    parser.add_argument("--people", type=int, default=72)
    parser.add_argument("--permutations", type=int, default=9999)
    parser.add_argument("--splits", type=int, default=500)
    chosen = parser.parse_args()
    for unplaced in (0.0, 0.02):
        piles, first = people(chosen.terms, chosen.people, unplaced)
        total = whole(piles, first, chosen.permutations, chosen.splits)
        print(f"\n{chosen.people} people, {chosen.terms} terms, {unplaced:.0%} unplaced")
        print(f"{'the whole dossier':24}{total:8.2f} s")
        measured = parts(piles, first, chosen.permutations, chosen.splits)
        for name, spent in measured.items():
            print(f"{name:24}{spent:8.2f} s {spent / total:6.1%}")


if __name__ == "__main__":
    main()
