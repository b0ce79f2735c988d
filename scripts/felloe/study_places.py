"""Where the folders of studies lie, and how the settings name them wherever a run works."""

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

PROJECT = Path(__file__).resolve().parents[2]
START = "FELLOE_STUDIES_FROM"  # set by the launcher for runs in a folder of their own


def start() -> str:
    """Return the folder from which studies are named, relative to the working folder."""
    return os.environ.get(START, "")


def as_typed(path: str) -> str:
    """Return the path of a file, relative to the working folder, as settings would name it."""
    if not start() or not os.path.isdir(os.path.dirname(path)):
        return path
    return Path(os.path.relpath(path, start())).as_posix()


def found(studies: Mapping[str, str], default: Mapping[str, str], own: bool) -> dict[str, str]:
    """
    Return where each study lies, relative to the working folder.

    Parameters
    ----------
    studies : mapping of str to str
        Folders as the settings name them.
    default : mapping of str to str
        Those of the project's own settings; they are found from any working folder.
    own : bool
        Whether the settings name studies of their own. A folder that is named as in the default
        settings is then the one in the working folder, if there is one.

    Returns
    -------
    dict of str to str
    """
    places = {}
    for name, folder in studies.items():
        place = os.path.normpath(os.path.join(start(), folder))
        if default.get(name) == folder and not (own and os.path.isdir(place)):
            place = os.path.normpath(os.path.join(os.path.relpath(PROJECT), folder))
        places[name] = place
    return places


def named(places: Mapping[str, str], default: Mapping[str, str]) -> dict[str, str]:
    """Return each study's folder as settings can name it: `found` undone."""
    names = {}
    for name, place in places.items():
        folder = default.get(name)
        if folder is None or os.path.realpath(place) != os.path.realpath(PROJECT / folder):
            folder = Path(os.path.relpath(place, start() or os.curdir)).as_posix()
        names[name] = folder
    return names


def joined_studies(study: str, editions: Sequence[Sequence[str]]) -> list[str]:
    """Return a study and all that lists of editions join to it, directly or not, sorted."""
    joined = {study}
    while True:
        more = joined.union(*(one for one in editions if not joined.isdisjoint(one)))
        if more == joined:
            return sorted(joined)
        joined = more


def fed_back(settings: Mapping[str, Any], default: Mapping[str, str], study: str) -> dict[str, Any]:
    """
    Return the settings that concern a study, as a settings file could hold them.

    Parameters
    ----------
    settings : dict
        Resolved.
    default : mapping of str to str
        Studies of the project's own settings.
    study : str

    Returns
    -------
    dict
        With the study and those that lists of editions join to it. The number of parts in which
        replicates are drawn changes no result and is left out, and so is what a preview would
        change, unless this is one, and an empty `per_study` or `crosswalks`.
    """
    joined = joined_studies(study, settings["editions"])
    studies = {name: place for name, place in settings["studies"].items() if name in joined}
    lists = [list(one) for one in settings["editions"] if one[0] in joined]
    kept = {key: value for key, value in settings.items() if key not in ("studies", "editions")}
    if not settings["preview"]:
        del kept["quick"]
    kept["bootstrap"] = {k: v for k, v in settings["bootstrap"].items() if k != "parts"}
    for key in ("per_study", "crosswalks"):
        own = {name: what for name, what in kept.pop(key, {}).items() if name in joined}
        if own:
            kept[key] = own
    return {"studies": named(studies, default), "editions": lists, **kept}
