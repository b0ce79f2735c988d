"""Results and archives that still hold somebody who withdrew."""

import json
import zipfile
from collections.abc import Collection, Iterator
from pathlib import Path, PurePosixPath

from felloe.collecting.gathering.cutting import without
from felloe.ground.edition_lists import EDITIONS
from felloe.validation.tables import PICKS, REGISTER

RESULTS = ("results", "previews/results", "tries/*/results")
MANIFEST = "manifest.json"
ZIPS = ("archives/*.zip", "shared/*.zip", "*.zip")
CHART = "report/chart.json"  # it differs as soon as a sort more or less was charted


def results_with(study: str, person: str) -> list[Path]:
    """
    Return the results of the working folder that were made with somebody's answers.

    Parameters
    ----------
    study, person : str

    Returns
    -------
    list of Path
        Folders of the study and of comparisons that it is part of, sorted.
    """
    found = []
    for pattern in RESULTS:
        for results in sorted(Path().glob(pattern)):
            if not names_in_folder(results / study, person):
                continue
            found.append(results / study)
            told = sorted((results / EDITIONS).glob("*--*"))
            found += [each for each in told if is_of(each, study)]
    return found


def is_of(folder: Path, study: str) -> bool:
    """Return whether a comparison has a study on one of its sides, or a timeline goes by it."""
    if folder.name.startswith(f"{study}--") or folder.name.endswith(f"--{study}"):
        return True
    try:
        manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        return study in manifest.get("timeline", ())
    except (OSError, ValueError, AttributeError, TypeError):
        return False


def names_in_folder(home: Path, person: str) -> bool:
    """Return whether what was validated for some results names somebody."""
    paths = [home / REGISTER.path, home / PICKS.path]
    return any(path.is_file() and names(path.read_bytes(), person) for path in paths)


def names(data: bytes, person: str) -> bool:
    """Return whether a table has a row of somebody."""
    try:
        cut = without(data, person)
    except ValueError:
        return False
    return cut is not None and cut.rows > 0


def zips_with(study: str, folder: Path, person: str) -> Iterator[tuple[Path, bool]]:
    """
    Yield the zips that hold somebody, and whether they are named in them.

    Parameters
    ----------
    study : str
    folder : Path
        The study's.
    person : str

    Yields
    ------
    path : Path
    named : bool
        False: results were made with their answers, and do not name them.
    """
    there = {path for pattern in ZIPS for place in (Path(), folder) for path in place.glob(pattern)}
    now = Path("results", study)
    clean = None if names_in_folder(now, person) else now / CHART
    for path in sorted(there):
        try:
            with zipfile.ZipFile(path) as archive:
                if in_zip(archive, person, ((RESULTS[0], study), (folder.name,))):
                    yield path, True
                elif made_before(archive, study, clean):
                    yield path, False
        except (OSError, zipfile.BadZipFile):
            continue


def in_zip(archive: zipfile.ZipFile, person: str, homes: Collection[tuple[str, ...]]) -> bool:
    """Return whether a table of a study in a zip has a row of somebody; ids recur among studies."""
    return any(
        names(archive.read(name), person)
        for name in archive.namelist()
        if name.endswith(".csv") and any(lies_in(name, home) for home in homes)
    )


def lies_in(name: str, home: tuple[str, ...]) -> bool:
    """Return whether a member lies in a folder, wherever in the zip that folder is."""
    parts = PurePosixPath(name).parts[:-1]
    return any(parts[at : at + len(home)] == home for at in range(len(parts)))


def made_before(archive: zipfile.ZipFile, study: str, clean: Path | None) -> bool:
    """Return whether a zip holds results of a study other than the present ones without them."""
    own = PurePosixPath("results", study, CHART).parts
    for name in archive.namelist():
        if PurePosixPath(name).parts[-len(own) :] == own:
            return clean is None or not clean.is_file() or archive.read(name) != clean.read_bytes()
    return False


def shared_folders(study: str) -> list[Path]:
    """Return the folder that was circulated, if there is one."""
    path = Path("shared", study)
    return [path] if path.is_dir() else []
