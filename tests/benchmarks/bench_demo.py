"""
Time the whole demo: raw sorts to reports, then nothing changed, then another linkage.

    python3 tests/benchmarks/bench_demo.py [cores]

Prints seconds and the number of jobs; DEVELOPERS.md keeps the figures with the machine's cores.
"""

import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RUN = Path(__file__).parents[2] / "scripts" / "run"


def timed(*arguments):
    """Return the seconds of one call and the number of jobs it ran."""
    started = time.perf_counter()
    finished = subprocess.run(
        [sys.executable, str(RUN), *arguments], capture_output=True, text=True, check=True
    )
    jobs = re.findall(r"^\[ *(\d+)/", finished.stdout, re.MULTILINE)
    return time.perf_counter() - started, int(jobs[-1]) if jobs else 0


def main(cores):
    """Print one line per situation."""
    with tempfile.TemporaryDirectory() as folder:
        where = ["--directory", folder, "--cores", cores]
        other = Path(folder) / "other.yaml"
        other.write_text("clustering: {linkage: complete}\n", encoding="utf-8")
        print(f"| situation, {cores} core(s) | seconds | jobs |\n| --- | --- | --- |")
        for what, arguments in (
            ("whole demo, both studies and their comparison", where),
            ("nothing changed", where),
            ("only the linkage changed", [*where, "--configfile", str(other)]),
        ):
            seconds, jobs = timed(*arguments)
            print(f"| {what} | {seconds:.1f} | {jobs} |", flush=True)


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "2")
