"""A plan made: the columns side by side on the cores there are, progress shown, files written."""

import hashlib
import json
import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, wait
from pathlib import Path
from typing import Any

from felloe.foresight.figure_plan import draw_plan
from felloe.foresight.movement import ENOUGH, PERMUTATIONS
from felloe.foresight.own import Own, reaching
from felloe.foresight.plan import Assumed, Cell, column, pieces
from felloe.foresight.tables import PLAN, plan_rows
from felloe.foresight.words import AS_GOOD, TRIED, figure_text, plan_text
from felloe.ground.drawing import save_figure
from felloe.ground.files.hashes import sha256_of
from felloe.ground.files.records import read_json, write_json
from felloe.ground.randomness import Streams

TABLE, RECORD, FIGURE = "plan.csv", "plan.json", "plan.{}"
LOOK = 0.5  # seconds between two looks at the progress
_DONE: Any = None  # in a worker: pieces of work done by all


def planned_text(
    assumed: Assumed,
    sizes: dict[str, list[int]],
    about: dict[str, Any],
    streams: Streams,
    own: Own,
) -> str:
    """
    Make the plan of a study, or read it where it stands; return what is said of it.

    Parameters
    ----------
    assumed : Assumed
    sizes : dict
        `people` in all and `each`, terms a person.
    about : dict
        `pilot`, `sources` (as returned by `sources_of`), `target` and `margin` (reliability to
        plan for, and of each population for pooling), and `code`, a hash of what computes.
    streams : felloe.ground.randomness.Streams
    own : Own
        The study itself, which is only told of: the plan stands, whoever is named.
    """
    folder = Path("plans", streams.study)
    record = record_of(assumed, sizes, about, streams)
    if not stands(folder, record):
        cells = columns_of(assumed, sizes, streams)
        rows = plan_rows(cells, assumed.truth.n_terms, about["margin"])
        PLAN.write(folder / TABLE, rows)
        endings = [folder / FIGURE.format(kind) for kind in ("svg", "pdf", "png")]
        save_figure(
            draw_plan(rows, assumed.truth.n_terms, figure_text(record), about["margin"]),
            endings,
            "Plan",
        )
        write_json(folder / RECORD, finished(folder, record))
    return plan_text(PLAN.read(folder / TABLE), record, str(folder), own)


def record_of(
    assumed: Assumed, sizes: dict[str, list[int]], about: dict[str, Any], streams: Streams
) -> dict[str, Any]:
    """Return what a plan was made from, as it is written beside it."""
    truth = assumed.truth
    classes, subclasses = truth.numbers
    groups = json.dumps([truth.classes.tolist(), truth.subclasses.tolist()]).encode()
    return {
        **about,
        "study": streams.study,
        "seed": streams.seed,
        "assumed": {
            "terms": truth.n_terms,
            "classes": classes,
            "subclasses": subclasses,
            "groups": hashlib.sha256(groups).hexdigest(),
            "coarse": assumed.habits.coarse,
            "astray": assumed.habits.astray,
            "smaller": assumed.smaller_share,
            "prior": assumed.prior,
            "linkage": assumed.linkage,
            "alpha": assumed.alpha,
        },
        **sizes,
        "studies": assumed.studies,
        "permutations": PERMUTATIONS,
        "power": ENOUGH,
        "caution": f"{AS_GOOD} {TRIED}",
    }


def stands(folder: Path, record: dict[str, Any]) -> bool:
    """Return whether a plan made from the same stands there, untouched."""
    paths = [folder / RECORD, folder / TABLE, *(folder / FIGURE.format(k) for k in ("svg", "png"))]
    if not all(path.is_file() for path in paths):
        return False
    try:
        found = read_json(folder / RECORD)
        return bool(
            found["table"] == sha256_of(folder / TABLE) and found == finished(folder, record)
        )
    except (ValueError, LookupError, TypeError):
        return False


def finished(folder: Path, record: dict[str, Any]) -> dict[str, Any]:
    """Return the record with the hash of the table, and the sizes from which pooling is open."""
    fewest = reaching(PLAN.read(folder / TABLE), "smaller_reliability", record["margin"])
    sizes = [{"terms_each": each, "people": people} for each, people in fewest.items()]
    return {**record, "pooling_from": sizes, "table": sha256_of(folder / TABLE)}


def columns_of(assumed: Assumed, sizes: dict[str, list[int]], streams: Streams) -> list[Cell]:
    """Return every cell, the columns computed side by side; no number depends on that."""
    spawning = multiprocessing.get_context("spawn")  # the same on every platform
    counter = spawning.Value("l", 0)
    every = pieces(sizes["people"], assumed.studies) * len(sizes["each"])
    workers = min(len(sizes["each"]), os.cpu_count() or 1)
    with ProcessPoolExecutor(workers, spawning, share, (counter,)) as pool:
        jobs = [
            pool.submit(column, assumed, each, sizes["people"], streams, told)
            for each in sizes["each"]
        ]
        show = shower(every)
        try:
            while wait(jobs, timeout=LOOK).not_done:
                show(counter.value)
        except BaseException:  # stopped: nobody waits for minutes of work that nobody wants
            for child in multiprocessing.active_children():
                child.terminate()
            raise
        show(every)
        return [cell for job in jobs for cell in job.result()]


def share(counter: Any) -> None:
    """Keep, in a worker, what counts the pieces of work."""
    global _DONE
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who made the workers ends them
    _DONE = counter


def told() -> None:
    """Count a piece of work."""
    with _DONE.get_lock():
        _DONE.value += 1


def shower(every: int) -> Callable[[int], None]:
    """Return what shows how much is done: one line on a screen, a line for each tenth elsewhere."""
    said = [-1]

    def show(done: int) -> None:
        tenth = done * 10 // every
        if sys.stderr.isatty():
            end = "\n" if done == every else ""
            sys.stderr.write(f"\rSimulating studies: {done * 100 // every} % {end}")
        elif tenth > said[0]:
            sys.stderr.write(f"Simulating studies: {tenth * 10} %\n")
        said[0] = tenth
        sys.stderr.flush()

    return show


def terms_each(asked: Sequence[int], n_terms: int) -> list[int]:
    """Return the numbers of terms a person, rising; more than there are is all of them."""
    return sorted({min(each, n_terms) for each in asked})
