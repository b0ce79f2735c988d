"""
How dossier, reliability, home probabilities, editions, screening and the chance line do where
everybody saw some terms and the truth is known.

`python tests/calibration/run_partial.py` runs every cell, keeps one line a run in
`.calibration/partial.jsonl`, and writes `tests/calibration/partial.md`. It can be stopped at any
time and goes on where it stopped; what was run with other code or settings is run again. Words,
files, and whatever else no number hangs on are no part of that code, and neither are docstrings.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import argparse
import os
import sys
from functools import cache
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
HERE = Path(__file__).resolve().parent
SCRIPTS = HERE.parents[1] / "scripts"
sys.path[:0] = [str(HERE.parent), str(SCRIPTS)]

from calibration import judging, partial_table
from calibration.makes import HELD_OUT, MAKES
from calibration.partial_cells import CHANCE, DOSSIER, EQUAL, NOISY, Cell, cells
from calibration.partial_runs import SEED, simulate
from calibration.run_operating import RUNS, records_of, run_missing
from felloe.provenance import imported_files, meaning_of

OWN = (
    "calibration.cases", "calibration.judging", "calibration.partial_cells",
    "calibration.partial_runs", "partial_example",
)  # fmt: skip
BEHIND = (  # modules of the library whose code a number hangs on, and those within them
    "felloe.clustering.choice",
    "felloe.clustering.class_counts", "felloe.clustering.replicates", "felloe.comparison",
    "felloe.editions.correspondence", "felloe.ground", "felloe.matrices.counts",
    "felloe.matrices.distances",
    "felloe.validation.screened.consensus", "felloe.validation.screened.granularity",
    "felloe.validation.screened.order_followed", "felloe.validation.screened.screening",
    "felloe.validation.screened.task", "felloe.validation.settings",
)  # fmt: skip
APART = ("felloe.ground.files", judging.RULE)  # of them; the rule is applied to what is kept
FIRST = 100  # runs of every cell before others go on
SETTINGS = ("comparison", "tiers", "screening", "migration")


def within(name: str, places: tuple[str, ...]) -> bool:
    """Return whether a module is one of some, or within one."""
    return any(name == place or name.startswith(f"{place}.") for place in places)


def modules_behind() -> dict[str, Path]:
    """Return the modules that a run hangs on, by name, but for the make of its people."""
    found = {name: Path(sys.modules[name].__file__ or "") for name in OWN}
    waiting = list(found.values())
    while waiting:
        for path in imported_files(waiting.pop()):
            name = ".".join(path.relative_to(SCRIPTS).with_suffix("").parts)
            if name not in found and within(name, BEHIND) and not within(name, APART):
                found[name] = path
                waiting.append(path)
    return found


@cache
def code_behind() -> str:
    """Return a hash of the code and the settings that every run hangs on."""
    told = [meaning_of(path) for _, path in sorted(modules_behind().items())]
    settings = [repr(judging.defaults()[section]) for section in SETTINGS]
    return judging.hash_of_text("\n".join((*told, *settings, repr(judging.DRAWS), str(SEED))))


def code_of(cell: Cell) -> str:
    """Return what must be the same for a run to stand."""
    module = sys.modules[(MAKES | HELD_OUT)[cell.source].sort.__module__]
    make = meaning_of(Path(module.__file__ or ""))
    return judging.hash_of_text("\n".join((code_behind(), make, repr(cell))))


def later(cell: Cell, run: int) -> int:
    """Return which runs come after others: half of every cell's, then cell by cell what weighs."""
    if run < FIRST:
        return 0
    if cell.kind == DOSSIER:
        return 1 if cell.source == "places" and cell.case in (EQUAL, NOISY) else 4
    return 2 if cell.kind == CHANCE else 3


def main() -> None:
    """Read the command line, run what is missing, write the tables."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n\n")[0])
    parser.add_argument("--runs", type=int, default=200, help="of every cell")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--kind", action="append", help="of cells; repeatable")
    parser.add_argument("--kept", type=Path, default=RUNS / "partial.jsonl", help="file of runs")
    parser.add_argument("--table-only", action="store_true", help="run nothing")
    chosen = parser.parse_args()
    coded = [(one, code_of(one)) for one in cells() if one.kind in (chosen.kind or [one.kind])]
    every = [(cell, run, code) for run in range(chosen.runs) for cell, code in coded]
    every.sort(key=lambda task: later(task[0], task[1]))
    if not chosen.table_only:
        run_missing(every, chosen.kept, chosen.processes, simulate)
    found = records_of(every, chosen.kept)
    there = [(cell, found[cell.source, cell.name]) for cell, _ in coded]
    told = partial_table.report([(cell, records) for cell, records in there if records])
    (HERE / "partial.md").write_text(told, encoding="utf-8")


if __name__ == "__main__":
    main()
