"""The word `benchmark`: what was typed after it, handed to the benchmarks in the environment."""

from collections.abc import Callable
from pathlib import Path

from felloe.launching import arguments
from felloe.launching.engine.interrupts import attended
from felloe.launching.setup.environment import WrongCommand, ensured, environment_variables

USAGE = f"{arguments.COMMAND} benchmark [NAME ...] [--directory FOLDER]"
MEASURE = Path("tests") / "benchmarks" / "measure.py"
WRITTEN = "benchmarks"  # below the working folder


def run_benchmark(root: Path, typed: list[str], say: Callable[[str], None]) -> int:
    """
    Measure what the code takes beside what a scripter would write; return the exit status.

    Parameters
    ----------
    root : Path
        The project's folder.
    typed : list of str
        What stands after the word.
    say : callable
        Prints a line.
    """
    names, folder = request(typed, root, Path.cwd())
    command = [str(ensured(root, say)), str(root / MEASURE), str(folder / WRITTEN), *names]
    return attended(command, cwd=folder, env=environment_variables(root))


def request(typed: list[str], root: Path, here: Path) -> tuple[list[str], Path]:
    """
    Return what is to be measured (nothing: all kernels), and the working folder.

    Raises
    ------
    WrongCommand
        If anything was typed that is not understood.
    """
    apart = arguments.told_apart(typed, (), USAGE, here)
    if apart.configfiles:
        raise WrongCommand(f"Benchmarks invent their sorts: no settings reach them.\n{USAGE}")
    return apart.words, Path(apart.directory) if apart.directory else root
