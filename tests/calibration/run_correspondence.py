"""
How often two editions of one truth, and unrelated ones, are found to correspond.

    PYTHONPATH=scripts:tests python tests/calibration/run_correspondence.py

takes some minutes on one core and prints the table of DEVELOPERS.md. Every term's class counts as
certain in both editions, so that the grades rest on the correspondence of classes alone.
"""

import numpy as np
from edition_examples import TRUTH, UNEQUAL, charted, judged, of_classes, of_habits, of_points

RUNS = 200
CASES = (
    ("equal classes, a third of the placements astray", of_classes, TRUTH, 30, 6),
    ("points in space, everybody cuts a tree", of_points, TRUTH, 30, 6),
    ("latent granularity, unequal classes, 5 charted", of_habits, UNEQUAL, 12, 5),
    ("the same", of_habits, UNEQUAL, 40, 5),
    ("the same, all 8 charted", of_habits, UNEQUAL, 12, 8),
    ("the same", of_habits, UNEQUAL, 40, 8),
)


def grades(study, truths, n_people, number, run):
    """Return the grades of every term of two studies, each with its own truth."""
    seeds = 1000 + 2 * run, 1001 + 2 * run
    charts = [
        charted(study(seed, truth, n_people), number)
        for seed, truth in zip(seeds, truths, strict=True)
    ]
    return judged(*charts, run)


def row(name, study, truth, n_people, number):
    """Return one row of the table."""
    lacking, none, robust = 0, 0, 0
    for run in range(RUNS):
        lacking += grades(study, (truth, truth), n_people, number, run).count("no_correspondence")
        dealt = np.random.default_rng(5000 + run).permutation(truth)
        unrelated = grades(study, (truth, dealt), n_people, number, run)
        none += set(unrelated) == {"no_correspondence"}
        robust += "robust" in unrelated
    shares = lacking / (RUNS * len(truth)), none / RUNS, robust / RUNS
    cells = " | ".join(f"{share:.3f}" for share in shares)
    return f"| {name} | {n_people} + {n_people} | {cells} |"


if __name__ == "__main__":
    for case in CASES:
        print(row(*case), flush=True)
