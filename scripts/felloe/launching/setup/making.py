"""An environment is made: packages from the lock, compiled and tried."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TextIO

from felloe.launching.complaints import LaunchError
from felloe.launching.setup.pip_words import reason_of
from felloe.launching.setup.variables import environment_variables

INSTALLED = "import matplotlib.font_manager, numpy, pandas, scipy, skbio, snakemake, pytest"


def python_of(home: Path) -> Path:
    """Return an environment's Python."""
    return home / ("Scripts" if os.name == "nt" else "bin") / "python"


def make(root: Path, home: Path, say: Callable[[str], None]) -> None:
    """Build the environment anew; what an interrupted attempt left is removed first."""
    say(
        f"Making the environment in {home.name} from requirements.lock; "
        "once, and it takes about a minute."
    )
    shutil.rmtree(home, ignore_errors=True)
    python = str(python_of(home))
    variables = environment_variables(root)
    log = root / ".venv.log"
    with open(log, "w", encoding="utf-8") as stream:
        finished = run_logged([sys.executable, "-m", "venv", str(home)], variables, stream, say)
        if not finished:
            raise LaunchError(
                "Python could not make a virtual environment (details in .venv.log). "
                "On Debian and Ubuntu: install the package python3-venv."
            )
        command = [python, "-m", "pip", "install", "--require-hashes", "--no-deps"]
        command += ["--no-compile", "--progress-bar", "off", "-r", str(root / "requirements.lock")]
        finished = run_logged(command, variables, stream, say)
        if not finished:
            raise LaunchError(
                "Installing the packages failed (all of it in .venv.log).\n"
                f"{reason_of(log.read_text(encoding='utf-8', errors='replace'))}\n"
                "Then the same command again."
            )
        say("  preparing them")
        run_logged([python, "-m", "compileall", "-q", "-j", "0", str(home)], variables, stream, say)
        if not run_logged([python, "-c", INSTALLED], variables, stream, say):
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
        try:
            for line in process.stdout or ():
                stream.write(line)
                if line.startswith("Collecting "):
                    collected += 1
                    if collected % 20 == 0:
                        say(f"  {collected} packages fetched")
                elif line.startswith("Installing collected"):
                    say(f"  installing {collected} packages")
        except BaseException:  # we were told to end
            process.kill()
            raise
    stream.flush()  # it is read for what went wrong
    return process.returncode == 0


def tail_of(log: Path, lines: int = 6) -> str:
    """Return the last lines of the log that say something."""
    text = log.read_text(encoding="utf-8", errors="replace")
    return "\n".join([line for line in text.splitlines() if line.strip()][-lines:])
