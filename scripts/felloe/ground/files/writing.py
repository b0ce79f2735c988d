"""A file is either whole or not there."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any


@contextmanager
def open_atomic(path: str | Path, mode: str = "w") -> Iterator[Any]:
    """
    Open a file that appears under its name only when it is complete and on the disk.

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
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    text: dict[str, Any] = {} if "b" in mode else {"encoding": "utf-8", "newline": ""}
    try:
        with os.fdopen(handle, mode, **text) as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, 0o644)
        os.replace(temporary, path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise


def write_text(path: str | Path, text: str) -> None:
    """Write text whole."""
    with open_atomic(path) as stream:
        stream.write(text)


def write_bytes(path: str | Path, data: bytes) -> None:
    """Write bytes whole."""
    with open_atomic(path, "wb") as stream:
        stream.write(data)
