"""
The ledger: what each job read and wrote, as hashes.

An entry stands beside the results, `results/{study}/ledger/<step>.json`, under the name that the
job's log has. It says nothing of time, place or machine. With it a file can be held against what
its step wrote, without trusting the file's age.
"""

import hashlib
import json
import shutil
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from felloe.errors import StudyError
from felloe.ground.files.hashes import sha256_of
from felloe.ground.files.writing import write_text

RESULTS = "results/"
OWN = "study/"  # stands for the folder of a study, wherever that is
# `code` has a field of its own; the others tell of the machine
UNRECORDED_PARAMS = ("code", "source", "settings_files")
READS_LEDGER = "reads_ledger"  # a parameter of steps that read the entries beside their results
ENTRIES = "ledger/"  # stands for these among a step's inputs
UNRECORDED_INPUTS = ("validated",)  # waited for, and never read
UNRECORDED_OUTPUTS = ("environment.json",)  # tells of the machine
REMEDY = "Call python3 scripts/run: what is not as it was written is made anew."


@dataclass(frozen=True)
class Entry:
    """
    What one job was made of.

    Attributes
    ----------
    step : str
    code : str
        As `provenance.code_of` gives it.
    settings : dict
        The rule's parameters.
    versions : dict of str to str
        Of Python and of the packages.
    inputs, outputs : dict of str to str
        Path to SHA-256; results are relative to the working folder, a study's own files stand
        under `study/`.
    """

    step: str
    code: str
    settings: dict[str, Any]
    versions: dict[str, str]
    inputs: dict[str, str]
    outputs: dict[str, str]


def entry_path(log: str) -> str:
    """Return the path of a job's entry, from that of its log."""
    folder, _, name = log.rpartition("/logs/")
    return f"{folder}/ledger/{PurePosixPath(name).with_suffix('.json')}"


def step_of(log: str) -> str:
    """Return a job's step, from its log: `logs/<step>.log` or `logs/<step>/<part>.log`."""
    return PurePosixPath(log.rpartition("/logs/")[2]).parts[0].removesuffix(".log")


def recorded_name(path: str) -> str:
    """Return the name under which a file is recorded."""
    return path if path.startswith(RESULTS) else f"{OWN}{PurePosixPath(path).name}"


def recorded_settings(params: Mapping[str, Any]) -> dict[str, Any]:
    """Return a rule's parameters as they are recorded, without what tells of the machine."""
    kept = {name: value for name, value in params.items() if name not in UNRECORDED_PARAMS}
    plain: dict[str, Any] = json.loads(json.dumps(kept, default=str))
    return plain


def recorded_paths(named: Mapping[str, Any], without: Iterable[str]) -> list[str]:
    """Return the paths among a rule's named inputs or outputs that are recorded."""
    left_out = set(without)
    paths: list[str] = []
    for name, value in named.items():
        if name not in left_out:
            paths.extend([value] if isinstance(value, str) else map(str, value or ()))
    return [path for path in paths if PurePosixPath(path).name not in UNRECORDED_OUTPUTS]


def hashed(paths: Iterable[str]) -> dict[str, str]:
    """Return the hash of each path under the name it is recorded by, sorted."""
    found = {recorded_name(path): sha256_of(path) for path in paths}
    return dict(sorted(found.items()))


def read_entry(path: str | Path) -> Entry | None:
    """Return an entry; None if there is none, or none that can be read."""
    try:
        entry = Entry(**json.loads(Path(path).read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        return None
    texts = [entry.step, entry.code]
    for mapping in (entry.settings, entry.versions, entry.inputs, entry.outputs):
        if not isinstance(mapping, dict):
            return None
    for mapping in (entry.versions, entry.inputs, entry.outputs):
        texts += mapping.values()
    return entry if all(isinstance(text, str) for text in texts) else None


def remove_entry(path: str | Path) -> None:
    """Take an entry away, and whatever else lies in its place."""
    if Path(path).is_dir():
        shutil.rmtree(path)
    Path(path).unlink(missing_ok=True)


def write_entry(path: str | Path, entry: Entry) -> None:
    """Write an entry whole."""
    text = json.dumps(asdict(entry), indent=1, ensure_ascii=False, sort_keys=True)
    write_text(path, text + "\n")


def entries_of(folder: str | Path) -> dict[str, Entry]:
    """
    Read the entries beside some results.

    Parameters
    ----------
    folder : str or Path
        `results/{study}`, or the folder of two editions.

    Returns
    -------
    dict of str to Entry
        By the entry's path within `ledger/`, without its ending, sorted.
    """
    home = Path(folder) / "ledger"
    found = {}
    for path in sorted(home.rglob("*.json")):
        entry = read_entry(path)
        if entry is not None:
            found[path.relative_to(home).with_suffix("").as_posix()] = entry
    return found


def entries_hash(own: str) -> str:
    """
    Hash the entries beside an entry, without that one.

    Parameters
    ----------
    own : str
        Path of an entry.

    Returns
    -------
    str
        SHA-256 as hexadecimal digits.
    """
    home = Path(own).parent
    paths = (path for path in sorted(home.rglob("*.json")) if path != Path(own) and path.is_file())
    lines = [f"{sha256_of(path)}  {path.relative_to(home).as_posix()}\n" for path in paths]
    return hashlib.sha256("".join(lines).encode()).hexdigest()


def home_of(path: str) -> str:
    """Return the folder beside whose results a result is recorded."""
    parts = path.split("/")
    return "/".join(parts[: 3 if parts[1] == "editions" else 2])


def check_as_written(inputs: Mapping[str, str]) -> None:
    """
    Refuse results that are not what their step wrote.

    Parameters
    ----------
    inputs : dict of str to str
        Recorded name to SHA-256, of what is about to be read.

    Raises
    ------
    StudyError
        Naming every such file.
    """
    results = {name: value for name, value in inputs.items() if name.startswith(RESULTS)}
    written: dict[str, set[str]] = {}
    for home in {home_of(name) for name in results}:
        for entry in entries_of(home).values():
            for path, value in entry.outputs.items():
                written.setdefault(path, set()).add(value)
    wrong = [
        f"{name} is not what its step wrote: it was changed since."
        if name in written
        else f"{name} is recorded by no step."
        for name, value in results.items()
        if value not in written.get(name, ())
    ]
    if wrong:
        raise StudyError("\n".join([*wrong, REMEDY]))


def check_unchanged(before: Mapping[str, str], after: Mapping[str, str]) -> None:
    """Refuse what was read if it is another after reading than before."""
    changed = [name for name in before if after.get(name) != before[name]]
    if changed:
        raise StudyError(
            f"{', '.join(changed)} changed while the step was reading. Call the same command again."
        )
