"""The private environment: made once from the lock; one for each Python, none under a run."""

import contextlib
import hashlib
import json
import os
import re
import shutil
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

from felloe.launching.complaints import LaunchError, WrongCommand
from felloe.launching.setup.claims import CLAIM, Claim, alone, claimed
from felloe.launching.setup.making import make, python_of
from felloe.launching.setup.variables import environment_variables

__all__ = [
    "LaunchError",
    "WrongCommand",
    "ensured",
    "environment_variables",
    "fingerprint",
    "is_current",
]

# in the environment's folder
STAMP = "made-from"  # written last
CONTENTS = "contents.json"
CACHE = "__pycache__"  # comes and goes
USED: list[Claim] = []  # what is held as long as this process lives


def fingerprint(root: Path) -> str:
    """Return what the environment depends on: the lock and the Python that runs it."""
    digest = hashlib.sha256((root / "requirements.lock").read_bytes())
    digest.update(f"{sys.version}\n{os.path.realpath(sys.executable)}".encode())
    return digest.hexdigest()


def ensured(root: Path, say: Callable[[str], None]) -> Path:
    """
    Return the environment's Python, making the environment if there is none that is whole.

    It is `.venv`. Where that was made by another Python, or is out of date while a run uses it,
    another one is made beside it: no run may lose what it is made of.

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
    wanted = fingerprint(root)
    version = "python{}.{}".format(*sys.version_info)
    homes = root / ".venv", root / f".venv.{version}-{wanted[:8]}"
    if home := used(homes, wanted):
        return python_of(home)
    with alone(root, say):
        home = used(homes, wanted)  # another run may have made it meanwhile
        if home is None:
            made_anew(root, homes, wanted, say)
            home = used(homes, wanted)
    if home is None:
        raise LaunchError("The environment is not whole, though it was made just now. Try again.")
    return python_of(home)


def used(homes: Iterable[Path], wanted: str) -> Path | None:
    """Return the first environment that is whole, and keep it for us until we end."""
    for home in homes:
        holder = claimed(home, shared=True)
        if not holder.refused and is_current(home, wanted):
            USED.append(holder)
            return home
        holder.close()
    return None


def made_anew(
    root: Path, homes: tuple[Path, Path], wanted: str, say: Callable[[str], None]
) -> None:
    """Make an environment where none is in use; then remove what this Python had before."""
    with contextlib.ExitStack() as stack:
        for home in homes:
            holder = stack.enter_context(claimed(home))
            if is_replaceable(home, holder):
                break
        else:
            raise LaunchError(
                f"The environment in {home.name} is damaged, and another run uses it. "
                "Wait until that has ended, then the same command again."
            )
        make(root, home, say)
        (home / CONTENTS).write_text(json.dumps(contents(home)), encoding="utf-8")
        (home / CLAIM).touch()
        (home / STAMP).write_text(wanted + "\n", encoding="utf-8")
        for other in root.glob(".venv.python*"):
            holder = stack.enter_context(claimed(other))
            if other != home and is_replaceable(other, holder):
                shutil.rmtree(other, ignore_errors=True)


def is_replaceable(home: Path, claim: Claim) -> bool:
    """Tell whether an environment is not there, or is this Python's own and in nobody's use."""
    if claim.refused or home.is_symlink():
        return False
    try:
        settings = (home / "pyvenv.cfg").read_text(encoding="utf-8")
    except OSError:  # not there, or not even begun
        return True
    maker = re.search(r"^executable = (.*)$", settings, re.MULTILINE)
    return maker is None or os.path.realpath(maker[1]) == os.path.realpath(sys.executable)


def is_current(home: Path, wanted: str) -> bool:
    """Tell whether an environment is whole and made from this lock and Python."""
    try:
        if (home / STAMP).read_text(encoding="utf-8").strip() != wanted:
            return False
    except OSError:
        return False
    if not os.access(python_of(home), os.X_OK):
        return False
    try:
        made = json.loads((home / CONTENTS).read_text(encoding="utf-8"))
    except FileNotFoundError:  # made before contents were noted
        return True
    except (OSError, ValueError):
        return False
    found = contents(home)
    return all(found.get(name, -1) >= count for name, count in made.items())


def contents(home: Path) -> dict[str, int]:
    """Return what is installed in an environment, and of each folder the number of its entries."""
    version = "python{}.{}".format(*sys.version_info)
    place = home / ("Lib" if os.name == "nt" else f"lib/{version}") / "site-packages"
    with contextlib.suppress(OSError), os.scandir(place) as entries:
        return {
            entry.name: len({*os.listdir(entry.path)} - {CACHE}) if entry.is_dir() else 1
            for entry in entries
            if entry.name != CACHE
        }
    return {}
