"""
Make of runs of several sizes what every step needs, as it grows with the study.

    python tests/benchmarks/fit_resources.py FOLDER ...

Reads the benchmarks in every FOLDER of `measure_resources.py` (and of any other working folder
whose study has its settings beside it, as the demo has) and writes `workflow/resources.csv`. The
numbers are at least 0, so that nothing shrinks as a study grows, and fitted with errors relative to
what was measured: least squares of the ratio, then all raised until no size took more. Of several
jobs of a step the largest counts; of fewer than three sizes growth is laid to the terms alone. Time
is that of the processor, which does not depend on who else uses the machine; memory is the largest
that Snakemake saw, who looks every half second. Prints the ratio by which each step's numbers were
raised. What `felloe.needs` asks for is `SAFETY` times the fit.
"""

import csv
import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "scripts"), str(ROOT / "tests")]

from felloe.needs import GROWTH, size_of  # noqa: E402
from felloe.settings import DEFAULTS, read_yaml  # noqa: E402
from study_folder import write_rows  # noqa: E402

COLUMNS = {"megabytes": ["max_rss"], "seconds": ["cpu_time", "s"]}
LEAST = {"megabytes": 60.0, "seconds": 0.3}  # less was not seen rather than not used: Python, NumPy
FEW = 3  # sizes
TABLE = ROOT / "workflow" / "resources.csv"


def sizes_in(folder, settings):
    """Return the size of every study of a working folder."""
    usual = read_yaml(DEFAULTS)
    given = {**usual, **(read_yaml(settings) if settings else {})}
    replicates = {**usual["bootstrap"], **given["bootstrap"]}["replicates"]
    base = folder if settings else ROOT
    return {name: size_of(base / place, replicates) for name, place in given["studies"].items()}


def size_of_home(home, sizes):
    """Return the size that a folder of results counts as: of several studies, of the largest."""
    own = [sizes[name] for name in home.name.split("--") if name in sizes]
    return max(own, key=lambda size: size.growth()["seen"] + size.terms)


def jobs_of(folder, settings):
    """Yield step, size and what was measured, of every job of a working folder."""
    sizes = sizes_in(folder, settings)
    for path in sorted((folder / "results").rglob("benchmarks/**/*.tsv")):
        at = path.parts.index("benchmarks")
        home = Path(*path.parts[:at])
        with open(path, encoding="utf-8", newline="") as stream:
            row = next(csv.DictReader(stream, delimiter="\t"), None)
        if row and any(name in sizes for name in home.name.split("--")):
            values = {kind: number(row, names) for kind, names in COLUMNS.items()}
            yield path.parts[at + 1].removesuffix(".tsv"), size_of_home(home, sizes), values


def number(row, names):
    """Return the first number of some columns that says anything."""
    for name in names:
        try:
            value = float(row[name])
        except (KeyError, TypeError, ValueError):
            continue
        if value > 0:
            return value
    return 0.0


def largest(jobs):
    """Return, by step and kind, what the largest job of each size took."""
    found = {}
    for step, size, values in jobs:
        for kind, value in values.items():
            by_size = found.setdefault((step, kind), {})
            by_size[size] = max(by_size.get(size, LEAST[kind]), value)
    return found


def fitted(by_size, least):
    """Return the numbers of the sum, raised to cover all, and the ratio that this took."""
    from scipy.optimize import nnls

    rows = np.array([[size.growth()[name] for name in GROWTH] for size in by_size])
    took = np.array(list(by_size.values()))
    if len(rows) < FEW:  # what grows with people cannot be told from what grows with terms
        rows[:, 2:] = 0.0
    factors, _ = nnls(rows / took[:, None], (took - least) / took)
    factors[GROWTH.index("constant")] += least
    worst = float(np.max(took / (rows @ factors)))
    return [float(f"{factor:.3g}") for factor in factors * max(1.0, worst)], worst


def main(folders):
    """Fit and write."""
    jobs = []
    for folder in folders:
        settings = folder / "settings.yaml"
        jobs += jobs_of(folder, settings if settings.is_file() else None)
    rows = [["step", "kind", *GROWTH]]
    for (step, kind), by_size in sorted(largest(jobs).items()):
        factors, worst = fitted(by_size, LEAST[kind])
        rows.append([step, kind, *(f"{factor:g}" if factor else "" for factor in factors)])
        print(f"{step:24} {kind:10} {len(by_size):2} sizes, raised by {worst:.2f}")
    write_rows(TABLE, rows)


if __name__ == "__main__":
    main([Path(word).resolve() for word in sys.argv[1:]])
