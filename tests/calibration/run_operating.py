"""
How the pooling dossier behaves where the truth is known, and on published sorts.

`python tests/calibration/run_operating.py` runs every cell, keeps one line a run in
`.calibration/operating.jsonl`, and writes `tests/calibration/operating.md`. It can be stopped at
any time and goes on where it stopped; what was run with other code or settings is run again. The
rule itself is applied when the table is written, so another margin or another order of its
branches costs nothing: `--table-only`.

`--held-out` runs the make and the published set that no rule may be tuned on, and nothing else;
their table is `operating_held_out.md`. Run it once, when the rule is final.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import argparse
import json
import os
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from multiprocessing import get_context
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1] / "scripts")]

from calibration import judging, operating_table
from calibration.cases import invented_sorts
from calibration.cells import SEED, Cell, Drawn, cells
from calibration.judging import agreed_margins, hash_of, judged, settings_of, true_correlation
from felloe.ground.randomness import Streams

RUNS = HERE.parents[1] / ".calibration"
TRUTH_RUNS = 100  # runs of a cell for which the true correlation of unlike structures is looked up
Key = tuple[str, str, int, str]


def code_of(cell: Cell) -> str:
    """Return what must be the same for a run to stand: code, settings, and what the cell is."""
    where, what = cell.of
    module = getattr(where, "sort", type(where)).__module__
    code = hash_of(module, "calibration.cases")
    wished = f"{what!r} {SEED} {judging.DRAWS} {judging.defaults()['comparison']}"
    return judging.hash_of_text(f"{code} {wished}")


def outcome(cell: Cell, run: int, drawn: Drawn) -> dict[str, Any]:
    """Return what the dossier says of the people of one run, and which terms moved."""
    sorts = invented_sorts(drawn.piles, drawn.first)
    streams = Streams(SEED + 1 + run, f"calibration {cell.source} {cell.name}")
    found = judged(sorts, settings_of(len(sorts.terms)), agreed_margins(), streams)
    moved = None if drawn.moved is None else drawn.moved.tolist()
    return {"source": cell.source, "cell": cell.name, "run": run, **found, "moved": moved}


def simulate(task: tuple[Cell, int, str]) -> dict[str, Any]:
    """Return what is kept of one run of one cell."""
    cell, run, code = task
    drawn = cell.draw(run)
    truth = 1.0 if cell.alike else None
    if truth is None and run < TRUTH_RUNS:
        large = cell.large_sample(drawn, run)
        truth = None if large is None else true_correlation(*large)
    return {**outcome(cell, run, drawn), "truth": truth, "code": code}


def key_of(record: dict[str, Any]) -> Key:
    """Return what tells a run from every other."""
    return record["source"], record["cell"], record["run"], record["code"]


def kept(path: Path) -> Iterator[dict[str, Any]]:
    """Read the runs that were kept; a line that was cut off by a stop is passed over."""
    if not path.exists():
        return
    with open(path, encoding="utf-8") as stream:
        for line in stream:
            try:
                yield json.loads(line)
            except json.JSONDecodeError:
                continue


def tasks(wanted: list[Cell], runs: int) -> list[tuple[Cell, int, str]]:
    """Return every run, the first ones of all cells before the later ones of any."""
    coded = [(cell, code_of(cell)) for cell in wanted]
    return [
        (cell, run, code)
        for run in range(runs)
        for cell, code in coded
        if cell.largest is None or run < cell.largest
    ]


def run_missing(
    wanted: list[tuple[Any, int, str]],
    path: Path,
    processes: int,
    run: Callable[[Any], dict[str, Any]] | None = None,
) -> None:
    """Run what is not kept yet, by `simulate` if nothing else is said; append each as it ends."""
    done = {key_of(record) for record in kept(path)}
    missing = [task for task in wanted if (task[0].source, task[0].name, *task[1:]) not in done]
    print(f"{len(wanted) - len(missing)} of {len(wanted)} runs are kept", flush=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    with get_context("spawn").Pool(processes) as pool, open(path, "a", encoding="utf-8") as stream:
        stream.write("\n")  # after a line that was cut off
        for number, record in enumerate(pool.imap_unordered(run or simulate, missing), start=1):
            stream.write(json.dumps(record) + "\n")
            stream.flush()
            if number % 200 == 0:
                print(f"{number} of {len(missing)} missing runs", flush=True)


def records_of(wanted: list[tuple[Any, int, str]], path: Path) -> dict[tuple[str, str], list]:
    """Return the kept runs of each cell, in the order of their numbers."""
    asked = {(cell.source, cell.name, run, code) for cell, run, code in wanted}
    found = {key_of(record): record for record in kept(path) if key_of(record) in asked}
    by_cell = defaultdict(list)
    for source, name, run, code in sorted(found):
        by_cell[source, name].append(found[source, name, run, code])
    return by_cell


def main() -> None:
    """Read the command line, run what is missing, write the table."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--runs", type=int, default=200, help="of every cell")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--source", action="append", help="one make or published set; repeatable")
    parser.add_argument("--cell", default="", help="only cells whose name holds this text")
    parser.add_argument("--kept", type=Path, help="file of the runs")
    parser.add_argument("--table", type=Path, help="Markdown file to write")
    parser.add_argument("--table-only", action="store_true", help="run nothing")
    parser.add_argument("--held-out", action="store_true", help="only when the rule is final")
    chosen = parser.parse_args()
    wanted = [
        cell
        for cell in cells(chosen.held_out)
        if chosen.cell in cell.name and cell.source in (chosen.source or [cell.source])
    ]
    every = tasks(wanted, chosen.runs)
    name = "operating_held_out" if chosen.held_out else "operating"
    path = chosen.kept or RUNS / f"{name}.jsonl"
    if not chosen.table_only:
        run_missing(every, path, chosen.processes)
    table = operating_table.report(wanted, records_of(every, path), agreed_margins())
    (chosen.table or HERE / f"{name}.md").write_text(table, encoding="utf-8")


if __name__ == "__main__":
    main()
