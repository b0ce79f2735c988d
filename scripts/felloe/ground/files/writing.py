"""A file is either whole or not there."""

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

# for a file that has to have a day: its bytes may not depend on when it was made
UNDATED = datetime(2000, 1, 1, tzinfo=UTC)
ATTEMPT = re.compile(r"\.(.+)\.[0-9a-f]{8}\.part")  # of a file that is not whole yet


@contextmanager
def open_atomic(path: str | Path, mode: str = "w") -> Iterator[Any]:
    """
    Open a file that appears under its name only when it is complete and on the disk.

    Who may read it is up to the umask, as with any file that is opened for writing. What an earlier
    attempt that was killed left beside it is removed.

    Parameters
    ----------
    path : str or Path
    mode : {"w", "wb"}

    Yields
    ------
    file object
        Text files are UTF-8 with `\\n` line ends.
    """
    path = Path(path)
    path.parent.mkdir(parents=True, exist_ok=True)
    remove_attempts(path)
    temporary = path.with_name(f".{path.name}.{os.urandom(4).hex()}.part")
    handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    text: dict[str, Any] = {} if "b" in mode else {"encoding": "utf-8", "newline": ""}
    try:
        with os.fdopen(handle, mode, **text) as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(temporary, path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def remove_attempts(path: Path) -> None:
    """Remove what was written of a file by somebody who did not come to the end."""
    for name in os.listdir(path.parent):
        if (attempt := ATTEMPT.fullmatch(name)) and attempt[1] == path.name:
            (path.parent / name).unlink(missing_ok=True)


def write_text(path: str | Path, text: str) -> None:
    """Write text whole."""
    with open_atomic(path) as stream:
        stream.write(text)


def write_bytes(path: str | Path, data: bytes) -> None:
    """Write bytes whole."""
    with open_atomic(path, "wb") as stream:
        stream.write(data)
