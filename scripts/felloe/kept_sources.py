"""What source files are, kept by the hash of their bytes, so that each is parsed once."""

import contextlib
import hashlib
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from felloe.ground.files.writing import write_text

MOST = 5000  # sources, some three megabytes


class Source(NamedTuple):
    """
    What one file is, as far as the code of a step goes.

    Attributes
    ----------
    imports : tuple of str
        Modules of this library, or names in them.
    reads : tuple of str
        Patterns of the templates that it fills, within the library.
    meaning, untold : str
        Hash of what it does; of that without the sentences in declarations of tables.
    """

    imports: tuple[str, ...]
    reads: tuple[str, ...]
    meaning: str
    untold: str


class KeptSources:
    """
    Sources by key, in a file that may be lost, broken or unwritable: then all is found out anew.

    Parameters
    ----------
    path : Path
        The file; where its folder is missing, nothing is kept.
    made_by : Path
        The module that finds them out; what another state of it, or another Python, kept counts
        for nothing.
    """

    def __init__(self, path: Path, made_by: Path) -> None:
        self.path = path
        made = made_by.read_bytes() + Path(__file__).read_bytes() + sys.version.encode()
        self.maker = hashlib.sha256(made).hexdigest()
        self.known: dict[str, Source] | None = None
        self.is_new = False

    def get(self, key: str, find: Callable[[], Source]) -> Source:
        """Return what is kept under a key, else find it out and keep it."""
        if self.known is None:
            self.known = self.read()
        if key not in self.known:
            self.known[key] = find()
            self.is_new = True
        return self.known[key]

    def read(self) -> dict[str, Source]:
        """Return what the file holds."""
        try:
            said = json.loads(self.path.read_text(encoding="utf-8"))
            rows = said["sources"] if said["maker"] == self.maker else {}
            if len(rows) > MOST:  # of many states of the code
                return {}
            return {
                key: Source(tuple(imports), tuple(reads), str(meaning), str(untold))
                for key, (imports, reads, meaning, untold) in rows.items()
            }
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return {}

    def write(self) -> None:
        """Write what is new, whole or not at all."""
        if not self.is_new or not self.path.parent.is_dir():
            return
        self.is_new = False
        said = json.dumps({"maker": self.maker, "sources": self.known}, sort_keys=True)
        with contextlib.suppress(OSError):
            write_text(self.path, said)
