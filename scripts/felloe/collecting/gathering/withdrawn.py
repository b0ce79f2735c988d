"""Who withdrew: kept as hashes, so that a late return is told and no list of ids remains."""

import hashlib
from pathlib import Path

from felloe.ground.files.writing import write_text

FOLDER = "gathered"  # in a study's folder: copies of tables, and what is known of them
FILE = "withdrawn.txt"


def hash_of(study: str, participant: str) -> str:
    """Return what stands for somebody who withdrew."""
    return hashlib.sha256(f"{study}\t{participant}\n".encode()).hexdigest()


def read_withdrawn(folder: Path) -> frozenset[str]:
    """Return the hashes of those who withdrew from the study of a folder."""
    path = folder / FOLDER / FILE
    if not path.is_file():
        return frozenset()
    return frozenset(path.read_text(encoding="ascii", errors="replace").split())


def add_withdrawn(folder: Path, study: str, participant: str) -> None:
    """Remember that somebody withdrew."""
    there = read_withdrawn(folder)
    own = hash_of(study, participant)
    if own not in there:
        write_text(folder / FOLDER / FILE, "".join(f"{each}\n" for each in sorted({*there, own})))
