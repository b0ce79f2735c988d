"""
How evenly pairs of terms are observed, and how long it takes: allocated, and drawn at random.

`python tests/benchmarks/bench_allocation.py [people,terms,each ...]` prints a row of a table for
every size: observers of a pair (least, median, largest, standard deviation), pairs that nobody
sees, the bound that no allocation can beat, the same for terms drawn at random, seconds of the
processor. `10000,1000,100` takes minutes.
"""

import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2] / "scripts")]

import numpy as np  # noqa: E402
from felloe.allocation.allocating import Group, allocated  # noqa: E402
from felloe.allocation.observers import bound, observers  # noqa: E402
from felloe.ground.randomness import Streams  # noqa: E402

SIZES = ((35, 100, 60), (75, 300, 60), (150, 300, 60), (300, 300, 60), (600, 300, 60),
         (1200, 300, 60), (100, 1000, 100))  # fmt: skip


def told(found):
    """Return a cell of the table."""
    spread = f"{found.spread:.2f}"
    return f"{found.least}, {found.median:g}, {found.largest}; {spread}; {len(found.unseen):,}"


def row(people, n_terms, each):
    """Return the cells of a row."""
    late = tuple(f"p{n:05d}" for n in range(people))
    used = time.process_time()
    given = allocated(Streams(20261125, "bench"), "panel", Group({}, late), n_terms, each)
    used = time.process_time() - used
    rng = np.random.default_rng(1)
    drawn = [rng.permutation(n_terms)[:each] for _ in range(people)]
    limit = bound([each] * people, n_terms)
    ours = observers([*given.values()], n_terms)
    return (
        f"{people:,} people, {each} of {n_terms:,}",
        f"{ours.mean:.1f}",
        told(ours),
        f"{limit.least}, {limit.largest}; {limit.spread:.2f}; {limit.unseen:,}",
        told(observers(drawn, n_terms)),
        f"{used:.1f}",
    )


def main(sizes=SIZES):
    """Print the table."""
    heads = ("study", "mean", "allocated", "bound", "at random", "s")
    print("| " + " | ".join(heads) + " |\n|" + "---|" * len(heads))
    for size in sizes:
        print("| " + " | ".join(row(*size)) + " |", flush=True)


if __name__ == "__main__":
    given = [tuple(int(part) for part in text.split(",")) for text in sys.argv[1:]]
    main(given or SIZES)
