"""
How well classes come back from people who saw a part of the lexicon each, at full size.

`python tests/benchmarks/bench_recovery.py [people] [shown] [runs]`: 300 terms in 10 classes of
3 subclasses; everybody is shown some of them, dealt so that every pair of terms has about as many
observers; half of the people sort by classes and half by subclasses, 30 % of placements go astray.
It prints the adjusted Rand index of classes and of subclasses, with and without a prior.
"""

import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2] / "scripts"), str(Path(__file__).parents[1])]

import numpy as np  # noqa: E402
from felloe.ground.agreement import adjusted_rand  # noqa: E402
from felloe.ground.linkage import build_tree, cut  # noqa: E402
from felloe.matrices.distances import chart_dissimilarity  # noqa: E402
from partial_example import as_shown, balanced_shown, lumpers_and_splitters  # noqa: E402

N_TERMS, N_CLASSES, N_SUBCLASSES = 300, 10, 30


def recovered(piles, truths, prior):
    """Return the adjusted Rand index of classes, and of subclasses, with the true ones."""
    apart = chart_dissimilarity(piles, ["all"] * len(piles), "pooled", "plain", prior)
    tree = build_tree(apart, "average")
    numbers = (N_CLASSES, N_SUBCLASSES)
    return [adjusted_rand(one, cut(tree, n)) for one, n in zip(truths, numbers, strict=True)]


def main(people=150, shown=60, runs=4):
    """Measure and print."""
    start, found = time.process_time(), {0.0: [], 1.0: []}
    for run in range(runs):
        rng = np.random.default_rng(run)
        piles, *truths = lumpers_and_splitters(rng, people, N_TERMS, N_CLASSES, 3, 0.3)
        piles = as_shown(piles, balanced_shown(rng, people, N_TERMS, shown))
        for prior, kept in found.items():
            kept.append(recovered(piles, truths, prior))
    observers = people * shown * (shown - 1) / (N_TERMS * (N_TERMS - 1))
    print(f"{people} people, {shown} of {N_TERMS} terms shown, {observers:.1f} observers a pair")
    for prior, kept in found.items():
        classes, subclasses = np.mean(kept, axis=0)
        print(f"prior {prior:g}: classes {classes:.3f}, subclasses {subclasses:.3f} ({runs} runs)")
    print(f"{time.process_time() - start:.1f} s of the processor")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:4]))
