"""The settings of a run: the defaults, and what a user's file overrides."""

import os
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from felloe import study_places
from felloe.errors import StudyError
from felloe.ground.files.strict_yaml import plain_mapping, read_mapping
from felloe.settings_faults import setting_faults, study_faults
from felloe.settings_merged import Settings, merged, previewed

PROJECT = Path(__file__).resolve().parents[2]
DEFAULTS = PROJECT / "config" / "config.yaml"


def read_yaml(path: str | Path, shown: str = "") -> Settings:
    """
    Read a YAML file whose top level is a mapping.

    Parameters
    ----------
    path : str or Path
    shown : str, optional
        The path as the user knows it.

    Returns
    -------
    dict

    Raises
    ------
    StudyError
        If the file is missing or is not YAML of the kind that is read here (`strict_yaml`).
    """
    shown = shown or str(path)
    return plain_mapping(read_mapping(path, shown), shown)


def read_settings(paths: Iterable[str | Path]) -> Settings:
    """
    Read a user's files of settings, later ones over earlier ones.

    Raises
    ------
    StudyError
        With the faults of the first file that is no settings file.
    """
    settings: Settings = {}
    for path in paths:
        settings = merged(settings, read_yaml(path, os.path.relpath(path)))
    return settings


def files_shown(paths: Iterable[str | Path]) -> str:
    """Return a user's files of settings as messages name them; without any, the defaults."""
    return ", ".join(os.path.relpath(path) for path in paths) or "config/config.yaml"


def resolve(overrides: Mapping[str, Any], shown: str = "the settings") -> Settings:
    """
    Return the settings of this run.

    Parameters
    ----------
    overrides : dict
        What the user's own file names; may be empty.
    shown : str
        The file as the user knows it, for messages.

    Returns
    -------
    dict
        Complete and valid. Studies of the default settings are found from any working folder. Of a
        preview, with what it changes.

    Raises
    ------
    StudyError
        With every fault of the settings.
    """
    settings = merged(read_yaml(DEFAULTS, "config/config.yaml"), overrides)
    own = "studies" in overrides
    if own:
        settings["editions"] = overrides.get("editions") or []
    faults = list(setting_faults(settings, shown))
    if faults:
        raise StudyError(faults)
    settings["studies"] = study_places.found(settings["studies"], default_studies(), own)
    faults = list(study_faults(settings, shown))
    if faults:
        raise StudyError(faults)
    return previewed(settings) if settings["preview"] else settings


@cache
def default_studies() -> Mapping[str, str]:
    """Return the studies of the project's own settings, as they are named there."""
    return MappingProxyType(read_yaml(DEFAULTS, "config/config.yaml")["studies"])


def fed_back(settings: Mapping[str, Any], study: str) -> Settings:
    """Return the settings that concern a study, as a settings file could hold them."""
    return study_places.fed_back(settings, default_studies(), study)
