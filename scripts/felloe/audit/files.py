"""Files of two folders by their hashes."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from felloe.audit.differences import DIFFERS, EXTRA, MISSING, SAME, UNREADABLE, FileState
from felloe.ground.files.hashes import sha256_of

EXEMPT = ("logs", "benchmarks", "ledger")  # folders that are not part of what has to be the same
EXEMPT_FILES = ("environment.json",)


@dataclass(frozen=True)
class Hashed:
    """
    The files of a folder.

    Attributes
    ----------
    hashes : dict of str to str
        Path relative to the folder, with `/`, to SHA-256.
    unreadable : dict of str to str
        Path to the reason.
    """

    hashes: Mapping[str, str]
    unreadable: Mapping[str, str]


def hash_folder(folder: Path) -> Hashed:
    """
    Hash the results of a study, or of a pair of editions.

    Parameters
    ----------
    folder : Path
        One that is not there has no files.

    Returns
    -------
    Hashed
        Without `EXEMPT` and `EXEMPT_FILES`.
    """
    hashes, unreadable = {}, {}

    def refused(error: OSError) -> None:
        unreadable[Path(error.filename).relative_to(folder).as_posix()] = str(error.strerror)

    for where, folders, names in os.walk(folder, onerror=refused if folder.is_dir() else None):
        if Path(where) == folder:
            folders[:] = [name for name in folders if name not in EXEMPT]
            names = [name for name in names if name not in EXEMPT_FILES]
        for name in names:
            path = Path(where, name)
            shown = path.relative_to(folder).as_posix()
            try:
                hashes[shown] = sha256_of(path)
            except OSError as error:
                unreadable[shown] = str(error.strerror)
    return Hashed(dict(sorted(hashes.items())), unreadable)


def is_exempt(path: str) -> bool:
    """Tell whether a path, relative to the folder, is not part of what has to be the same."""
    return path in EXEMPT_FILES or path.split("/")[0] in EXEMPT


def compare_files(was: Hashed, now: Hashed) -> tuple[FileState, ...]:
    """
    Compare the files of two folders.

    Returns
    -------
    tuple of FileState
        Every file of either, by path.
    """
    paths = {*was.hashes, *was.unreadable, *now.hashes, *now.unreadable}
    return tuple(state_of(path, was, now) for path in sorted(paths))


def state_of(path: str, was: Hashed, now: Hashed) -> FileState:
    """Return how the files of one path stand to each other."""
    for side in (was, now):
        if path in side.unreadable:
            return FileState(path, UNREADABLE, side.unreadable[path])
    if path not in now.hashes:
        return FileState(path, MISSING)
    if path not in was.hashes:
        return FileState(path, EXTRA)
    return FileState(path, SAME if was.hashes[path] == now.hashes[path] else DIFFERS)
