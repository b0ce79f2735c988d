"""Who uses an environment, and who makes one: locks that the system ends with their process."""

import contextlib
import errno
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TextIO

from felloe.launching.complaints import LaunchError

CLAIM = "in-use"  # in the environment's folder


class Claim(contextlib.ExitStack):
    """What holds an environment; `refused` where somebody else does."""

    refused = False


def claimed(home: Path, shared: bool = False) -> Claim:
    """Claim an environment: shared for using it, else for making it anew."""
    claim = Claim()
    with contextlib.suppress(OSError, ImportError):  # not there, or no locks here: go on
        import fcntl

        stream = claim.enter_context(opened(home / CLAIM))
        try:
            fcntl.flock(stream, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
        except BlockingIOError:
            claim.refused = True
    return claim


def opened(path: Path) -> TextIO:
    """Open a file to be locked; make it where there is none and we may."""
    try:
        return open(path, "a", encoding="utf-8")
    except PermissionError:
        return open(path, encoding="utf-8")
    except OSError as error:
        if error.errno != errno.EROFS:
            raise
        return open(path, encoding="utf-8")


@contextlib.contextmanager
def alone(root: Path, say: Callable[[str], None]) -> Iterator[None]:
    """Wait until nobody else makes an environment here."""
    try:
        lock = open(root / ".venv.lock", "w")  # noqa: SIM115 (used as one below)
    except OSError as error:
        raise LaunchError(
            f"Cannot write in the project's folder to make its environment: {error.strerror}."
        ) from error
    with lock:
        with contextlib.suppress(OSError, ImportError):  # no locks on this system: go on
            import fcntl

            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                say("Another run is making the environment; this one waits for it.")
                fcntl.flock(lock, fcntl.LOCK_EX)
        yield
