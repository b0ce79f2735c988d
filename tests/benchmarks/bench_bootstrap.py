# ruff: noqa: E402 - one thread must be asked for before NumPy is imported
"""
Bootstrap of 72 participants and 99 terms against the plain loop, one core, one run.

    python tests/benchmarks/bench_bootstrap.py [replicates]
    python tests/benchmarks/bench_bootstrap.py large [terms people shown replicates]

The plain loop is what a scripter writes with SciPy: redraw, count who put what together one
participant at a time, `linkage`, `fcluster`, co-membership; nothing else. The library's time holds
the draws, the trees, node supports, Jaccard coefficients, consensus matrix, home-class
probabilities and the majority tree. The same draws go into both, and the results are compared
before anything is timed.

`large` holds a study in parts against its floor: the multiply-adds that the pairs that people
placed ask for, at the rate of the bare product (sparse or dense, whichever needs less time), and
the linkages alone. Some replicates are timed and the rest is reckoned.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from time import perf_counter, process_time

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT / "scripts"))

import numpy as np
from felloe.clustering.replicates.consensus import coclassification, find_homes, majority_clades
from felloe.clustering.replicates.draw_distances import DrawDistances
from felloe.clustering.replicates.redraws import draw, make_basis, redraw_trees, tree_builder
from felloe.clustering.replicates.replicate_trees import cuts
from felloe.clustering.replicates.support import node_support
from felloe.ground.groups.linkage import build_tree, cut, members
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.randomness import Streams
from felloe.ground.squares import squared
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.spatial.distance import squareform

TERMS, PEOPLE, CLASSES = 99, 72, 9
STREAMS = Streams(1, "benchmark")
R_LOOP = """
piles <- as.matrix(read.csv("piles.csv", header = FALSE))
draws <- as.matrix(read.csv("draws.csv", header = FALSE)) + 1
started <- proc.time()[["user.self"]]
consensus <- matrix(0, ncol(piles), ncol(piles))
for (r in seq_len(nrow(draws))) {
  together <- matrix(0, ncol(piles), ncol(piles))
  for (g in draws[r, ]) together <- together + outer(piles[g, ], piles[g, ], "==")
  labels <- cutree(hclust(as.dist(1 - together / ncol(draws)), "average"), 9)
  consensus <- consensus + outer(labels, labels, "==")
}
cat(1000 * (proc.time()[["user.self"]] - started) / nrow(draws))
"""


def sorts():
    """Return piles of people who see nine classes of eleven, some of whom divide them."""
    rng = np.random.default_rng(1)
    classes = np.arange(TERMS) % CLASSES
    piles = np.empty((PEOPLE, TERMS), dtype=int)
    for person in range(PEOPLE):
        piles[person] = 3 * classes + (np.arange(TERMS) // CLASSES % 3) * (person % 3)
        moved = rng.random(TERMS) < 0.35
        piles[person, moved] = rng.permutation(piles[person])[moved]
    return piles


def plain_loop(piles, draws):
    """Return the share of replicates in which two terms fall into one class."""
    consensus = np.zeros((TERMS, TERMS))
    for drawn in draws:
        together = np.zeros((TERMS, TERMS))
        for person in drawn:
            together += piles[person][:, None] == piles[person][None, :]
        apart = 1 - together / len(drawn)
        tree = linkage(squareform(apart, checks=False), "average")
        labels = fcluster(tree, CLASSES, "maxclust")
        consensus += labels[:, None] == labels[None, :]
    return consensus / len(draws)


def vector_loop(piles, draws):
    """Do the same with the counting of each replicate in one broadcast comparison."""
    consensus = np.zeros((TERMS, TERMS))
    for drawn in draws:
        own = piles[drawn]
        together = (own[:, :, None] == own[:, None, :]).sum(axis=0)
        tree = linkage(squareform(1 - together / len(drawn), checks=False), "average")
        labels = fcluster(tree, CLASSES, "maxclust")
        consensus += labels[:, None] == labels[None, :]
    return consensus / len(draws)


def library(basis, tree, replicates):
    """Return consensus shares, supports, homes and majority clades."""
    merges = redraw_trees(basis, "average", STREAMS, range(replicates))
    support = node_support(merges, members(tree)[:-1])
    labels = cuts(merges, [CLASSES])[CLASSES]
    homes = find_homes(labels, cut(tree, CLASSES))
    return coclassification(labels) / replicates, support, homes, majority_clades(merges)


def redrawn(basis, replicates):
    """Return the participants of each draw as lists, as the plain loop wants them."""
    counts = [draw(basis, STREAMS, replicate)[0] for replicate in range(replicates)]
    return [np.repeat(np.arange(PEOPLE), one) for one in counts]


def timed(work):
    """Return milliseconds of processor time and what `work` returned."""
    started = process_time()
    result = work()
    return 1000 * (process_time() - started), result


def clades_of(merges):
    """Return the groups of terms of one tree but the last, as sets."""
    below = {term: {term} for term in range(TERMS)}
    for merge, (left, right) in enumerate(merges):
        below[TERMS + merge] = below[left] | below[right]
    return [below[TERMS + merge] for merge in range(TERMS - 2)]


def check(basis, tree, piles, draws):
    """Compare the library with the loops before anything is timed."""
    consensus, _, _, _ = library(basis, tree, len(draws))
    slow = plain_loop(piles, draws)
    assert np.array_equal(slow, vector_loop(piles, draws))
    # ties are broken in other orders, so that a few replicates may put a term elsewhere
    assert np.abs(consensus - slow).max() <= 0.02
    trees = [clades_of(one) for one in redraw_trees(basis, "average", STREAMS, range(25)).tolist()]
    few = node_support(redraw_trees(basis, "average", STREAMS, range(25)), members(tree)[:-1])
    for place, row in enumerate(members(tree)[:-1]):
        group = set(np.flatnonzero(row).tolist())
        best = [max(len(group & one) / len(group | one) for one in found) for found in trees]
        assert abs(few.jaccard[place] - np.mean(best)) < 1e-12
        assert few.proportion[place] == np.mean([group in found for found in trees])
    print(f"checked on {len(draws)} draws: largest difference {np.abs(consensus - slow).max():.4f}")


def r_time(piles, draws):
    """Return R's milliseconds per replicate for the plain loop, or None without R."""
    if not shutil.which("Rscript"):
        return None
    with tempfile.TemporaryDirectory() as folder:
        np.savetxt(Path(folder) / "piles.csv", piles, fmt="%d", delimiter=",")
        np.savetxt(Path(folder) / "draws.csv", np.array(draws), fmt="%d", delimiter=",")
        done = subprocess.run(
            ["Rscript", "-e", R_LOOP], cwd=folder, capture_output=True, text=True, check=True
        )
    return float(done.stdout)


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


def main(replicates=2000):
    """Check, time, print."""
    piles = sorts()
    basis = make_basis(piles, ["a"] * 30 + ["b"] * 42)
    tree = build_tree(squared(basis.observed, TERMS), "average")
    draws = redrawn(basis, replicates)
    check(basis, tree, piles, draws[:200])
    few = draws[: max(200, replicates // 5)]
    ours = min(timed(lambda: library(basis, tree, replicates))[0] for _ in range(3)) / replicates
    rows = [
        (
            "plain loop, counted person by person",
            timed(lambda: plain_loop(piles, few))[0] / len(few),
        ),
        (
            "plain loop, counted by broadcasting",
            timed(lambda: vector_loop(piles, few))[0] / len(few),
        ),
        ("plain loop in R", r_time(piles, few)),
        ("this library, everything", ours),
    ]
    print(f"{'ms of one core per replicate':40s} {'ms':>8s} {'ratio':>7s}")
    for words, cost in rows:
        print(
            f"{words:40s} " + (f"{cost:8.3f} {cost / ours:6.1f}x" if cost else "     not installed")
        )


if __name__ == "__main__":
    started = perf_counter()
    if sys.argv[1:2] == ["large"]:
        large(*(int(word) for word in sys.argv[2:6]))
    else:
        main(*(int(word) for word in sys.argv[1:2]))
    print(f"{perf_counter() - started:.1f} s in all")
