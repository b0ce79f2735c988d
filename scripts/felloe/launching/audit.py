"""What the launcher asks of the audit, in the environment's Python: compare, say, write a page."""

import json
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).resolve().parents[2]))

from felloe.audit.comparison import compare_folders, compare_results, folders_of
from felloe.audit.page import page_of_runs
from felloe.audit.quick import Present, held_against_manifest
from felloe.audit.quick_words import screen_of_quick
from felloe.audit.runs import flattened_settings
from felloe.audit.screen import screen_of_runs, screen_of_verify
from felloe.errors import StudyError, unknown_study
from felloe.ground.edition_lists import EDITIONS, folder_of, homes_of
from felloe.ground.files.hashes import hashes_of
from felloe.ground.files.writing import write_text
from felloe.settings import fed_back, read_settings, resolve
from felloe.validation.intake.folder import KNOWN_FILES
from felloe.versions import package_versions, project_identity


def main(asked: Mapping[str, Any]) -> int:
    """Do what is asked; return 0 if there is no difference, 1 if there is one or a fault."""
    try:
        return {"verify": verify, "quick": quick, "runs": runs, "study": study}[asked["what"]](
            asked
        )
    except StudyError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        sys.stderr.write(f"{place}{error.strerror or error}.\n")
        return 1


def verify(asked: Mapping[str, Any]) -> int:
    """Compare the results with what was recomputed."""
    was, now = Path(asked["was"]), Path(asked["now"])
    names = sorted(folders_of(now) - {EDITIONS})
    pairs = [f"{EDITIONS}/{name}" for name in sorted(folders_of(now / EDITIONS))]
    if asked["study"]:
        names, pairs = [asked["study"]], []
    found = [compare_folders(was / name, now / name) for name in [*names, *pairs]]
    print(screen_of_verify(found))
    return int(not all(one.whole for one in found))


def quick(asked: Mapping[str, Any]) -> int:
    """Hold the results against their manifests by hashes alone."""
    settings = resolve(read_settings(asked["configfiles"]))
    identity = project_identity()
    found = {}
    for name in [asked["study"]] if asked["study"] else settings["studies"]:
        source = Path(settings["studies"][name])
        known = [*KNOWN_FILES, *settings["wheel"]["fonts"]]
        files = [source / each for each in known if (source / each).is_file()]
        config = flattened_settings(fed_back(settings, name), name)
        present = Present(hashes_of(files, source), config, identity, package_versions())
        found[name] = held_against_manifest(Path(asked["was"]) / name, present)
    for home in homes_of(settings["editions"]) if not asked["study"] else []:
        name = folder_of(home)
        config = flattened_settings(fed_back(settings, home[-1]), name)
        present = Present(None, config, identity, package_versions())
        found[name] = held_against_manifest(Path(asked["was"]) / EDITIONS / name, present)
    print(screen_of_quick(found))
    return int(any(found.values()))


def runs(asked: Mapping[str, Any]) -> int:
    """Put two folders of results side by side; write the page."""
    was, now = Path(asked["was"]), Path(asked["now"])
    if asked["configured"]:
        settings = resolve(read_settings(asked["configfiles"]))
        homes = [f"{EDITIONS}/{folder_of(home)}" for home in homes_of(settings["editions"])]
        names = [*settings["studies"], *homes]
        found = tuple(compare_folders(was / name, now / name) for name in names)
    elif (was / "manifest.json").is_file():
        found = (compare_folders(was, now),)
    else:
        found = compare_results(was, now)
    sides = asked["sides"]
    print(screen_of_runs(found, (sides[0], sides[1])))
    write_text(asked["page"], page_of_runs(found, (sides[0], sides[1])))
    print(f"\nSide by side, with every table: {os.path.relpath(asked['page'])}")
    return int(not all(one.same for one in found))


def study(asked: Mapping[str, Any]) -> int:
    """Return 2, having said so, for a name that is no study of the settings."""
    studies = resolve(read_settings(asked["configfiles"]))["studies"]
    name = asked["study"]
    if name and name not in studies:
        sys.stderr.write(f"{unknown_study(name, studies)}\n")
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(json.loads(sys.argv[1])))
