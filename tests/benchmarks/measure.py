"""
Measure kernels beside what a scripter would write, and how stages grow; `run benchmark` starts it.

    python tests/benchmarks/measure.py FOLDER [NAME ...]

Both sides of every kernel are compared before anything is timed. Times are those of the processor,
so that other work on the machine counts less; one thread. Writes tables and figures to FOLDER.
"""

import os
import sys
from pathlib import Path

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"  # before NumPy is imported

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1] / "scripts")]

SCALING = "scaling"


def main(folder, names):
    """Measure what is named, all kernels if nothing is; return the exit status."""
    from benchmarks.growth.run_growth import run_growth
    from benchmarks.side_by_side.catalogue import KERNELS
    from benchmarks.side_by_side.run_kernels import run_kernels
    from felloe.errors import nearest

    known = [*KERNELS, SCALING]
    for name in names:
        if name not in known:
            close = nearest(name, known)
            meant = f" Did you mean {close}?" if close else ""
            say(f"{name} is measured by nothing.{meant} There are: {', '.join(known)}.")
            return 2
    folder = Path(folder)
    wanted = {name: KERNELS[name] for name in names or KERNELS if name != SCALING}
    status = run_kernels(wanted, folder, say) if wanted else 0
    if SCALING in names:
        status = max(status, run_growth(folder, say))
    return status


def say(line):
    """Print a line at once."""
    print(line, flush=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
