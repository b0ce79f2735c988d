"""
How the pooling dossier behaves where the truth is known.

`python tests/calibration/run_calibration.py` prints a table in Markdown and writes it to
`tests/calibration/table.md`; `--simulations N` and `--first N` (for the first case, whose p must
be uniform) make it smaller, `--processes N` uses more than one core.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import argparse
import os
import sys
from collections import Counter
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1] / "scripts")]

import numpy as np
from calibration.sorting_people import (
    CASES,
    N_CLASSES,
    N_SUBCLASSES,
    invented_sorts,
    two_populations,
)
from felloe.comparison.dossier import redraw_counts
from felloe.comparison.pair import Settings, compare_people, evidence_of
from felloe.comparison.verdict import APART, NOTES, POOL, Margins, decide
from felloe.ground.randomness import Streams
from felloe.settings import resolve
from scipy.stats import binomtest, kstest

SEED = 4
SETTINGS = Settings(
    permutations=199, splits=60, halves=50, bootstrap=200, granularity_bins=6, linkage="average",
    numbers=(N_CLASSES, N_SUBCLASSES),
)  # fmt: skip
ALPHA = 0.05
VERDICTS = (POOL, NOTES, APART)


@dataclass(frozen=True)
class Outcome:
    """What the dossier said in one simulation."""

    p_adjusted: float
    p_unrestricted: float
    corrected_low: float
    excess: float
    differing_terms: int
    verdict: str
    reason: str


def margins():
    """Return the margins of the default settings."""
    return Margins(**resolve({}, "the default settings")["comparison"]["margins"])


def simulate(task):
    """Return the outcome of one simulation of one case; keyed, so that order does not matter."""
    case_number, number, agreed = task
    case = CASES[case_number]
    streams = Streams(SEED, f"calibration {case.name}")
    piles, first = two_populations(case, streams.generator("people", number))
    drawn = Streams(SEED + 1 + number, f"calibration {case.name}")
    sorts = invented_sorts(piles, first)
    redraws = redraw_counts(sorts.populations, SETTINGS.bootstrap, drawn)
    found = compare_people(sorts, redraws, SETTINGS, drawn)
    evidence = evidence_of(found, agreed.alpha)
    verdict = decide(evidence, agreed)
    return Outcome(
        evidence.p_adjusted,
        evidence.p_unrestricted,
        evidence.corrected_low,
        evidence.excess,
        int((found.people.tests.terms_adjusted.p_terms <= ALPHA).sum()),
        verdict.verdict,
        verdict.reason,
    )


def outcomes_of(case_number, simulations, processes=1):
    """Return the outcomes of all simulations of one case."""
    agreed = margins()
    tasks = [(case_number, number, agreed) for number in range(simulations)]
    if processes == 1:
        return [simulate(task) for task in tasks]
    with Pool(processes) as pool:
        return pool.map(simulate, tasks, chunksize=5)


def rejections(p_values):
    """Return how many p are at most the level."""
    return int(np.sum(np.asarray(p_values) <= ALPHA))


def band(simulations):
    """Return the 95 % band of the number of rejections of an exact test."""
    from scipy.stats import binom

    return tuple(int(edge) for edge in binom.interval(0.95, simulations, ALPHA))


def uniformity(p_values):
    """Return the Kolmogorov-Smirnov p of p-values spread within their steps."""
    steps = SETTINGS.permutations + 1
    spread = np.asarray(p_values) - np.random.default_rng(SEED).random(len(p_values)) / steps
    return float(kstest(spread, "uniform").pvalue)


def row(name, outcomes):
    """Return one row of the table."""
    n = len(outcomes)
    adjusted = rejections([one.p_adjusted for one in outcomes])
    unrestricted = rejections([one.p_unrestricted for one in outcomes])
    interval = binomtest(adjusted, n).proportion_ci(method="wilson")
    said = Counter(one.verdict for one in outcomes)
    cells = [
        name,
        n,
        f"{adjusted / n:.3f} ({interval.low:.3f} to {interval.high:.3f})",
        f"{unrestricted / n:.3f}",
        f"{np.median([one.corrected_low for one in outcomes]):.2f}",
        f"{np.median([one.excess for one in outcomes]):.3f}",
        f"{np.mean([one.differing_terms for one in outcomes]):.1f}",
        *(f"{said[verdict] / n:.3f}" for verdict in VERDICTS),
    ]
    return "| " + " | ".join(map(str, cells)) + " |"


HEADER = (
    "| case | simulations | adjusted test rejects (95 % interval) | unrestricted rejects | "
    "median lower bound of corrected r | median excess of class changes | terms named (mean) | "
    + " | ".join(VERDICTS)
    + " |\n|---|---|---|---|---|---|---|---|---|---|"
)


def report(counts, processes):
    """Return the table with its notes."""
    lines = [
        f"35 and 35 people, 60 terms, {SETTINGS.permutations} permutations, {SETTINGS.splits} "
        f"random splits, {SETTINGS.bootstrap} redraws; level {ALPHA}; default margins.",
        "",
        HEADER,
    ]
    uniform = None
    for number, case in enumerate(CASES):
        outcomes = outcomes_of(number, counts[number], processes)
        lines.append(row(case.name, outcomes))
        if number == 0:
            uniform = uniformity([one.p_adjusted for one in outcomes])
        print(lines[-1], flush=True)
    low, high = band(counts[1])
    lines += [
        "",
        f"Under one population the adjusted p is compared with a uniform distribution: "
        f"Kolmogorov-Smirnov p = {uniform:.3f} ({counts[0]} simulations). An exact test rejects "
        f"{low / counts[1]:.3f} to {high / counts[1]:.3f} of {counts[1]} simulations in 95 % of "
        "the cases.",
    ]
    return "\n".join(lines) + "\n"


def main():
    """Read the command line, simulate, print and keep the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--simulations", type=int, default=200)
    parser.add_argument("--first", type=int, default=500)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--table", type=Path, default=HERE / "table.md")
    chosen = parser.parse_args()
    counts = [chosen.first] + [chosen.simulations] * (len(CASES) - 1)
    table = report(counts, chosen.processes)
    print(f"\n{table}")
    chosen.table.write_text(table, encoding="utf-8")


if __name__ == "__main__":
    main()
