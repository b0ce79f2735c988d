"""Whether a run can write where it has to, asked before anything is started."""

import os
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

from felloe.errors import Fault

ENGINE = ".snakemake"  # where Snakemake keeps locks, notes on every result, and its own log
UNTOUCHED = ("conda", "singularity", "shadow", "archive")  # of the engine; large, and not in use
SHOWN = 3  # places that are named; whoever owns one of them mostly owns all
ELSEWHERE = "work in a folder of your own, with --directory"


def folder_faults(folder: str | Path, results: Iterable[str]) -> list[Fault]:
    """
    Return what keeps a run from writing into its working folder; nothing is written to find out.

    Parameters
    ----------
    folder : str or Path
        The working folder.
    results : iterable of str
        Folders under `results` into which this run will write: studies, and pairs of editions.

    Returns
    -------
    list of Fault
        The first `SHOWN`, each with who owns the place and what to do.
    """
    folder = Path(folder)
    engine, made = folder / ENGINE, folder / "results"
    if not (writable(folder) or (engine.exists() and made.exists())):
        return [locked(folder, "the working folder")]
    needed = [engine, made, *(made / name for name in sorted(set(results)))]
    found = list(islice((place for place in needed if is_blocked(place)), SHOWN))
    if not found:
        within = (place for root in needed if root != made for place in blocked_within(root))
        found = list(islice(within, SHOWN))
    return [fault_of(place, place.relative_to(folder).as_posix(), needed) for place in found]


def fault_of(place: Path, shown: str, needed: Iterable[Path]) -> Fault:
    """Return the fault of a place that keeps a run from writing."""
    if place in needed and not place.is_dir():
        problem = "is no folder, and a run needs one of this name"
        return Fault(shown, problem=problem, remedy=f"Move it away, or {ELSEWHERE}.")
    return locked(place, shown)


def blocked_within(root: Path) -> Iterator[Path]:
    """Yield every folder under `root` that cannot be written, and every file of somebody else."""
    for here, folders, files in os.walk(root):
        needed = sorted(set(folders) - set(UNTOUCHED if Path(here).name == ENGINE else ()))
        folders[:] = [name for name in needed if writable(Path(here, name))]
        yield from (Path(here, name) for name in needed if name not in folders)
        yield from (path for path in map(Path(here).joinpath, sorted(files)) if is_foreign(path))


def is_blocked(folder: Path) -> bool:
    """Tell whether a folder that is needed is something else, or cannot be written."""
    return os.path.lexists(folder) and not (folder.is_dir() and writable(folder))


def writable(folder: Path) -> bool:
    """Tell whether files can be made in a folder."""
    return os.access(folder, os.R_OK | os.W_OK | os.X_OK)


def is_foreign(path: Path) -> bool:
    """Tell whether a file is somebody else's, who alone may write it."""
    return not os.access(path, os.W_OK) and bool(owner_of(path))


def locked(path: Path, shown: str) -> Fault:
    """Return the fault of a place that cannot be written: whose it is, and what to do."""
    owner = owner_of(path)
    if owner:
        problem, way = f"belongs to {owner}, and you may not write there", f"Run as {owner}"
    else:
        problem = "cannot be written"
        way = "Make it writable (chmod -R u+w; is the disk read-only?)"
    return Fault(shown, problem=problem, remedy=f"{way}, or {ELSEWHERE}.")


def owner_of(path: Path) -> str:
    """Return the name of the owner of a place, empty where it is whoever runs this."""
    import pwd

    try:
        user = path.stat().st_uid
        return "" if user == os.geteuid() else f"'{pwd.getpwuid(user).pw_name}'"
    except OSError:
        return ""
    except KeyError:  # known on another machine that shares the disk
        return f"user {user}"
