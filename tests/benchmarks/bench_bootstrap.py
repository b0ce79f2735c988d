# ruff: noqa: E402 - one thread must be asked for before NumPy is imported
"""
The bootstrap of a large study in parts against its floor, one core.

    .venv/bin/python tests/benchmarks/bench_bootstrap.py [terms people shown replicates]

The floor is the multiply-adds that the pairs that people placed ask for, at the rate of the bare
product (sparse or dense, whichever needs less time), and the linkages alone. Some replicates are
timed and the rest is reckoned. `python3 scripts/run benchmark` has the smaller sizes, beside loops.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import sys
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from time import process_time

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT / "scripts"))

import numpy as np
from felloe.clustering.replicates.draw_distances import DrawDistances
from felloe.clustering.replicates.redraws import draw, make_basis, redraw_trees, tree_builder
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.randomness import Streams

STREAMS = Streams(1, "benchmark")


def timed(work):
    """Return milliseconds of processor time and what `work` returned."""
    started = process_time()
    result = work()
    return 1000 * (process_time() - started), result


def sorts_in_parts(terms, people, shown, rng):
    """Return piles of people who were each shown some terms of twelve classes of three parts."""
    piles = np.full((people, terms), UNPLACED, dtype=np.int16)
    for person in range(people):
        own = rng.permutation(terms)[:shown]
        groups = 12 if person % 2 else 36
        astray = rng.random(shown) < 0.3
        piles[person, own] = np.where(astray, rng.integers(groups, size=shown), own % groups)
    return piles


def floor_of(basis, marks, distances, replicates):
    """Return the seconds that counting the placed pairs and the linkages take at the very least."""
    counts = np.ones((len(basis.piles), 64), dtype=marks.dtype)
    sparse = timed(lambda: marks @ counts)[0] / 64
    some = np.ones((2048, len(basis.piles)), dtype=np.float32)
    dense = timed(lambda: some @ counts.astype(np.float32))[0] / 64 * marks.shape[0] / len(some)
    build = tree_builder("average", basis.n_terms)
    copies = [row.copy() for row in distances]
    linkages = timed(lambda: [build(row) for row in copies])[0] / len(copies)
    for name, count, cost in (
        ("placed pairs", marks.nnz, sparse),
        ("all pairs, dense", marks.shape[0] * len(basis.piles), dense),
    ):
        print(
            f"{name}: {count * replicates:.3g} multiply-adds, {count / cost / 1e6:.1f} thousand "
            f"million a second, {cost * replicates / 1000:.1f} s"
        )
    print(f"linkages alone: {linkages:.1f} ms each, {linkages * replicates / 1000:.1f} s")
    return (min(sparse, dense) + linkages) * replicates / 1000


def large(terms=1000, people=10_000, shown=100, replicates=1000, timed_ones=128):
    """Hold the bootstrap of a study in parts against its floor."""
    piles = sorts_in_parts(terms, people, shown, np.random.default_rng(2))
    ready, basis = timed(lambda: make_basis(piles, ["all"] * people, prior=1.0))
    more, measure = timed(lambda: DrawDistances(basis, people))
    few = [draw(basis, STREAMS, one)[0] for one in range(16)]
    floor = floor_of(basis, measure.partial[0].placed, measure(np.array(few)), replicates)
    some = range(timed_ones)
    cost = timed(lambda: redraw_trees(basis, "average", STREAMS, some, measure=measure))[0]
    whole = (ready + more + cost / timed_ones * replicates) / 1000
    print(
        f"{replicates} replicates of {people} people, {terms} terms, {shown} each: {whole:.1f} s, "
        f"of them {(ready + more) / 1000:.1f} s to make ready; floor {floor:.1f} s, "
        f"ratio {whole / floor:.2f}; {getrusage(RUSAGE_SELF).ru_maxrss / 1024:.0f} MB"
    )


if __name__ == "__main__":
    large(*(int(word) for word in sys.argv[1:5]))
