"""What a folder of results says of the run that made it: its manifest and its ledger."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from felloe.audit.changes import BAD_LEDGER, BAD_MANIFEST, NO_FOLDER, NO_LEDGER, NO_MANIFEST
from felloe.audit.files import Hashed, hash_folder, is_exempt
from felloe.audit.records import flattened

MANIFEST, LEDGER = "manifest.json", "ledger"
UNSETTLING = ("study", "studies")  # where a study lies and what it is called is no choice
Problem = tuple[str, str]  # code of a note, and its detail


@dataclass(frozen=True)
class Job:
    """
    One job of a run as the ledger has it.

    Attributes
    ----------
    step : str
    code : str
        SHA-256 of the step's code.
    settings : dict of str to str
        Dotted keys to JSON; without those that only say where something lies.
    versions : dict of str to str
        Of packages.
    inputs, outputs : dict of str to str
        Path to SHA-256; the folder's own results relative to it, others as they stand.
    """

    step: str
    code: str = ""
    settings: Mapping[str, str] = field(default_factory=dict)
    versions: Mapping[str, str] = field(default_factory=dict)
    inputs: Mapping[str, str] = field(default_factory=dict)
    outputs: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Run:
    """
    A folder of results and what it says of its run.

    Attributes
    ----------
    folder : Path
    name : str
        The study, or `{older}--{newer}`.
    files : Hashed
        What is on the disk.
    manifest : dict
        Empty if there is none that can be read.
    settings : dict of str to str
        The manifest's, dotted keys to JSON.
    jobs : tuple of Job
    makers : dict of str to Job
        The job that made each file.
    problems : tuple of (str, str)
        What is not there, or can not be read: a note's code and detail.
    """

    folder: Path
    name: str
    files: Hashed
    manifest: Mapping[str, Any]
    settings: Mapping[str, str]
    jobs: tuple[Job, ...]
    makers: Mapping[str, Job]
    problems: tuple[Problem, ...]

    def recorded(self, path: str) -> set[str]:
        """Return the hash that ledger and manifest have of a file; two if they do not agree."""
        by_job = {self.makers[path].outputs[path]} if path in self.makers else set()
        by_manifest = {self.listed[path]} if path in self.listed else set()
        return by_job | by_manifest

    @cached_property
    def listed(self) -> dict[str, str]:
        """The hashes of the manifest's outputs, without what is exempt from sameness."""
        outputs = texts(self.manifest.get("outputs"))
        return {path: one for path, one in outputs.items() if not is_exempt(path)}


def read_run(folder: Path) -> Run:
    """Read what a folder of results says of its run; nothing that is missing or bad stops this."""
    problems: list[Problem] = []
    manifest = read_manifest(folder, problems)
    name = name_of(folder, manifest)
    jobs = tuple(read_ledger(folder, name, places_of(manifest), problems))
    return Run(
        folder=folder,
        name=name,
        files=hash_folder(folder),
        manifest=manifest,
        settings=flattened_settings(manifest.get("config"), name),
        jobs=jobs,
        makers={path: job for job in jobs for path in job.outputs},
        problems=tuple(problems) if folder.is_dir() else ((NO_FOLDER, ""),),
    )


def flattened_settings(config: Any, study: str) -> dict[str, str]:
    """
    Return the settings that determine results, dotted keys to JSON; {} of no settings.

    What is set for the study alone stands in the place of what is set for all.
    """
    settings = flattened(config) if isinstance(config, Mapping) else {}
    kept = {k: v for k, v in settings.items() if k.split(".")[0] not in UNSETTLING}
    return folded(kept, f"per_study.{study}.", "")


def folded(settings: Mapping[str, str], own: str, to: str) -> dict[str, str]:
    """Return settings in which those whose keys begin with `own` stand where `to` begins."""
    told = {f"{to}{k.removeprefix(own)}": v for k, v in settings.items() if k.startswith(own)}
    return {k: v for k, v in settings.items() if not k.startswith(own)} | told


def name_of(folder: Path, manifest: Mapping[str, Any]) -> str:
    """Return the name of the study, or of the editions, that a folder is about."""
    if "older" in manifest and "newer" in manifest:
        return f"{manifest['older']}--{manifest['newer']}"
    return str(manifest.get("study", folder.name))


def read_manifest(folder: Path, problems: list[Problem]) -> dict[str, Any]:
    """Return the manifest of a folder; {} and a problem if there is none that can be read."""
    try:
        manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    except FileNotFoundError:
        problems.append((NO_MANIFEST, ""))
        return {}
    except (OSError, ValueError, RecursionError):
        problems.append((BAD_MANIFEST, MANIFEST))
        return {}
    if not isinstance(manifest, dict):
        problems.append((BAD_MANIFEST, MANIFEST))
        return {}
    return manifest


def read_ledger(
    folder: Path, name: str, places: frozenset[str], problems: list[Problem]
) -> Iterator[Job]:
    """Yield the jobs of a folder's ledger, by their files' names."""
    files = sorted((folder / LEDGER).rglob("*.json"))
    if not files:
        problems.append((NO_LEDGER, ""))
    for file in files:
        shown = file.relative_to(folder).as_posix()
        try:
            entry = json.loads(file.read_text(encoding="utf-8"))
        except (OSError, ValueError, RecursionError):
            problems.append((BAD_LEDGER, shown))
            continue
        if isinstance(entry, dict) and "step" in entry:
            yield job_of(entry, name, places)
        else:
            problems.append((BAD_LEDGER, shown))


def places_of(manifest: Mapping[str, Any]) -> frozenset[str]:
    """Return where the studies of a run lie, as JSON."""
    config = manifest.get("config")
    studies = texts(config.get("studies")) if isinstance(config, Mapping) else {}
    return frozenset(json.dumps(place, ensure_ascii=False) for place in studies.values())


def is_place(value: str, places: frozenset[str]) -> bool:
    """Tell whether a setting of a step says only where something lies."""
    return value in places or value.startswith(('"/', '"results/'))


def job_of(entry: Mapping[str, Any], name: str, places: frozenset[str] = frozenset()) -> Job:
    """Return a job of the ledger with its paths relative to the folder of results."""
    settings = entry.get("settings")
    found = flattened(settings) if isinstance(settings, Mapping) and settings else {}
    return Job(
        step=str(entry["step"]),
        code=str(entry.get("code", "")),
        settings={
            key: one
            for key, one in folded(found, f"config.per_study.{name}.", "config.").items()
            if not is_place(one, places)
        },
        versions=texts(entry.get("versions")),
        inputs={own(path, name): one for path, one in texts(entry.get("inputs")).items()},
        outputs={own(path, name): one for path, one in texts(entry.get("outputs")).items()},
    )


def own(path: str, name: str) -> str:
    """Return a path relative to the results of a study or pair if it lies in them."""
    for start in (f"results/{name}/", f"results/editions/{name}/"):
        if path.startswith(start):
            return path.removeprefix(start)
    return path


def texts(value: Any) -> dict[str, str]:
    """Return a mapping of texts, {} for anything else."""
    if not isinstance(value, Mapping):
        return {}
    return {str(key): str(entry) for key, entry in value.items()}
