# ruff: noqa: E402 - the generator needs NumPy, which the environment has
"""
Run an open sort whole, from its tables to its report, in a limited amount of memory.

    python3 tests/benchmarks/bench_large.py FOLDER [--terms 1000] [--people 10000] [--shown 100]
                                            [--replicates 1000] [--gigabytes 4] [--cores 2]

The study is invented in FOLDER, where the results go too. Prints every step with its seconds, its
processor seconds and its largest memory, from Snakemake's own benchmarks, then the whole. Exit
status 1 if the run did not end well, which it does not if it needs more memory than is given.
"""

import argparse
import csv
import os
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT / "tests"))
PYTHON = ROOT / ".venv" / "bin" / "python"
if Path(sys.prefix) != ROOT / ".venv" and PYTHON.exists():
    os.execv(PYTHON, [str(PYTHON), *sys.argv])

from large_study import write_large_study
from memory_limit import run_limited

STUDY = "open-sort"
SETTINGS = """\
studies: {{{study}: {folder}}}
editions: []
bootstrap: {{replicates: {replicates}}}
"""


def asked(words):
    """Read the command line."""
    parser = argparse.ArgumentParser(description="Run a large invented study.")
    parser.add_argument("folder", type=Path)
    for name, value in (("terms", 1000), ("people", 10000), ("shown", 100), ("replicates", 1000)):
        parser.add_argument(f"--{name}", type=int, default=value)
    parser.add_argument("--gigabytes", type=float, default=4)
    parser.add_argument("--cores", type=int, default=2)
    return parser.parse_args(words)


def steps_of(folder):
    """Return step, seconds, processor seconds and megabytes of every benchmark, slowest first."""
    rows = []
    for path in sorted(folder.rglob("benchmarks/**/*.tsv")):
        with path.open(encoding="utf-8", newline="") as lines:
            row = next(csv.DictReader(lines, delimiter="\t"))
        seconds, used, memory = (as_number(row[name]) for name in ("s", "cpu_time", "max_rss"))
        name = "/".join(path.with_suffix("").parts[path.parts.index("benchmarks") + 1 :])
        rows.append((name, seconds, used, memory))
    return sorted(rows, key=lambda row: -row[2])


def as_number(text):
    """Read a number of a benchmark; a job too short to be looked at has none."""
    return float(text) if text not in ("-", "NA", "") else 0.0


def main(words):
    """Write the study, run it, print what it cost."""
    options = asked(words)
    folder = options.folder.resolve()
    write_large_study(folder / STUDY, options.terms, options.people, options.shown)
    settings = folder / "settings.yaml"
    text = SETTINGS.format(study=STUDY, folder=folder / STUDY, replicates=options.replicates)
    settings.write_text(text, encoding="utf-8")
    run = [sys.executable, str(ROOT / "scripts" / "run"), "--configfile", str(settings)]
    run += ["--directory", str(folder), "--cores", str(options.cores)]
    started = time.perf_counter()
    finished, largest = run_limited(run, round(options.gigabytes * 2**30), options.cores)
    seconds = time.perf_counter() - started
    print("| step | seconds | processor seconds | largest memory, MB |\n| --- | --- | --- | --- |")
    steps = steps_of(folder / "results")
    for name, *numbers in steps:
        print(f"| {name} | " + " | ".join(f"{number:.0f}" for number in numbers) + " |")
    used = sum(row[2] for row in steps)
    print(f"| the whole | {seconds:.0f} | {used:.0f} | {held(largest, options)} |")
    return finished.returncode


def held(largest, options):
    """Say what was in use at most, and what was allowed."""
    if largest is None:
        share = options.gigabytes * 1024 / options.cores
        return f"each process held to {share:.0f} of address space"
    return f"{largest / 2**20:.0f} with files in memory; {options.gigabytes * 1024:.0f} allowed"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
