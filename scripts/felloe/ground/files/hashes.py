"""Files by their content: SHA-256."""

import hashlib
from collections.abc import Iterable, Mapping
from pathlib import Path

BLOCK = 1 << 20


def sha256_of(path: str | Path) -> str:
    """Return the SHA-256 of a file as hexadecimal digits."""
    digest = hashlib.sha256()
    with open(path, "rb") as stream:
        while block := stream.read(BLOCK):
            digest.update(block)
    return digest.hexdigest()


def sums_text(sums: Mapping[str, str]) -> str:
    """Return SHA-256 by path as the lines that `sha256sum -c` reads, sorted by path."""
    return "".join(f"{sums[path]}  {path}\n" for path in sorted(sums))


def hashes_of(paths: Iterable[str | Path], folder: str | Path) -> dict[str, str]:
    """
    Hash files under their paths relative to a folder.

    Parameters
    ----------
    paths : iterable of str or Path
        A folder among them stands for all files in it.
    folder : str or Path

    Returns
    -------
    dict of str to str
        Sorted by path, with `/` between its parts.

    Raises
    ------
    ValueError
        If a file lies outside the folder.
    """
    files: list[Path] = []
    for path in map(Path, paths):
        files.extend(each for each in path.rglob("*") if each.is_file())
        files.extend([] if path.is_dir() else [path])
    named = {path.relative_to(folder).as_posix(): path for path in files}
    return {name: sha256_of(named[name]) for name in sorted(named)}
