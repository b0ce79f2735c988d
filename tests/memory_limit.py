"""Commands held to an amount of memory, all their processes together where the system allows it."""

import os
import resource
import subprocess
import time
from contextlib import contextmanager
from pathlib import Path

ROOT = Path("/sys/fs/cgroup")
VERSIONS = (  # where groups are made, the limit, the largest use so far
    (ROOT / "memory", "memory.limit_in_bytes", "memory.max_usage_in_bytes"),
    (ROOT, "memory.max", "memory.peak"),
)


@contextmanager
def memory_group(limit):
    """
    Make a control group of at most ``limit`` bytes, files kept in memory counted too.

    Yields
    ------
    tuple of Path and str, or None
        The group's folder and the name of the file that says the largest use; None where the
        system lets us make none.
    """
    for place, limited, largest in VERSIONS:
        folder = place / f"felloe-{os.getpid()}"
        try:
            folder.mkdir()
        except OSError:
            continue
        try:
            (folder / limited).write_text(str(limit), encoding="ascii")
        except OSError:
            folder.rmdir()
            continue
        try:
            yield folder, largest
        finally:
            let_go(folder)
        return
    yield None


def let_go(folder):
    """Remove a group once its last process has gone."""
    for _ in range(100):
        try:
            folder.rmdir()
            return
        except OSError:
            time.sleep(0.1)


def run_limited(command, limit, processes, **how):
    """
    Run a command in no more than an amount of memory.

    Parameters
    ----------
    command : list of str
    limit : int
        Bytes for everything that the command starts. Where no group of processes can be limited,
        each process may map an equal share of it.
    processes : int
        Processes that work at a time.
    how
        Handed to `subprocess.run`.

    Returns
    -------
    finished : subprocess.CompletedProcess
    largest : int or None
        Bytes in use at most; None where that is not known.
    """
    with memory_group(limit) as group:

        def enter():
            if group:
                (group[0] / "cgroup.procs").write_text(str(os.getpid()), encoding="ascii")
            else:
                resource.setrlimit(resource.RLIMIT_AS, (limit // processes,) * 2)

        finished = subprocess.run(command, preexec_fn=enter, **how)
        largest = int((group[0] / group[1]).read_text(encoding="ascii")) if group else None
    return finished, largest
