"""
Measure the circular order and the map: time, memory, and how they grow.

Run by hand: `python tests/benchmarks/bench_circle.py`. Nothing here is a test; the figures in
DEVELOPERS.md come from it.
"""

import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "scripts"))

import numpy as np
from felloe.circle.map.disparities import Model
from felloe.circle.map.map_evidence import Effort, best_map
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage, from_tiers
from felloe.ground.terms import Terms

SIZES = (50, 100, 200, 500, 1000)
PEOPLE = 74


def sorted_terms(n, seed=0):
    """Distances of invented sorts: twelve piles, half of the terms misplaced."""
    rng = np.random.default_rng(seed)
    base = np.arange(n) % 12
    rows = [np.where(rng.random(n) < 0.5, rng.integers(0, 12, n), base) for _ in range(PEOPLE)]
    return np.round(np.mean([row[:, None] != row[None] for row in rows], axis=0), 12)


def seconds(work, repeats=3):
    """Return the least time of a few runs."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def peak_mb():
    """Return the highest memory of this process so far, in megabytes."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main():
    """Print the tables."""
    print(f"{'terms':>6} {'order s':>9} {'+ ties s':>9} {'ratio':>7} {'peak MB':>8}")
    first = None
    for n in SIZES:
        D = sorted_terms(n)
        tree = from_linkage(build_tree(D, "average"))
        plain = seconds(lambda: circular_order(tree, D, count=False))  # noqa: B023
        counted = seconds(lambda: circular_order(tree, D))  # noqa: B023
        first = first or counted
        print(f"{n:6d} {plain:9.3f} {counted:9.3f} {counted / first:7.1f} {peak_mb():8.0f}")
    D = sorted_terms(96)
    Z = build_tree(D, "average")
    tree, _ = from_tiers(Z, cut(Z, 10), cut(Z, 26))
    print(f"only tiers kept, 96 terms: {seconds(lambda: circular_order(tree, D), 1):.2f} s")
    apart, effort = Distances(Terms(f"t{place:02d}" for place in range(96)), D), Effort(50, 40)
    for kind in ("metric", "ordinal"):
        model = Model(kind)
        took = seconds(
            lambda: best_map(apart, model, effort, np.random.default_rng(0)),  # noqa: B023
            1,
        )
        print(f"{kind} map of 96 terms from 50 starts: {took:.2f} s")


if __name__ == "__main__":
    main()
