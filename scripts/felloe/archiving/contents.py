"""What an archive holds: names in the zip, and where each content comes from."""

import os
import posixpath
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from felloe.archiving.crate import SETTINGS, archive_crate
from felloe.archiving.how_to import how_to
from felloe.archiving.wholeness import Kept, joined_names
from felloe.archiving.withheld import Rebuilding, is_open, rebuilding, tells_of_people
from felloe.archiving.zipping import Content, sha256_of_content
from felloe.errors import StudyError
from felloe.ground.files.hashes import sums_text
from felloe.ground.files.records import json_text, read_json
from felloe.launching.withheld import MARKER
from felloe.ledger import RESULTS, recorded_name
from felloe.report.origin.crate import CRATE
from felloe.settings import fed_back
from felloe.settings_merged import Settings
from felloe.validation.tables import FINDINGS
from felloe.versions import LOCK, PROJECT, code_files

BESIDE_CODE = (
    LOCK, "requirements.in", "pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE",
    "CITATION.cff", "config/README.md", "workflow/resources.csv",
    "workflow/profiles/slurm/requirements.lock",
    "workflow/profiles/slurm/slurm-submit", "workflow/profiles/slurm/slurm-status",
    "workflow/profiles/slurm/cancel-left",
)  # fmt: skip
PROGRAMS = ("scripts/run", *BESIDE_CODE[-3:])
HOW_TO, SUMS = "HOW-TO-RERUN.txt", "SHA256SUMS"
OF_PROJECT = (".", "config", "scripts", "workflow")  # its folders in an archive
DOWN = "work"  # stands for each folder that a study's path goes up

Members = dict[str, Content]


@dataclass(frozen=True)
class Request:
    """
    What is to be archived.

    Attributes
    ----------
    name : str
        Of the archive and of its one top folder.
    people : bool
        Whether people are in it.
    settings : dict
        Resolved in the working folder.
    kept : list of Kept
        The results, studies first.
    """

    name: str
    people: bool
    settings: Settings
    kept: Sequence[Kept]

    @property
    def studies(self) -> dict[str, str]:
        """The studies, each with its folder as the manifests name it."""
        return dict(self.kept[0].manifest["config"]["studies"])


def members_of(request: Request) -> Members:
    """Return every member of an archive, by its name below the top folder."""
    work = working_folder(request.studies.values())
    members: Members = {**code_members(), SETTINGS: settings_text(request).encode()}
    emptied = left_empty(request)
    data = {**data_members(request), **dict.fromkeys(emptied, b"")}
    results = result_members(request)
    for name, content in {**data, **results}.items():
        place = placed(work, name)
        if place in members:
            raise StudyError(
                f"{place} is a file of the project and of a study's folder too. "
                "Move the study's folder, name its new place in the settings and run them again."
            )
        members[place] = content
    plan = None
    if not request.people:
        held = {*map(recorded_name, data), *results}
        plan = rebuilding((entry for kept in request.kept for entry in kept.entries.values()), held)
        members[placed(work, MARKER)] = marker(plan)
    about = {name: study_record(name) for name in joined_names(request.kept)}
    went_in, came_out = ([placed(work, name) for name in names] for names in (data, results))
    crate = archive_crate(request.name, about, sorted(members), went_in, came_out)
    members[CRATE] = json_text(crate).encode()
    members[HOW_TO] = how_to(request, about, work, plan, emptied).encode()
    members[SUMS] = sums_of(members).encode()
    return members


def placed(work: str, name: str) -> str:
    """Return where a path that is relative to the working folder stands in the archive."""
    return posixpath.normpath(posixpath.join(work, name))


def sums_of(members: Members) -> str:
    """Return the sums of members, for `sha256sum -c`."""
    return sums_text({name: sha256_of_content(content) for name, content in members.items()})


def working_folder(places: Iterable[str]) -> str:
    """
    Return the folder to run in.

    It lies so far down that the studies' paths stay within the archive, and that none of their
    folders is one of the project's, whose files would be noted as unread ones of the study.
    """
    normal = [os.path.normpath(place) for place in places]
    depth = max(Path(place).parts.count("..") for place in normal)
    work = "/".join([DOWN] * depth) or "."
    while any(placed(work, place).split("/")[0] in OF_PROJECT for place in normal):
        depth += 1
        work = "/".join([DOWN] * depth)
    return work


def code_members() -> Members:
    """Return the files of the project that a run needs or a reader of it."""
    paths = [*code_files(), *(PROJECT / name for name in BESIDE_CODE)]
    return {path.relative_to(PROJECT).as_posix(): path for path in paths if path.is_file()}


def settings_text(request: Request) -> str:
    """Return the settings as a file of them, with the parts that change no result."""
    import yaml

    study = joined_names(request.kept)[0]
    settings = fed_back(request.settings, study)
    parts = request.settings["bootstrap"]["parts"]  # the ledger names the parts
    settings["bootstrap"] = {**settings["bootstrap"], "parts": parts}
    return yaml.safe_dump(settings, sort_keys=False, allow_unicode=True)


def data_members(request: Request) -> Members:
    """Return the files of the studies' folders that a run read and that may be passed on."""
    members: Members = {}
    for kept in request.kept:
        study = kept.manifest.get("study")
        if study is None:
            continue
        place = request.studies[study]
        for name in kept.manifest["inputs"]:
            if request.people or is_open(name):
                members[f"{place}/{name}"] = Path(request.settings["studies"][study], name)
    return members


def left_empty(request: Request) -> list[str]:
    """
    Return files in the studies' folders that no step reads and whose names stand in a result.

    Nobody has said what they hold, so they are not passed on; an empty file keeps the name.
    """
    if not request.people:
        return []
    found = []
    for kept in request.kept:
        if "study" in kept.manifest:
            names = {row["file"] for row in FINDINGS.read(f"{kept.home}/{FINDINGS.path}")}
            unread = sorted(names - set(kept.manifest["inputs"]) - {""})
            found += [f"{request.studies[kept.manifest['study']]}/{name}" for name in unread]
    return found


def result_members(request: Request) -> Members:
    """Return the results that may be passed on."""
    return {
        path: Path(path)
        for kept in request.kept
        for path in kept.files()
        if request.people or not tells_of_people(path.removeprefix(f"{kept.home}/"))
    }


def marker(plan: Rebuilding) -> bytes:
    """Return what the launcher has to know in a folder without people."""
    return json_text({"rules": plan.rules, "targets": plan.targets}).encode()


def study_record(study: str) -> Mapping[str, Any]:
    """Return what a study says of itself."""
    record: Mapping[str, Any] = read_json(f"{RESULTS}{study}/validation/study.json")
    return record
