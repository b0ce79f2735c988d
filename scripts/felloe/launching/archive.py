"""The word `archive`: what was typed after it, handed to a process in the environment."""

import json
import os
import shlex
from collections.abc import Callable
from pathlib import Path

from felloe.launching import arguments
from felloe.launching.engine.interrupts import attended
from felloe.launching.setup.environment import WrongCommand, ensured, environment_variables

WITH, WITHOUT = "--with-people", "--without-people"
USAGE = f"{arguments.COMMAND} archive [STUDY] {WITH} (or {WITHOUT})"
WORKER = Path(__file__).resolve().parents[1] / "archiving" / "command.py"


def run_archive(root: Path, typed: list[str], say: Callable[[str], None]) -> int:
    """
    Make an archive; return the exit status.

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


def handed_over(
    root: Path, asked: dict[str, object], folder: Path, say: Callable[[str], None]
) -> int:
    """Let the environment's Python do what is asked in a working folder; return the status."""
    command = [str(ensured(root, say)), str(WORKER), json.dumps(asked)]
    return attended(command, cwd=folder, env=environment_variables(root))


def request(typed: list[str], root: Path, here: Path) -> tuple[dict[str, object], Path]:
    """
    Return what is asked, and the working folder.

    Raises
    ------
    WrongCommand
        If not exactly one of the two options was typed, or anything that is not understood.
    """
    apart = arguments.told_apart(typed, (WITH, WITHOUT), USAGE, here)
    if len(apart.flags) != 1:
        what = (
            "Say one of the two, not both" if apart.flags else "Say whether people are to be in it"
        )
        raise WrongCommand(
            f"{what}: {WITH} keeps sorts, participants and single colours, from which everything "
            f"can be made anew; {WITHOUT} keeps counts and what follows from them.\n{USAGE}"
        )
    asked, folder = of_a_study(apart, root, here, USAGE)
    return {**asked, "people": WITH in apart.flags}, folder


def of_a_study(
    apart: arguments.Apart, root: Path, here: Path, usage: str
) -> tuple[dict[str, object], Path]:
    """
    Return the study that is meant and where it is, as the process in the environment reads it.

    Raises
    ------
    WrongCommand
        If more than one study was typed.
    """
    if len(apart.words) > 1:
        raise WrongCommand(f"One study at the most.\n{usage}")
    folder = Path(apart.directory) if apart.directory else root
    asked: dict[str, object] = {
        "configfiles": apart.configfiles,
        "study": apart.words[0] if apart.words else None,
        "place": os.path.relpath(folder, here) if folder != here else "",
        "shown": shown_words(apart.configfiles, apart.directory),
    }
    return asked, folder


def shown_words(configfiles: list[str], directory: str | None) -> list[str]:
    """Return the words that name settings and folder in a command typed at the same place."""
    words = ["--configfile", *map(os.path.relpath, configfiles)] if configfiles else []
    words += ["--directory", os.path.relpath(directory)] if directory else []
    return [shlex.quote(word) for word in words]
