"""
How the dossier, the reliability and the home probabilities behave where everybody saw some terms.

`python tests/calibration/run_partial.py` runs every cell, keeps one line a run in
`.calibration/partial.jsonl`, and writes `tests/calibration/partial.md`. It can be stopped at any
time and goes on where it stopped; what was run with other code or settings is run again.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import argparse
import os
import sys
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1] / "scripts")]

import numpy as np
from calibration import judging
from calibration.cases import Case, invent, invented_sorts
from calibration.judging import agreed_margins, answer, hash_of, judged, settings_of
from calibration.makes import MAKES
from calibration.run_operating import RUNS, kept, run_missing
from felloe.clustering.replicates.redraws import make_basis, redrawn_distances
from felloe.ground.contingency import changed_terms
from felloe.ground.halves import split_half_reliability
from felloe.ground.linkage import build_tree, cut
from felloe.ground.pairs import pair_vectors
from felloe.ground.randomness import Streams
from felloe.ground.squares import condensed, squared
from felloe.matrices.distances import chart_dissimilarity
from partial_example import as_shown, balanced_shown, lumpers_and_splitters

SEED, PRIOR, LEVEL = 12, 1.0, 0.05
HALVES, REDRAWS = 50, 60
CLASSES = 5  # of the people whose truth is known, each of two subclasses
PARTS = (0.0, 0.5, 0.75, 0.9, 1.0001)  # of home probabilities


@dataclass(frozen=True)
class Cell:
    """
    One row of the table: a case, and how many terms each person of either population is shown.

    Attributes
    ----------
    source : str
        Make of the people.
    case : Case
    shown : (int, int)
        Of the people of even and of odd number in each population; all terms are whole sorts.
    """

    source: str
    case: Case
    shown: tuple[int, int]

    @property
    def name(self) -> str:
        """What is told of the cell in the table."""
        some, others = self.shown
        told = f"{some}" if some == others else f"{some} or {others}"
        return f"{self.case.name}, {told} of {self.case.terms} shown"


def cells() -> list[Cell]:
    """Return the cells of the table."""
    terms, people = 40, (30, 30)
    few = Case("equality", people, terms)
    lumping = Case("lumpers 80 % / 20 %", people, terms, lumpers=(0.8, 0.2))
    cases = (
        ("places", few, (20, 20)),
        ("places", few, (14, 14)),
        ("places", few, (14, 26)),
        ("places", few, (40, 40)),
        ("places", lumping, (20, 20)),
        ("places", Case("noise 1 / 1.6", people, terms, noise=(1.0, 1.6)), (20, 20)),
        ("places", Case("8 of 40 moved", people, terms, moved=8), (20, 20)),
        ("nested", few, (20, 20)),
        ("nested", lumping, (20, 20)),
    )
    return [Cell(*case) for case in cases]


def designed(cell: Cell, rng: np.random.Generator, n_people: int) -> np.ndarray:
    """Return who of one population is shown what."""
    shown = np.zeros((n_people, cell.case.terms), dtype=bool)
    for start, number in enumerate(cell.shown):
        rows = np.arange(start, n_people, 2)
        shown[rows] = balanced_shown(rng, len(rows), cell.case.terms, number)
    return shown


def people_of(cell: Cell, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray, Any]:
    """Return what two populations were seen to sort, who is of the first, and their makers."""
    invented = invent(MAKES[cell.source], cell.case, rng)
    piles, first = invented.people(rng, cell.case.people)
    shown = np.vstack([designed(cell, rng, number) for number in cell.case.people])
    return as_shown(piles, shown), first, invented


def prior_of(cell: Cell) -> float | None:
    """Return the prior: none for whole sorts."""
    return None if min(cell.shown) == cell.case.terms else PRIOR


def reliability_beside_truth(cell: Cell, run: int, piles: np.ndarray, invented: Any) -> dict:
    """Return the reliability that halves tell, and how a second study of such people correlates."""
    rng = Streams(SEED, f"{cell.source} {cell.name}").generator("second study", run)
    number = cell.case.people[0]
    again, _ = invented.people(rng, (number, 0))
    again = as_shown(again, designed(cell, rng, number))
    first = pair_vectors(piles[:number], prior_of(cell))
    told = split_half_reliability(first, HALVES, rng).reliability
    rows = [
        condensed(chart_dissimilarity(one, ["a"] * number, "pooled", "plain", prior_of(cell)))
        for one in (piles[:number], again)
    ]
    return {"told": told, "true": float(np.corrcoef(*rows)[0, 1])}


def homes(cell: Cell, run: int) -> dict[str, Any]:
    """Return home probabilities, and whether each term stands in its true class, of known truth."""
    rng = Streams(SEED, f"{cell.name}").generator("homes", run)
    number, terms = sum(cell.case.people), cell.case.terms
    piles, truth, _ = lumpers_and_splitters(rng, number, terms, CLASSES, 2, 0.5)
    piles = as_shown(piles, designed(cell, rng, number))
    basis = make_basis(piles, ["a"] * number, prior=prior_of(cell))

    def classes(row: np.ndarray) -> np.ndarray:
        return cut(build_tree(squared(row, terms), "average"), CLASSES)

    found = classes(basis.observed)
    streams = Streams(SEED, f"homes {run}")
    redrawn = [classes(row) for row in redrawn_distances(basis, streams, REDRAWS)]
    home = np.mean([~changed_terms(found, one) for one in redrawn], axis=0)
    return {"home": home.round(3).tolist(), "right": (~changed_terms(truth, found)).tolist()}


def simulate(task: tuple[Cell, int, str]) -> dict[str, Any]:
    """Return what is kept of one run of one cell."""
    cell, run, code = task
    rng = Streams(SEED, f"{cell.source}\n{cell.name}").generator("people", run)
    piles, first, invented = people_of(cell, rng)
    sorts = replace(invented_sorts(piles, first), prior=prior_of(cell))
    streams = Streams(SEED + 1 + run, f"partial {cell.source} {cell.name}")
    found = judged(sorts, settings_of(cell.case.terms), agreed_margins(), streams)
    more = reliability_beside_truth(cell, run, piles, invented)
    known = homes(cell, run) if cell.case.name == "equality" and cell.source == "places" else {}
    return {
        "source": cell.source, "cell": cell.name, "run": run, "code": code,
        **found, "moved": invented.moved.tolist(), "halves": more, **known,
    }  # fmt: skip


def code_of(cell: Cell) -> str:
    """Return what must be the same for a run to stand."""
    module = MAKES[cell.source].sort.__module__
    return judging.hash_of_text(
        hash_of(module, "calibration.cases", "partial_example") + repr(cell)
    )


def share(values: Sequence[Any]) -> str:
    """Return a share of runs in percent."""
    return f"{100.0 * float(np.mean(values)):.1f}" if len(values) else "-"


def row_of(cell: Cell, records: list[dict[str, Any]]) -> list[str]:
    """Return a row of the table of the dossier."""
    said = [answer(one, agreed_margins())[0] for one in records]
    moved = [set(one["moved"]) for one in records]
    named = [set(one["named"]) for one in records]
    told = np.array([[one["halves"]["told"], one["halves"]["true"]] for one in records])
    found = [len(a & b) / len(b) for a, b in zip(named, moved, strict=True) if b]
    tests = ("p_unrestricted", "p_adjusted", "p_matched", "p_shape")
    return [
        cell.source, cell.name, str(len(records)),
        *(share([one[test] <= LEVEL for one in records]) for test in tests),
        share([bool(a - b) for a, b in zip(named, moved, strict=True)]),
        share(found),
        share([one["corrected"][2] >= 1.0 for one in records]),
        *(share([each == verdict for each in said]) for verdict in judging.ANSWERS),
        f"{np.nanmean(told[:, 0]):.3f}", f"{np.nanmean(told[:, 1]):.3f}",
    ]  # fmt: skip


HEAD = (
    "make", "cell", "runs", "unrestricted", "covariates", "matched", "single terms",
    "a term named wrongly", "moved terms named", "interval holds 1", "pool", "with notes",
    "keep apart", "cannot tell", "reliability told", "second study",
)  # fmt: skip


def home_rows(cell: Cell, records: list[dict[str, Any]]) -> list[list[str]]:
    """Return how often terms of some home probability stand in their true class."""
    home = np.concatenate([one["home"] for one in records])
    right = np.concatenate([one["right"] for one in records])
    rows = []
    for low, high in pairwise(PARTS):
        inside = (home >= low) & (home < high)
        told = [f"{home[inside].mean():.2f}", f"{right[inside].mean():.2f}"] if inside.any() else []
        rows.append([cell.name, f"{low:g} to {min(high, 1):g}", str(int(inside.sum())), *told])
    return rows


def markdown(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return a table."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(
        f"| {' | '.join([*line, *['-'] * (len(head) - len(line))])} |" for line in lines
    )


def report(by_cell: dict[tuple[str, str], list[dict[str, Any]]]) -> str:
    """Return both tables."""
    there = [(cell, by_cell[cell.source, cell.name]) for cell in cells()]
    there = [(cell, records) for cell, records in there if records]
    dossier = markdown(HEAD, [row_of(cell, records) for cell, records in there])
    known = [(cell, records) for cell, records in there if "home" in records[0]]
    rows = [row for cell, records in known for row in home_rows(cell, records)]
    head = ("cell", "home probability", "terms", "its mean", "in the true class")
    return (
        "# Partial sorts where the truth is known\n\n30 people of each population, 40 terms; "
        "shares of runs in percent. The tests' columns are rejections at 0.05.\n\n"
        f"{dossier}\n\nHome probabilities ({REDRAWS} redraws of 60 people, {CLASSES} classes, half "
        f"of the placements astray):\n\n{markdown(head, rows)}\n"
    )


def main() -> None:
    """Read the command line, run what is missing, write the tables."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--runs", type=int, default=200, help="of every cell")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--source", action="append", help="one make; repeatable")
    parser.add_argument("--kept", type=Path, default=RUNS / "partial.jsonl", help="file of runs")
    parser.add_argument("--table-only", action="store_true", help="run nothing")
    chosen = parser.parse_args()
    wanted = [cell for cell in cells() if cell.source in (chosen.source or [cell.source])]
    every = [(cell, run, code_of(cell)) for run in range(chosen.runs) for cell in wanted]
    if not chosen.table_only:
        run_missing(every, chosen.kept, chosen.processes, simulate)
    asked = {(cell.source, cell.name, run, code) for cell, run, code in every}
    by_cell = defaultdict(list)
    for one in kept(chosen.kept):
        if (one["source"], one["cell"], one["run"], one["code"]) in asked:
            by_cell[one["source"], one["cell"]].append(one)
    (HERE / "partial.md").write_text(report(by_cell), encoding="utf-8")


if __name__ == "__main__":
    main()
