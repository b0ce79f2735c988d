"""
How sure a robust move is: `python tests/benchmarks/bench_planted.py --write`.

Two editions of one lexicon are sorted by invented people of four makes (`tests/calibration`), in
two editions of so many people each: once by people of one mind, once with some terms moved to
another class in the newer edition. Each edition is charted by itself, as many classes as the make
has, with home probabilities from redrawn people; classes are matched and held against chance, and
moves graded, as the comparison of editions does it. The reliability is that which halves of the
older edition tell.

Prints the table; with `--write` also replaces `planted.csv` and `planted.json` in
`scripts/felloe/editions`, which the comparison of editions reads.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import astuple
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parents[1] / "scripts"))
sys.path.insert(0, str(HERE.parent))

import numpy as np
from calibration.cases import Case, invent
from calibration.judging import defaults
from calibration.makes import HELD_OUT, MAKES
from calibration.partial_runs import charted
from felloe import __version__
from felloe.editions.chance.planted import Simulated
from felloe.editions.chance.planted_tables import PATH, PLANTED
from felloe.editions.correspondence import (
    Bounds,
    against_chance,
    believed,
    grade_migration,
    match_classes,
)
from felloe.ground.files.records import write_json
from felloe.ground.people.halves import split_half_reliability
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.randomness import Streams

TERMS, PLANT, PERMUTATIONS, HALVES = 60, 6, 199, 50
CLASSES = {"places": 6, "nested": 7, "attributes": 6, "card table": 8}
PEOPLE = (6, 12, 25, 50, 100)


def graded(older, newer, bounds, rng):
    """Return the grade of every term, from the class and its probability in both charts."""
    names = [f"c{one}" for one in older[0]], [f"c{one}" for one in newer[0]]
    chance = against_chance(*names, rng, PERMUTATIONS)
    found = believed(match_classes(*names), chance, bounds.correspondence)
    return np.array(
        [
            grade_migration(found.relation(a, b), float(p), float(q), bounds)
            for a, b, p, q in zip(*names, older[1], newer[1], strict=True)
        ]
    )


def run(make, people, planted, seed, number):
    """Return reliability, the grades of two editions, and which terms were planted to move."""
    streams = Streams(seed, f"planted {make} {people} {planted}")
    rng = streams.generator("people", number)
    case = Case("editions", (people, people), TERMS, moved=planted)
    invented = invent((MAKES | HELD_OUT)[make], case, rng)
    piles, first = invented.people(rng, case.people)
    charts = [
        charted(piles[group], None, CLASSES[make], Streams(seed + number, f"{make} {side}"))
        for group, side in ((first, "older"), (~first, "newer"))
    ]
    reliability = split_half_reliability(pair_vectors(piles[first]), HALVES, rng).reliability
    moved = np.zeros(TERMS, dtype=bool)
    moved[invented.moved] = True
    return reliability, graded(*charts, Bounds(**defaults()["migration"]), rng), moved


def cell(job):
    """Return the row of one make, size and number of planted moves."""
    make, people, planted, runs, seed = job
    found = [run(make, people, planted, seed, number) for number in range(runs)]
    grades, moved = (np.array([one[place] for one in found]) for place in (1, 2))
    robust, possible = grades == "robust", grades == "possible"

    def share(called, among):
        return round(float(called[among].mean()), 6) if among.any() else float("nan")

    return Simulated(
        make, people, TERMS, CLASSES[make], planted, runs,
        round(float(np.mean([one[0] for one in found])), 6),
        share(robust, moved), share(possible, moved),
        share(robust, ~moved), share(possible, ~moved),
        round(float((robust & ~moved).any(axis=1).mean()), 6),
    )  # fmt: skip


def main():
    """Simulate, print, and write if asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--write", action="store_true")
    chosen = parser.parse_args()
    jobs = [
        (make, people, planted, chosen.runs, chosen.seed)
        for make in CLASSES
        for people in PEOPLE
        for planted in (0, PLANT)
    ]
    rows = []
    with ProcessPoolExecutor(chosen.processes) as pool:
        for row in pool.map(cell, jobs):
            rows.append(row)
            print(*astuple(row), sep="\t", flush=True)
    if chosen.write:
        PLANTED.write(PATH, [astuple(row) for row in rows])
        command = "python tests/benchmarks/bench_planted.py --write"
        command += f" --runs {chosen.runs} --seed {chosen.seed}"
        about = {"command": command, "runs": chosen.runs, "seed": chosen.seed}
        write_json(PATH.with_suffix(".json"), {**about, "version": __version__})


if __name__ == "__main__":
    main()
