"""The word `share`: what was typed after it, handed to a process in the environment."""

import json
import os
from collections.abc import Callable
from pathlib import Path

from felloe.launching import arguments
from felloe.launching.archive import WORKER, shown_words
from felloe.launching.engine.interrupts import attended
from felloe.launching.setup.environment import WrongCommand, ensured, environment_variables

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
    asked, folder = request(typed, root, Path.cwd())
    command = [str(ensured(root, say)), str(WORKER), json.dumps(asked)]
    return attended(command, cwd=folder, env=environment_variables(root))


def request(typed: list[str], root: Path, here: Path) -> tuple[dict[str, object], Path]:
    """
    Return what is asked, and the working folder.

    Raises
    ------
    WrongCommand
        If anything was typed that is not understood.
    """
    apart = arguments.told_apart(typed, (FOLDER,), USAGE, here)
    if len(apart.words) > 1:
        raise WrongCommand(f"One study at the most.\n{USAGE}")
    folder = Path(apart.directory) if apart.directory else root
    asked: dict[str, object] = {
        "configfiles": apart.configfiles,
        "study": apart.words[0] if apart.words else None,
        "people": None,
        "folder": FOLDER in apart.flags,
        "place": os.path.relpath(folder, here) if folder != here else "",
        "shown": shown_words(apart.configfiles, apart.directory),
    }
    return asked, folder
