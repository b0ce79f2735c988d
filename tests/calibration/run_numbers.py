"""
How rules for the number of classes do where the number is known.

`python tests/calibration/run_numbers.py runs.jsonl --studies 100` draws studies and appends a line
of JSON for each to a file, which may lie anywhere outside the tree; called again it draws what is
missing, and a line that was cut off is drawn again. Then it prints, for every rule, in Markdown,
how often it found the number. `--processes N` uses more than one core.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import argparse
import json
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from multiprocessing import Pool
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1] / "scripts")]

import numpy as np
from calibration.numbered_classes import (
    GENERATORS,
    HELD_OUT,
    LEVELS,
    NUMBERS,
    PEOPLE,
    draw_study,
)
from felloe.clustering.choice import chance_line, considered, judged
from felloe.clustering.class_counts import TIGHT_BY_CHANCE, choose
from felloe.clustering.replicates.bootstrap import Bootstrap, Plan, draw_part, gathered
from felloe.clustering.replicates.null import collect_null
from felloe.clustering.replicates.redraws import make_basis
from felloe.ground.correlation import average_ranks
from felloe.ground.distances import Distances
from felloe.ground.groups.tree import tree_of
from felloe.ground.randomness import Streams
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import squared
from felloe.ground.terms import Terms

SEED = 10
METHOD = "average"
# Fewer than a study has; the shares behind PAC are then known to 0.035 at worst.
PLAN = Plan(replicates=200, null_sets=10, null_replicates=100, multiscale=0)
GAP_SETS = 40
SUPPORT = 0.5  # as in the settings
Task = tuple[str, str, int]
Row = Mapping[str, Any]
Rule = Callable[[Sequence[Row]], int]


def simulate(task: Task) -> dict[str, Any]:
    """Return the truth of one study and the indices of every number considered."""
    generator, level, number = task
    streams = Streams(SEED, f"numbers of classes: {generator}, {level}")
    study = draw_study(streams.generator("study", number), generator, level)
    drawn = Streams(SEED + 1 + number, f"numbers of classes: {generator}, {level}")
    terms = Terms(f"term{one:03d}" for one in range(len(study.classes)))
    people = ["a"] * (PEOPLE // 2) + ["b"] * (PEOPLE - PEOPLE // 2)
    basis = make_basis(study.piles, people)
    distances = Distances(terms, squared(basis.observed, len(terms)))
    redrawn = gathered([draw_part(terms, basis, METHOD, drawn, PLAN, "1-of-1")])
    null = collect_null(basis, METHOD, drawn, GAP_SETS, redrawn.null_merges)
    found = Bootstrap(tree_of(distances, METHOD), distances, METHOD, redrawn, null)
    span = considered("auto", NUMBERS, NUMBERS[0], NUMBERS[1])
    chance = chance_line(distances.pairs, METHOD)
    rows = judged(found, span, chance, minimum_size=2)
    for row in rows:
        row["supported"] = bool(
            row["minimum_jaccard"] >= SUPPORT
            and row["minimum_jaccard"] > row["null_largest_jaccard"]
        )
    heights = np.array([tree[:, 2] for tree in null.trees])
    whole = found.tree.Z[:, 2]
    below = {
        "chance": float((whole < chance).mean()),
        "null": float((whole < np.quantile(heights, TIGHT_BY_CHANCE, axis=0)).mean()),
    }
    return {
        "generator": generator, "level": level, "study": number, "terms": len(terms),
        "truth": study.number, "merges_below": below, "rows": rows,
    }  # fmt: skip


def librarys(rows: Sequence[Row]) -> int:
    """Choose as the library does."""
    return choose(rows)[0]


def ranked(line: str, *indices: str) -> Rule:
    """
    Return the rule of the best mean rank over indices among the numbers below a line.

    Parameters
    ----------
    line : str
        Of `LINES`.
    indices : str
        Columns; '-' before one of which more is better.

    Returns
    -------
    callable
    """

    def pick(every: Sequence[Row]) -> int:
        rows = eligible(every, line)
        ranks = [
            average_ranks(
                np.array([-row[name[1:]] if name[0] == "-" else row[name] for row in rows], float)
            )
            for name in indices
        ]
        best = int(np.argmin(np.round(np.mean(ranks, axis=0), PRODUCT_DECIMALS)))
        return int(rows[best]["n_classes"])

    return pick


LINES = ("below_null", "below_chance")
OTHERS = ("-silhouette", "-height_gap", "-minimum_jaccard", "-bootstrap_rand")
INDICES = {
    "raw PAC, gap by size": (*OTHERS, "-gap_criterion", "pac"),
    "PAC less null, gap by size": (*OTHERS, "-gap_criterion", "pac_excess"),
    "raw PAC, gap by its rule": (*OTHERS, "gap_distance", "pac"),
    "PAC less null, gap by its rule": (*OTHERS, "gap_distance", "pac_excess"),
    "PAC over null, gap by its rule": (*OTHERS, "gap_distance", "pac_ratio"),
    "PAC less null, no gap": (*OTHERS, "pac_excess"),
    "raw PAC alone": ("pac",),
    "PAC less null alone": ("pac_excess",),
    "PAC over null alone": ("pac_ratio",),
    "gap by its rule alone": ("gap_distance",),
    "silhouette alone": ("-silhouette",),
}
RULES: dict[str, Rule] = {
    f"{name}, {line}": ranked(line, *indices) for name, indices in INDICES.items() for line in LINES
}


def eligible(rows: Sequence[Row], line: str) -> list[Row]:
    """Return the rows that are below a line and go through no tie, as `choose` does."""
    below = [row for row in rows if row[line]]
    return [row for row in below if not row["tied"]] or below or list(rows)


def completed(rows: Sequence[Row]) -> list[Row]:
    """Return rows with the one index that the library does not know."""
    return [
        {**row, "pac_excess": round(row["pac"] - row["null_pac"], PRODUCT_DECIMALS)} for row in rows
    ]


def share_and_bias(runs: Sequence[Mapping[str, Any]], rule: Rule) -> str:
    """Return how often a rule finds the number, and by how much it is off on average."""
    off = np.array([rule(completed(run["rows"])) - run["truth"] for run in runs])
    return f"{(off == 0).mean():.2f} {off.mean():+.2f}"


def rules_table(runs: Sequence[Mapping[str, Any]], generators: Sequence[str]) -> str:
    """Return the table of all rules over the cells of some generators, in Markdown."""
    cells = {
        (generator, level): [
            run for run in runs if (run["generator"], run["level"]) == (generator, level)
        ]
        for generator in generators
        for level in LEVELS[:-1]
    }
    heads = [f"{generator}, {level} ({len(found)})" for (generator, level), found in cells.items()]
    lines = [f"| rule | {' | '.join(heads)} |", "|---" * (len(heads) + 1) + "|"]
    for name, rule in {"the library's": librarys, **RULES}.items():
        told = " | ".join(share_and_bias(found, rule) for found in cells.values())
        lines.append(f"| {name} | {told} |")
    return "\n".join(lines)


def lines_table(runs: Sequence[Mapping[str, Any]]) -> str:
    """Return, for every cell, how many sets some number is let through by what, in Markdown."""
    columns = ("supported", *LINES)
    lines = [
        "| cell | some number supported | some number below_null | some number below_chance "
        "| true number below_null | merges below the chance line | merges below the null's |",
        "|---" * 7 + "|",
    ]
    for generator in GENERATORS:
        for level in LEVELS:
            found = [run for run in runs if (run["generator"], run["level"]) == (generator, level)]
            some = [
                np.mean([any(row[column] for row in run["rows"]) for run in found])
                for column in columns
            ]
            of_truth = np.mean(
                [
                    row["below_null"]
                    for run in found
                    for row in run["rows"]
                    if row["n_classes"] == run["truth"]
                ]
            )
            merges = [
                np.mean([run["merges_below"][name] for run in found]) for name in ("chance", "null")
            ]
            told = " | ".join(f"{share:.2f}" for share in (*some, of_truth, *merges))
            lines.append(f"| {generator}, {level} ({len(found)}) | {told} |")
    return "\n".join(lines)


def main() -> None:
    """Read the command line, draw what is missing, print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("runs", type=Path)
    parser.add_argument("--studies", type=int, default=100)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--held-out", action="store_true", help=f"show {HELD_OUT} instead")
    chosen = parser.parse_args()
    tasks = [
        (generator, level, number)
        for number in range(chosen.studies)
        for generator in GENERATORS
        for level in LEVELS
    ]
    done = {(one["generator"], one["level"], one["study"]) for one in read_runs(chosen.runs)}
    missing = [task for task in tasks if task not in done]
    with Pool(chosen.processes) as pool, chosen.runs.open("a", encoding="utf-8") as file:
        for outcome in pool.imap_unordered(simulate, missing):
            # the line break first: a line that was cut off stays alone
            file.write("\n" + json.dumps(outcome))
            file.flush()
    runs = [run for run in read_runs(chosen.runs) if run["study"] < chosen.studies]
    shown = [name for name in GENERATORS if (name == HELD_OUT) == chosen.held_out]
    print(rules_table(runs, shown))
    print()
    print(lines_table(runs))


def read_runs(path: Path) -> list[dict[str, Any]]:
    """Return the runs of a file; a line that was cut off when the run was stopped is none."""
    runs = []
    for line in path.read_text(encoding="utf-8").splitlines() if path.exists() else []:
        try:
            runs.append(json.loads(line))
        except ValueError:
            continue
    return runs


if __name__ == "__main__":
    main()
