"""
Run the whole demo through a real Slurm on this machine, and hold it against a run without one.

    python3 tests/benchmarks/bench_slurm.py FOLDER [CORES]

As root, with Debian's slurm-wlm and munge. Both runs work in FOLDER; the daemons are started and
stopped here. The first job is killed while it is at work. Prints what DEVELOPERS.md keeps; the exit
status is 0 only if every file is the same, but for what tells of times and of the machine.
"""

import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests")]

from slurm_cluster import job_states, jobs, slurm, why_not  # noqa: E402

UNSTABLE = {"logs", "benchmarks", "environment.json"}


def run(folder, variables, *more):
    """Run the demo in a folder by the launcher's command; its words go to a file beside it."""
    folder.mkdir(parents=True, exist_ok=True)
    words = [sys.executable, str(ROOT / "scripts" / "run"), "--directory", str(folder), *more]
    with open(folder / "said.txt", "w", encoding="utf-8") as said:
        return subprocess.Popen(words, env=variables, stdout=said, stderr=subprocess.STDOUT)


def first_at_work(variables, run):
    """Wait for a job at work; return its number."""
    while run.poll() is None:
        for number, _, state, _ in job_states(variables):
            if state == "RUNNING":
                return number
        time.sleep(0.1)
    raise RuntimeError("the run ended before any job was seen")


def files_of(folder):
    """Return the results that are to be the same, by path."""
    paths = (path.relative_to(folder) for path in folder.rglob("*") if path.is_file())
    return {path for path in paths if not UNSTABLE & set(path.parts)}


def through_slurm(folder, cores):
    """Run it with every step a job, the first of them killed; return status, seconds and jobs."""
    with (
        tempfile.TemporaryDirectory(prefix="slurm-") as place,
        slurm(Path(place), cores=cores) as variables,
    ):
        started = time.perf_counter()
        process = run(folder, variables, "--cluster", "slurm")
        killed = first_at_work(variables, process)
        subprocess.run(["scancel", killed], env=variables, check=True)
        status = process.wait()
        took = time.perf_counter() - started
        assert not jobs(variables), "jobs are left"
        return status, took, job_states(variables)


def main(home, cores):
    """Run, compare and print; return the exit status."""
    if missing := why_not():
        sys.exit(missing)
    started = time.perf_counter()
    alone = run(home / "without", None, "--cores", str(cores)).wait()
    local = time.perf_counter() - started
    there, took, told = through_slurm(home / "slurm", cores)
    mine, others = (home / name / "results" for name in ("without", "slurm"))
    shared = files_of(mine) & files_of(others)
    differing = [
        path for path in shared if (mine / path).read_bytes() != (others / path).read_bytes()
    ]
    states = Counter(state.lower() for _, _, state, _ in told)
    asked = sorted(memory for *_, memory in told)
    ended = ", ".join(f"{number} {state}" for state, number in states.items())
    counts = len(files_of(mine)), len(files_of(others))
    print(f"| whole demo, {cores} cores (`bench_slurm.py`) | without | by Slurm |")
    print("| --- | --- | --- |")
    print(f"| exit status, seconds | {alone}, {local:.0f} | {there}, {took:.0f} |")
    print(f"| jobs of Slurm | | {ended} |")
    print(f"| memory that a job asked for | | {asked[0]} to {asked[-1]} MB |")
    print(f"| files | {counts[0]} | {counts[1]}, of them {len(differing)} different |")
    same = files_of(mine) == files_of(others) and not differing
    return int(bool(alone or there or not same))


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]).resolve(), int(sys.argv[2]) if len(sys.argv) > 2 else 2))
