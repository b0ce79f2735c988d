"""The word `share`: what was typed after it, handed to a process in the environment."""

from collections.abc import Callable
from pathlib import Path

from felloe.launching import arguments
from felloe.launching.archive import handed_over, of_a_study

FOLDER = "--folder"
USAGE = f"{arguments.COMMAND} share [STUDY] [{FOLDER}] [--configfile FILE] [--directory FOLDER]"


def run_share(root: Path, typed: list[str], say: Callable[[str], None]) -> int:
    """
    Write what may be circulated; return the exit status.

    Parameters
    ----------
    root : Path
        The project's folder.
    typed : list of str
        What stands after the word.
    say : callable
        Prints a line.
    """
    return handed_over(root, *request(typed, root, Path.cwd()), say)


def request(typed: list[str], root: Path, here: Path) -> tuple[dict[str, object], Path]:
    """
    Return what is asked, and the working folder.

    Raises
    ------
    WrongCommand
        If anything was typed that is not understood.
    """
    apart = arguments.told_apart(typed, (FOLDER,), USAGE, here)
    asked, folder = of_a_study(apart, root, here, USAGE)
    return {**asked, "people": None, "folder": FOLDER in apart.flags}, folder
