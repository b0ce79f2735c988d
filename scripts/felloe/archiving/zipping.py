"""Files to be passed on, and a zip whose bytes depend on names and contents alone."""

import hashlib
import zipfile
from collections.abc import Mapping
from pathlib import Path

from felloe.ground.files.hashes import sha256_of
from felloe.ground.files.writing import open_atomic

Content = bytes | Path  # of a member: what it holds, or the file that holds it
DATE = (1980, 1, 1, 0, 0, 0)  # the first that the format knows
UNIX = 3
FILE, PROGRAM = 0o100644, 0o100755


def bytes_of(content: Content) -> bytes:
    """Return what a member holds."""
    return content if isinstance(content, bytes) else content.read_bytes()


def sha256_of_content(content: Content) -> str:
    """Return the SHA-256 of a member."""
    return hashlib.sha256(content).hexdigest() if isinstance(content, bytes) else sha256_of(content)


def write_zip(path: str | Path, members: Mapping[str, Content], programs: frozenset[str]) -> None:
    """
    Write a zip, whole or not at all.

    Members stand in the order of their names, with one date and fixed rights. They are stored and
    not packed: what a packer makes of them differs from one release of its library to the next.

    Parameters
    ----------
    path : str or Path
    members : dict
        Name to bytes, or to the file that holds them.
    programs : frozenset of str
        Names that may be executed.
    """
    with open_atomic(path, "wb") as stream, zipfile.ZipFile(stream, "w") as packed:
        for name in sorted(members):
            entry = zipfile.ZipInfo(name, DATE)
            entry.create_system = UNIX
            entry.compress_type = zipfile.ZIP_STORED
            entry.external_attr = (PROGRAM if name in programs else FILE) << 16
            packed.writestr(entry, bytes_of(members[name]))
