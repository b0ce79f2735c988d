"""A zip whose bytes depend on names and contents alone."""

import zipfile
from collections.abc import Mapping
from pathlib import Path

from felloe.ground.files.writing import open_atomic

Content = bytes | Path
DATE = (1980, 1, 1, 0, 0, 0)  # the first that the format knows
UNIX = 3
FILE, PROGRAM = 0o100644, 0o100755


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
            content = members[name]
            entry = zipfile.ZipInfo(name, DATE)
            entry.create_system = UNIX
            entry.compress_type = zipfile.ZIP_STORED
            entry.external_attr = (PROGRAM if name in programs else FILE) << 16
            packed.writestr(entry, content if isinstance(content, bytes) else content.read_bytes())
