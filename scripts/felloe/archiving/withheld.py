"""What an archive without people leaves out, and what can be made anew without it."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from pathlib import PurePosixPath

from felloe.audit.keys import is_personal
from felloe.ledger import ENTRIES, RESULTS, Entry

# of a study's own files these tell of words and decisions; whatever is not named here stays out
OPEN_FILES = ("study.yaml", "terms.csv", "left_out.csv", "protocol.json", "ballot.xlsx")
OPEN_TABLES = ("names", "decisions", "labels")  # as .csv or .xlsx
CROSSWALK = "crosswalk"  # what the name of such a file begins with
OPEN_RECORDS = tuple(f"validation/{name}.json" for name in ("study", "stability", "protocol"))
FONTS = (".ttf", ".ttc", ".otf")
PEOPLE = "validation/"
WAITED_FOR = "study/sorts.csv"  # by whatever validates, though it may not read them


def tells_of_people(path: str) -> bool:
    """
    Tell whether a result is about single people.

    Parameters
    ----------
    path : str
        Relative to the study's results.
    """
    return is_personal(path) and path not in OPEN_RECORDS


def is_open(name: str) -> bool:
    """Tell whether a file of a study's folder may be passed on without people."""
    path = PurePosixPath(name)
    table = path.stem in OPEN_TABLES or path.stem.startswith(CROSSWALK)
    tables = table and path.suffix in (".csv", ".xlsx")
    return name in OPEN_FILES or tables or path.suffix.lower() in FONTS


@dataclass(frozen=True)
class Rebuilding:
    """
    What can be made anew from what an archive holds.

    Attributes
    ----------
    rules : list of str
        Steps that read nothing else, sorted.
    targets : list of str
        What they write, relative to the working folder, sorted.
    missing : dict of str to list of str
        Every other step, with what it reads that is not there, sorted.
    """

    rules: list[str]
    targets: list[str]
    missing: dict[str, list[str]]


def rebuilding(entries: Iterable[Entry], held: Collection[str]) -> Rebuilding:
    """
    Say which steps can be run again.

    Parameters
    ----------
    entries : iterable of Entry
        Of all results.
    held : collection of str
        Names under which the ledger records the files that are in the archive.

    Returns
    -------
    Rebuilding
        A step is among `rules` if every job of it reads nothing but what is held and writes
        nothing of the validation, which stands before the counts and waits for all sorts.
    """
    there = {*held, ENTRIES}
    missing: dict[str, set[str]] = {}
    written: dict[str, set[str]] = {}
    for entry in entries:
        missing.setdefault(entry.step, set()).update(set(entry.inputs) - there)
        written.setdefault(entry.step, set()).update(entry.outputs)
        if any(inside(path).startswith(PEOPLE) for path in entry.outputs):
            missing[entry.step] |= {WAITED_FOR} - there
    rules = sorted(step for step, lacking in missing.items() if not lacking)
    return Rebuilding(
        rules=rules,
        targets=sorted(path for step in rules for path in written[step]),
        missing={step: plainly(missing[step]) for step in sorted(set(missing) - set(rules))},
    )


def plainly(paths: Iterable[str]) -> list[str]:
    """Return paths without the study they are of, each once, sorted."""
    return sorted({inside(path) for path in paths})


def inside(path: str) -> str:
    """Return a path within a study's results, or within its folder as it stands in the ledger."""
    if not path.startswith(RESULTS):
        return path
    parts = path.split("/")
    return "/".join(parts[3 if parts[1] == "editions" else 2 :])
