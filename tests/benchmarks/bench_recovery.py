"""
Which groups come back from partial sorts: `python tests/benchmarks/bench_recovery.py --write`.

300 terms, or 120, in 10 classes of 3 subclasses. Each person is shown some (allocated as for a
real study), makes a pile of every class or of every subclass, with probability one half, and puts
each term with some probability into one of their own piles at random. The tree is average linkage,
cut at the true numbers; the adjusted Rand index with the truth is the mean of some runs. One design
serves all runs of a cell; its terms are dealt anew to the groups in each.

Prints the published planning table with these results beside it; with `--write` also replaces
`recovery.csv` and `recovery.json` in `scripts/felloe/matrices`, which the report of a partial study
reads.
"""

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import astuple
from functools import cache
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "scripts"))

import numpy as np
from felloe import __version__
from felloe.allocation.allocating import Group, allocated
from felloe.foresight.assumptions import Habits, even_truth
from felloe.foresight.expected import recovery
from felloe.foresight.plan import sizes_of
from felloe.foresight.sorters import drawn_sorts
from felloe.ground.files.records import write_json
from felloe.ground.people.counts import count_observers
from felloe.ground.randomness import Streams
from felloe.ground.squares import condensed
from felloe.matrices.observers import effective_observers
from felloe.matrices.recovery import Simulated
from felloe.matrices.recovery_tables import PATH, RECOVERY

CLASSES, SUBCLASSES_EACH = 10, 3
BASE = (300, 60, 0.3, 0.0)  # terms, terms a person, share astray, smaller population
PEOPLE = {
    (300, 60): (75, 150, 300, 600, 1200),
    (300, 30): (300, 600, 1200),
    (300, 100): (27, 54, 107, 215, 430),
    (120, 30): (49, 98, 197, 394, 788),
}
BOTH, ONE = (0.0, 1.0), (1.0,)  # priors
KINDS = (
    *((300, 60, astray, 0.0, BOTH) for astray in (0.1, 0.3, 0.5)),
    *((120, 30, astray, 0.0, BOTH) for astray in (0.1, 0.3, 0.5)),
    (300, 30, 0.3, 0.0, ONE),
    (300, 100, 0.3, 0.0, ONE),
    (300, 60, 0.3, 0.2, ONE),
)
# as in the project's planning notes: allocation at random, mean of 4 runs
NOTED = {
    ("classes", 0.0): (0.66, 0.88, 0.998, 1.00, 1.00),
    ("classes", 1.0): (0.89, 0.97, 1.00, 1.00, 1.00),
    ("subclasses", 1.0): (0.51, 0.66, 0.93, 0.99, 1.00),
}


@cache
def design(people, n_terms, each, smaller_share):
    """Return who is shown which terms: (people, terms) of bool, every population for itself."""
    streams, shown = Streams(1, "benchmark"), np.zeros((people, n_terms), dtype=bool)
    row = 0
    for population, size in zip("ab", sizes_of(people, smaller_share), strict=True):
        late = tuple(f"p{number:04}" for number in range(size))
        given = allocated(streams, population, Group({}, late), n_terms, each) if size else {}
        for terms in given.values():
            shown[row, terms] = True
            row += 1
    return shown


def cells(job):
    """Return the rows of one design under one share astray, for both priors where wanted."""
    people, n_terms, each, astray, smaller_share, priors, runs, seed = job
    shown = design(people, n_terms, each, smaller_share)
    pairs = condensed(count_observers(shown))
    truth = even_truth(n_terms, CLASSES, SUBCLASSES_EACH)
    found = {prior: [] for prior in priors}
    for run in range(runs):
        rng = Streams(seed, "benchmark").generator(
            f"{people}\n{each}\n{astray}\n{smaller_share}", run
        )
        dealt = shown[:, rng.permutation(n_terms)]
        piles = drawn_sorts(rng, truth, Habits(0.5, astray), dealt)
        for prior in priors:
            back = recovery(piles, truth, prior, "average")
            found[prior].append((back.classes, back.subclasses))
    rows = []
    for prior, values in found.items():
        mean, error = np.mean(values, axis=0), np.std(values, axis=0, ddof=1) / np.sqrt(runs)
        rows.append(
            Simulated(
                n_terms, CLASSES, CLASSES * SUBCLASSES_EACH, each, astray, smaller_share, prior,
                people, float(pairs.mean()), int(pairs.min()), effective_observers(pairs), runs,
                *(round(float(one), 6) for pair in zip(mean, error, strict=True) for one in pair),
            )
        )  # fmt: skip
    return rows


def jobs(runs, seed):
    """Return all cells, the longest first."""
    every = [
        (people, terms, each, astray, share, priors, runs, seed)
        for terms, each, astray, share, priors in KINDS
        for people in PEOPLE[terms, each]
    ]
    return sorted(every, key=lambda job: -job[0])


def table(rows):
    """Return the noted table with our numbers beside it, and the other kinds."""
    lines = []
    for (tier, prior), noted in NOTED.items():
        lines.append(f"{tier}, prior {prior:g}: people, observers a pair, noted, ours (error)")
        for people, number in zip(PEOPLE[BASE[:2]], noted, strict=True):
            wanted = (*BASE, prior, people)
            (one,) = (
                r for r in rows
                if (r.terms, r.terms_each, r.astray, r.smaller_share, r.prior, r.people) == wanted
            )  # fmt: skip
            ours = (one.class_rand, one.class_error)
            ours = ours if tier == "classes" else (one.subclass_rand, one.subclass_error)
            lines.append(
                f"{people:8}{one.observers:8.1f}{number:8.3f}{ours[0]:8.3f} ({ours[1]:.3f})"
            )
    lines.append(
        "all: terms, each, astray, smaller, prior, people, observers, effective, classes, "
        "subclasses"
    )
    for r in rows:
        lines.append(
            f"{r.terms:5}{r.terms_each:5}{r.astray:5.1f}{r.smaller_share:5.1f}{r.prior:4g}{r.people:6}"
            f"{r.observers:7.1f}{r.effective:7.1f}{r.class_rand:8.3f} ({r.class_error:.3f})"
            f"{r.subclass_rand:8.3f} ({r.subclass_error:.3f})"
        )
    return "\n".join(lines)


def main():
    """Simulate, print, and write if asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=16)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--write", action="store_true")
    chosen = parser.parse_args()
    with ProcessPoolExecutor(chosen.processes) as pool:
        found = []
        for rows in pool.map(cells, jobs(chosen.runs, chosen.seed)):
            found += rows
            print(
                f"{rows[0].people} people, {rows[0].terms_each} of {rows[0].terms} terms",
                file=sys.stderr,
                flush=True,
            )
    found.sort(key=lambda row: (row.kind, row.people))
    print(table(found))
    if chosen.write:
        RECOVERY.write(PATH, [astuple(row) for row in found])
        command = "python tests/benchmarks/bench_recovery.py --write"
        command += f" --runs {chosen.runs} --seed {chosen.seed}"
        about = {"command": command, "runs": chosen.runs, "seed": chosen.seed}
        write_json(PATH.with_suffix(".json"), {**about, "version": __version__})


if __name__ == "__main__":
    main()
