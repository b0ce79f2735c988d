"""The private environment: made once from the lock, made again when the lock or Python changes."""

import contextlib
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TextIO

BUSY_THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
INSTALLED = "import matplotlib.font_manager, numpy, pandas, scipy, skbio, snakemake, pytest"


class LaunchError(Exception):
    """What keeps the run from starting, in words for the person who typed the command."""

    status = 1


class WrongCommand(LaunchError):
    """What was typed can not be meant so."""

    status = 2


def environment_variables(root: Path) -> dict[str, str]:
    """Return the variables of every process that the launcher starts."""
    variables = dict(os.environ)
    for name in ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV", "PIP_REQUIRE_VIRTUALENV", "PIP_USER"):
        variables.pop(name, None)
    caches = root / ".venv" / "caches"
    variables.update(
        PYTHONNOUSERSITE="1",
        PIP_DISABLE_PIP_VERSION_CHECK="1",
        PIP_NO_INPUT="1",
        MPLCONFIGDIR=str(caches / "matplotlib"),
        MPLBACKEND="Agg",
    )
    for name in BUSY_THREADS:  # sums depend on the number of threads, so it is one
        variables[name] = "1"
    if not variables.get("HOME"):
        variables["HOME"] = str(caches)
        variables["XDG_CACHE_HOME"] = str(caches)
    return variables


def fingerprint(root: Path) -> str:
    """Return what the environment depends on: the lock and the Python that runs it."""
    digest = hashlib.sha256((root / "requirements.lock").read_bytes())
    digest.update(f"{sys.version}\n{os.path.realpath(sys.executable)}".encode())
    return digest.hexdigest()


def ensured(root: Path, say: Callable[[str], None]) -> Path:
    """
    Return the environment's Python, making the environment if it is missing or out of date.

    Parameters
    ----------
    root : Path
        The project's folder.
    say : callable
        Prints a line.

    Returns
    -------
    Path

    Raises
    ------
    LaunchError
        If it cannot be made.
    """
    home = root / ".venv"
    python = home / ("Scripts" if os.name == "nt" else "bin") / "python"
    stamp = home / "made-from"
    wanted = fingerprint(root)
    if is_current(stamp, wanted, python):
        return python
    try:
        lock = open(root / ".venv.lock", "w")  # noqa: SIM115 (used as one below)
    except OSError as error:
        raise LaunchError(
            f"Cannot write in the project's folder to make its environment: {error.strerror}."
        ) from error
    with lock:
        with contextlib.suppress(OSError, ImportError):  # no locks on this system: go on
            import fcntl

            fcntl.flock(lock, fcntl.LOCK_EX)
        if not is_current(stamp, wanted, python):  # another run may have made it meanwhile
            make(root, home, python, say)
            stamp.write_text(wanted + "\n", encoding="utf-8")
    return python


def is_current(stamp: Path, wanted: str, python: Path) -> bool:
    """Tell whether the environment is whole and made from this lock and Python."""
    return (
        python.exists() and stamp.is_file() and stamp.read_text(encoding="utf-8").strip() == wanted
    )


def make(root: Path, home: Path, python: Path, say: Callable[[str], None]) -> None:
    """Build the environment anew; what an interrupted attempt left is removed first."""
    say(
        "Making the environment in .venv from requirements.lock; once, and it takes about a minute."
    )
    shutil.rmtree(home, ignore_errors=True)
    variables = environment_variables(root)
    log = root / ".venv.log"
    with open(log, "w", encoding="utf-8") as stream:
        finished = run_logged([sys.executable, "-m", "venv", str(home)], variables, stream, say)
        if not finished:
            raise LaunchError(
                "Python could not make a virtual environment (details in .venv.log). "
                "On Debian and Ubuntu: install the package python3-venv."
            )
        command = [str(python), "-m", "pip", "install", "--require-hashes", "--no-deps"]
        command += ["--no-compile", "--progress-bar", "off", "-r", str(root / "requirements.lock")]
        finished = run_logged(command, variables, stream, say)
        if not finished:
            raise LaunchError(
                f"{tail_of(log)}\nInstalling the packages failed (all of it in .venv.log).\n"
                "Is there a network? Call the same command again to go on."
            )
        say("  preparing them")
        run_logged(
            [str(python), "-m", "compileall", "-q", "-j", "0", str(home)], variables, stream, say
        )
        if not run_logged([str(python), "-c", INSTALLED], variables, stream, say):
            raise LaunchError(
                f"{tail_of(log)}\nThe installed packages do not load (see .venv.log)."
            )
    log.unlink()


def run_logged(
    command: list[str], variables: dict[str, str], stream: TextIO, say: Callable[[str], None]
) -> bool:
    """Run a command into the log, say how far it is, return whether it went well."""
    collected = 0
    with subprocess.Popen(
        command,
        env=variables,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    ) as process:
        for line in process.stdout or ():
            stream.write(line)
            if line.startswith("Collecting "):
                collected += 1
                if collected % 20 == 0:
                    say(f"  {collected} packages fetched")
            elif line.startswith("Installing collected"):
                say(f"  installing {collected} packages")
    return process.returncode == 0


def tail_of(log: Path, lines: int = 6) -> str:
    """Return the last lines of the log that say something."""
    text = log.read_text(encoding="utf-8", errors="replace")
    return "\n".join([line for line in text.splitlines() if line.strip()][-lines:])
