"""
Run invented studies of several sizes, for what every step needs.

    python3 tests/benchmarks/measure_resources.py FOLDER [TERMSxPEOPLExSHOWNxREPLICATES ...]

Every size has a folder of its own in FOLDER with its study, its results and Snakemake's benchmark
of every job; one that is there already is not run again. One job runs at a time, since jobs that
share a machine slow each other down. `fit_resources.py FOLDER` then makes of them what the rules
ask a cluster for.
"""

import subprocess
import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "scripts"), str(ROOT / "tests")]

from partial_example import as_shown, lumpers_and_splitters  # noqa: E402
from study_folder import write_rows  # noqa: E402

SIZES = (
    "40x40x40x10000 40x160x40x1000 40x640x40x1000 80x40x80x1000 80x160x80x10000 160x40x160x1000 "
    "160x160x160x1000 160x320x60x1000 240x80x240x1000 240x640x60x1000"
).split()
CLASSES = 8


def write_study(folder, terms, people, shown):
    """Write an invented study: two populations, each term shown to about equally many people."""
    rng = np.random.default_rng([terms, people, shown])
    piles, *_ = lumpers_and_splitters(rng, people, terms, CLASSES)
    seen = np.zeros(piles.shape, dtype=bool)
    for row in seen:
        rarest = np.lexsort((rng.random(terms), seen.sum(axis=0)))
        row[rarest[:shown]] = True
    placed = as_shown(piles, seen)
    ids = [f"t{at:04d}" for at in range(terms)]
    names = [f"p{at:05d}" for at in range(people)]
    folder.mkdir(parents=True)
    (folder / "study.yaml").write_text(
        "title: An invented study\nedition: 2031\ninstruction: Put together what belongs together."
        "\npopulations:\n  panel: Panel\n  makers: Makers\nsorts_layout: wide\n",
        encoding="utf-8",
    )
    write_rows(folder / "terms.csv", [["term", "label"], *([one, f"Word {one}"] for one in ids)])
    of = [[name, ("panel", "makers")[at % 2], 30] for at, name in enumerate(names)]
    write_rows(folder / "participants.csv", [["participant", "population", "minutes"], *of])
    rows = [
        [name, *(int(pile) + 1 if pile >= 0 else "" for pile in own)]
        for name, own in zip(names, placed, strict=True)
    ]
    write_rows(folder / "sorts.csv", [["participant", *ids], *rows])
    if shown < terms:
        orders = [rng.permutation(np.flatnonzero(row)) for row in seen]
        design = [
            [name, ids[term], at + 1]
            for name, order in zip(names, orders, strict=True)
            for at, term in enumerate(order)
        ]
        write_rows(folder / "design.csv", [["participant", "term", "position"], *design])


def run(home, size):
    """Write and run the study of a size, unless that was done; return whether it ended well."""
    terms, people, shown, replicates = map(int, size.split("x"))
    place = home / size
    if not (place / "study").exists():
        write_study(place / "study", terms, people, shown)
    (place / "settings.yaml").write_text(
        f"studies: {{study: study}}\neditions: []\nbootstrap: {{replicates: {replicates}}}\n",
        encoding="utf-8",
    )
    command = [sys.executable, str(ROOT / "scripts" / "run"), "--cores", "1", "--keep-going"]
    command += ["--configfile", str(place / "settings.yaml"), "--directory", str(place)]
    return subprocess.run(command).returncode == 0


def main(home, sizes):
    """Run what is not there."""
    for size in sizes or SIZES:
        if not (home / size / "results" / "study" / "manifest.json").is_file():
            print(size, "done" if run(home, size) else "not to its end", flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), sys.argv[2:])
