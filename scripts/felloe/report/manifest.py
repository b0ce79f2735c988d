"""The manifest: what went in, what came out, with which settings and versions."""

import hashlib
import platform
from collections.abc import Iterable, Mapping
from importlib import metadata
from pathlib import Path
from typing import Any

from felloe import __version__
from felloe.ground.files.records import write_json

# The packages that numbers, drawings and documents come from.
PACKAGES = (
    "numpy",
    "scipy",
    "pandas",
    "scikit-bio",
    "matplotlib",
    "jinja2",
    "openpyxl",
    "xlsxwriter",
    "rdflib",
    "pyyaml",
    "jsonschema",
    "snakemake",
)
BLOCK = 1 << 20


def sha256_of(path: str | Path) -> str:
    """Return the SHA-256 of a file as hexadecimal digits."""
    digest = hashlib.sha256()
    with open(path, "rb") as stream:
        while block := stream.read(BLOCK):
            digest.update(block)
    return digest.hexdigest()


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


def package_versions() -> dict[str, str]:
    """Return the version of Python and of every package that results come from."""
    versions = {"python": platform.python_version()}
    for name in PACKAGES:
        versions[name] = metadata.version(name)
    return versions


def settings_of_study(settings: Mapping[str, Any], study: str) -> dict[str, Any]:
    """
    Return the settings that concern a study, without the folders of this machine.

    Parameters
    ----------
    settings : dict
        The resolved settings.
    study : str

    Returns
    -------
    dict
        `study` in place of `studies`, and only the pairs of editions that name it.
    """
    kept = {key: value for key, value in settings.items() if key not in ("studies", "editions")}
    # the number of jobs changes no result, so it is no part of what a result is made from
    if "bootstrap" in kept:
        kept["bootstrap"] = {k: v for k, v in kept["bootstrap"].items() if k != "parts"}
    pairs = [list(pair) for pair in settings["editions"] if study in pair]
    return {"study": study, "editions": pairs, **kept}


def write_manifest(
    path: str | Path,
    *,
    study: str,
    settings: Mapping[str, Any],
    inputs: Mapping[str, str],
    outputs: Mapping[str, str],
    pooling: Mapping[str, Any],
) -> None:
    """
    Write the manifest of a study.

    Parameters
    ----------
    path : str or Path
    study : str
    settings : dict
        The resolved settings.
    inputs, outputs : dict of str to str
        Relative path to SHA-256.
    pooling : dict
        What was asked and what came of it.
    """
    record = {
        "project": {"name": "felloe", "version": __version__},
        "study": study,
        "seed": settings["seed"],
        "pooling": pooling,
        "config": settings_of_study(settings, study),
        "packages": package_versions(),
        "inputs": inputs,
        "outputs": outputs,
    }
    write_json(path, record)
