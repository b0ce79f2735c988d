"""Whether results are all there, as they were written, and of these settings and this code."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from felloe import study_places
from felloe.audit.runs import MANIFEST, read_manifest
from felloe.errors import StudyError, shortened
from felloe.ground.edition_lists import folder_of, homes_of
from felloe.ground.files.hashes import sha256_of
from felloe.ledger import Entry, entries_of
from felloe.settings import fed_back
from felloe.settings_merged import Settings
from felloe.validation.intake.folder import KNOWN_FILES
from felloe.versions import project_identity

SUMS = "SHA256SUMS"
SHOWN = 20  # faults of a screen
NEEDED = ("project", "config", "inputs", "outputs", "graph")


@dataclass(frozen=True)
class Kept:
    """
    Results that are whole.

    Attributes
    ----------
    home : str
        `results/{study}`, or the folder of two editions.
    manifest : dict
    entries : dict of str to Entry
        The ledger beside them, by the path within it.
    """

    home: str
    manifest: dict[str, Any]
    entries: dict[str, Entry]

    def files(self) -> list[str]:
        """Return the lasting files, relative to the working folder; none tells of a machine."""
        names = [*self.manifest["outputs"], MANIFEST, SUMS]
        names += [f"ledger/{name}.json" for name in self.entries]
        return sorted(f"{self.home}/{name}" for name in names)


def kept_results(
    settings: Settings, study: str, remedy: str, what: str = "An archive"
) -> list[Kept]:
    """
    Return the results of a study and of all that editions join to it.

    Parameters
    ----------
    settings : dict
        Resolved in the working folder.
    study : str
    remedy : str
        The command that makes the results.
    what : str
        What is to be made of them.

    Returns
    -------
    list of Kept
        Studies, then pairs of editions.

    Raises
    ------
    StudyError
        Naming what is missing, changed, or of other settings, code or inputs.
    """
    identity = project_identity()
    joined = study_places.joined_studies(study, settings["editions"])
    edited = [one for one in settings["editions"] if one[0] in joined]
    homes = {f"results/{name}": name for name in joined}
    homes |= {f"results/editions/{folder_of(home)}": home[-1] for home in homes_of(edited)}
    found, faults = [], []
    for home, name in homes.items():
        manifest = manifest_of(home)
        if manifest is None:
            faults.append(f"{home}/{MANIFEST} is missing or cannot be read.")
            continue
        kept = Kept(home, manifest, entries_of(home))
        faults += strange(kept, fed_back(settings, name), identity)
        faults += [*changed_results(kept), *torn_ledger(kept)]
        if home == f"results/{name}":
            faults += changed_inputs(kept, settings["studies"][name])
        found.append(kept)
    if faults:
        more = [f"... and {len(faults) - SHOWN} more."] if len(faults) > SHOWN else []
        last = f"{what} is made of whole results alone. First call: {remedy}"
        raise StudyError("\n".join([*faults[:SHOWN], *more, last]))
    return found


def manifest_of(home: str) -> dict[str, Any] | None:
    """Return a manifest; None if there is none, or none that can be read."""
    manifest = read_manifest(Path(home), [])
    needed = NEEDED if "study" in manifest else [key for key in NEEDED if key != "inputs"]
    return manifest if all(isinstance(manifest.get(key), dict) for key in needed) else None


def strange(kept: Kept, config: Mapping[str, Any], identity: Mapping[str, str]) -> Iterator[str]:
    """Yield what a manifest says of settings or code that are not the ones of now."""
    manifest = f"{kept.home}/{MANIFEST}"
    if kept.manifest["config"] != config:
        yield f"{manifest} is of other settings."
    if any(kept.manifest["project"].get(name) != value for name, value in identity.items()):
        yield f"{manifest} is of another state of the code or of its lock."


def changed_results(kept: Kept) -> Iterator[str]:
    """Yield every result that is missing or not what its manifest says."""
    for name, value in kept.manifest["outputs"].items():
        path = Path(kept.home, name)
        if not path.is_file():
            yield f"{path.as_posix()} is missing."
        elif sha256_of(path) != value:
            yield f"{path.as_posix()} is not what {kept.home}/{MANIFEST} says."


def torn_ledger(kept: Kept) -> Iterator[str]:
    """Yield every step without an entry, and a manifest or sums that are not as they were made."""
    steps = {entry.step for entry in kept.entries.values()}
    for step in sorted(set(kept.manifest["graph"]) - steps):
        yield f"{kept.home}/ledger has no entry for {step}."
    written = {
        path: value for each in kept.entries.values() for path, value in each.outputs.items()
    }
    for path in (f"{kept.home}/{MANIFEST}", f"{kept.home}/{SUMS}"):
        if not Path(path).is_file() or sha256_of(path) != written.get(path):
            yield f"{path} is not what its step wrote."


def changed_inputs(kept: Kept, folder: str) -> Iterator[str]:
    """Yield every file of a study's folder that is not what the manifest says."""
    recorded = kept.manifest["inputs"]
    known = {*KNOWN_FILES, *recorded}
    there = {name for name in known if Path(folder, name).is_file()}
    for name in sorted(there | set(recorded)):
        path = Path(folder, name)
        if name not in there:
            yield f"{shortened(path, 200)} is missing."
        elif sha256_of(path) != recorded.get(name):
            yield f"{shortened(path, 200)} was changed or added since the study ran."


def joined_names(kept: Sequence[Kept]) -> list[str]:
    """Return the studies among results."""
    return [each.manifest["study"] for each in kept if "study" in each.manifest]
