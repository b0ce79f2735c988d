"""The settings of a run: the defaults, what a user's file overrides, and what is wrong with it."""

import copy
import os
from pathlib import Path

import yaml

from felloe.errors import Fault, StudyError, nearest

PROJECT = Path(__file__).resolve().parents[2]
DEFAULTS = PROJECT / "config" / "config.yaml"
SCHEMA = PROJECT / "workflow" / "schemas" / "config.schema.yaml"
REPLACED_WHOLE = ("studies", "editions")
DISSENT = (
    "agree",
    "dissent",
    "outlier",
    "consensus",
)  # stems of rules that would manufacture consensus


class StrictLoader(yaml.SafeLoader):
    """A loader to which a key given twice is an error."""


def _mapping(loader, node, deep=False):
    keys = [loader.construct_object(key, deep=deep) for key, _ in node.value]
    for (key_node, _), key in zip(node.value, keys):
        if keys.count(key) > 1:
            raise yaml.constructor.ConstructorError(
                None, None, f"the key {key!r} stands twice in one block", key_node.start_mark
            )
    return yaml.SafeLoader.construct_mapping(loader, node, deep)


StrictLoader.add_constructor(yaml.resolver.BaseResolver.DEFAULT_MAPPING_TAG, _mapping)


def read_yaml(path, shown=None):
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
        If the file is missing, is not UTF-8, is not YAML, or repeats a key.
    """
    shown = str(shown or path)
    try:
        text = Path(path).read_bytes().decode("utf-8-sig")
        content = yaml.load(text, Loader=StrictLoader)
    except UnicodeDecodeError as error:
        raise StudyError(
            [Fault(shown, problem="is not UTF-8 text", remedy="Save it as UTF-8.")]
        ) from error
    except OSError as error:
        raise StudyError(
            [Fault(shown, problem="cannot be read", remedy="Check the path.")]
        ) from error
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        problem = getattr(error, "problem", None) or "is not YAML"
        line = mark.line + 1 if mark else 0
        raise StudyError([Fault(shown, line, problem=problem, remedy="Mend the line.")]) from error
    if not isinstance(content, dict):
        raise StudyError(
            [Fault(shown, problem="holds no keys", remedy="Write `key: value` lines.")]
        )
    return content


def merged(defaults, overrides):
    """Return `defaults` with the keys of `overrides` put over them, block by block."""
    result = copy.deepcopy(defaults)
    for key, value in overrides.items():
        if (
            key not in REPLACED_WHOLE
            and isinstance(value, dict)
            and isinstance(result.get(key), dict)
        ):
            result[key] = merged(result[key], value)
        else:
            result[key] = copy.deepcopy(value)
    return result


def resolve(overrides, shown="the settings"):
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
        Complete and valid. Studies of the default settings are found from any working folder.

    Raises
    ------
    StudyError
        With every fault of the settings.
    """
    settings = merged(read_yaml(DEFAULTS, "config/config.yaml"), overrides)
    if "studies" in overrides:
        settings["editions"] = overrides.get("editions") or []
    else:
        root = os.path.relpath(PROJECT)
        for name, folder in settings["studies"].items():
            settings["studies"][name] = os.path.normpath(os.path.join(root, folder))
    faults = list(setting_faults(settings, shown))
    if faults:
        raise StudyError(faults)
    return settings


def setting_faults(settings, shown):
    """Yield every fault of complete settings."""
    from jsonschema import Draft202012Validator

    schema = yaml.safe_load(SCHEMA.read_text(encoding="utf-8"))
    errors = sorted(
        Draft202012Validator(schema).iter_errors(settings), key=lambda e: list(map(str, e.path))
    )
    for error in errors:
        yield from schema_faults(error, shown)
    if errors:
        return
    for pair in settings["editions"]:
        for name in pair:
            if name not in settings["studies"]:
                close = nearest(name, settings["studies"])
                hint = f" Did you mean '{close}'?" if close else ""
                problem = "is no study of these settings"
                remedy = f"Name it under `studies`, or take the pair out.{hint}"
                yield Fault(shown, column="editions", value=name, problem=problem, remedy=remedy)
        if pair[0] == pair[1]:
            problem, remedy = "is compared with itself", "Name two studies."
            yield Fault(shown, column="editions", value=pair[0], problem=problem, remedy=remedy)
    yield from edition_faults(settings["editions"], shown)
    for key in ("classes_range", "subclasses_range"):
        low, high = settings["tiers"][key]
        if low > high or low < 2:
            yield Fault(
                shown,
                column=f"tiers.{key}",
                value=f"[{low}, {high}]",
                problem="is not a range [low, high] from 2 upwards",
                remedy="Put the lower number first.",
            )
    for name, folder in settings["studies"].items():
        if name == "pooled" or name == "editions":
            remedy = "Choose another name."
            yield Fault(shown, column="studies", value=name, problem="is reserved", remedy=remedy)
        if not Path(folder).is_dir():
            problem = f"the study's folder '{folder}' is missing"
            remedy = "Paths are relative to the working folder. Make the folder or mend the path."
            yield Fault(shown, column="studies", value=name, problem=problem, remedy=remedy)


def edition_faults(pairs, shown):
    """Yield the fault of editions that would be older than themselves."""
    older = {}
    for before, after in pairs:
        older.setdefault(after, before)  # a wheel is turned to lie like the first older one
    for start in older:
        name, seen = start, set()
        while name in older and name not in seen:
            seen.add(name)
            name = older[name]
        if name == start and start == min(seen) and len(seen) > 1:
            problem = "would be older than itself"
            remedy = "Write each pair as [older, newer]."
            yield Fault(shown, column="editions", value=start, problem=problem, remedy=remedy)


def schema_faults(error, shown):
    """Yield one violation of the schema in words, naming the key and the nearest known one."""
    place = ".".join(map(str, error.absolute_path))
    if error.validator == "additionalProperties" and isinstance(error.instance, dict):
        known = error.schema.get("properties", {})
        for key in sorted(set(error.instance) - set(known), key=str):
            yield unknown_key(shown, place, str(key), known)
        return
    if error.validator == "propertyNames":
        problem = (
            "a name has small letters, digits, - and _ only, and starts with a letter or digit"
        )
        yield Fault(
            shown, column=place, value=str(error.instance), problem=problem, remedy="Rename it."
        )
        return
    description = error.schema.get("description", "") if isinstance(error.schema, dict) else ""
    remedy = f"This key means: {description}." if description else "See config/README.md."
    yield Fault(
        shown, column=place, value=str(error.instance), problem=error.message, remedy=remedy
    )


def unknown_key(shown, place, key, known):
    """Return the fault of a key that nobody reads."""
    if place == "screening" and any(stem in key.lower() for stem in DISSENT):
        problem = "participants are never left out for disagreeing with the others"
        remedy = (
            "Excluding dissent manufactures the consensus that the study is to measure; "
            "the agreement of each participant is shown in validation/participants.csv instead."
        )
    else:
        close = nearest(key, known)
        hint = f"Did you mean '{close}'?" if close else f"Known here: {', '.join(known)}."
        problem, remedy = "is not a known key", hint
    return Fault(shown, column=place or "top level", value=key, problem=problem, remedy=remedy)
