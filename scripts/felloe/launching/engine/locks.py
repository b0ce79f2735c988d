"""One run in a folder at a time; the lock that a killed run left is removed."""

import contextlib
import json
import os
import platform
import shlex
import shutil
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, TextIO

from felloe.launching.complaints import LaunchError

HOME = ".snakemake"  # of the engine
NOTE = "felloe.run"
LEAVING = 30.0  # seconds in which an engine notices that its launcher is gone and ends its jobs
WRITING = 0.5  # seconds in which an owner has noted itself
REMOVED = "An earlier run in this folder was killed and left its lock. The lock is removed."
HELD: dict[Path, tuple[int, ...]] = {}  # folders of this launcher, each with its descriptors
ANOTHER = "Another run is at work in this folder{}. Wait until it has ended, or stop it."


@contextlib.contextmanager
def held(folder: Path, say: Callable[[str], None]) -> Iterator[tuple[int, ...]]:
    """
    Hold a working folder for one run of the engine.

    The run is the owner as long as a process of it has our note open and locked, which the system
    ends with the process, however it dies. The note itself says who that is.

    Parameters
    ----------
    folder : Path
    say : callable
        Prints a line.

    Yields
    ------
    tuple of int
        Descriptors for the engine to inherit, so that it is an owner too.

    Raises
    ------
    LaunchError
        If another run is at work in the folder.
    """
    if folder in HELD:  # by us: a run may call the engine several times
        yield HELD[folder]
        return
    try:
        (folder / HOME).mkdir(parents=True, exist_ok=True)
        note = open(folder / HOME / NOTE, "a+", encoding="utf-8")  # noqa: SIM115 (used below)
    except OSError:  # the engine has words for a folder that cannot be written in
        yield ()
        return
    with note:
        owned = take(note)
        earlier = read(note)
        if is_locked(folder) and owned and is_of_this_system(earlier):
            unlock(folder)
            say(REMOVED)
        foreign = is_locked(folder)  # by an engine that was started without the launcher
        if not foreign:
            write(note, owner())
        HELD[folder] = (note.fileno(),)
        try:
            yield HELD[folder]
        finally:
            del HELD[folder]
            if owned and not foreign:
                unlock(folder)  # the engine has ended; it may have been killed
                write(note, {})


def take(note: TextIO) -> bool:
    """Lock the note; return False where the system has no such locks."""
    try:
        import fcntl
    except ImportError:
        return False
    began = time.monotonic()
    while True:
        try:
            fcntl.flock(note, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            noted = read(note)
            leaving = LEAVING if noted else WRITING
            if is_at_work(noted) or time.monotonic() - began > leaving:
                raise LaunchError(ANOTHER.format(in_words(noted))) from None
            time.sleep(0.1)
        except OSError:  # a file system without locks
            return False
        else:
            return True


def owner() -> dict[str, Any]:
    """Return who we are."""
    return {"process": os.getpid(), "host": platform.node(), "boot": boot()}


def boot() -> str:
    """Return what tells one run of the system from another, where it says so."""
    with contextlib.suppress(OSError):
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="utf-8").strip()
    return ""


def is_of_this_system(noted: dict[str, Any]) -> bool:
    """Tell whether a noted owner ran where our locks are seen: on this host or its kernel."""
    if not noted:
        return False
    return noted.get("host") == platform.node() or noted.get("boot") == (boot() or None)


def is_at_work(noted: dict[str, Any]) -> bool:
    """Tell whether the noted launcher lives; one of another host is taken to."""
    if noted.get("boot") != boot() or noted.get("host") != platform.node():
        return bool(noted)
    try:
        os.kill(int(noted["process"]), 0)
    except (ProcessLookupError, KeyError, ValueError):
        return False
    except PermissionError:  # somebody else's
        return True
    return True


def in_words(noted: dict[str, Any]) -> str:
    """Return who a noted owner is, in brackets; nothing where it is not known."""
    if "process" not in noted:
        return ""
    there = "" if noted.get("host") == platform.node() else f" on {noted.get('host')}"
    return f" (process {noted['process']}{there})"


def read(note: TextIO) -> dict[str, Any]:
    """Return the noted owner; empty where none is noted."""
    note.seek(0)
    try:
        noted = json.loads(note.read() or "{}")
    except ValueError:  # killed while it was written
        return {}
    return noted if isinstance(noted, dict) else {}


def write(note: TextIO, noted: dict[str, Any]) -> None:
    """Note an owner, or with nothing that there is none."""
    with contextlib.suppress(OSError):  # a full disk; the lock holds without its words
        note.truncate(0)
        note.write(json.dumps(noted) if noted else "")
        note.flush()


def is_locked(folder: Path) -> bool:
    """Tell whether the engine's lock lies in a folder."""
    with contextlib.suppress(OSError):
        return any((folder / HOME / "locks").iterdir())
    return False


def unlock(folder: Path) -> None:
    """Do what the engine's `--unlock` does; marks of incomplete files stay."""
    shutil.rmtree(folder / HOME / "locks", ignore_errors=True)


def unlocking(root: Path, configfiles: Iterable[str], folder: Path) -> str:
    """Return the command that unlocks a folder, as it has to be typed where we are."""
    words = ["python3", os.path.relpath(root / "scripts" / "run"), "--unlock"]
    words += [word for path in configfiles for word in ("--configfile", os.path.relpath(path))]
    if folder.resolve() != root.resolve():
        words += ["--directory", os.path.relpath(folder)]
    return shlex.join(words)
