"""What is wrong with settings: keys, values, lists of editions, folders and files."""

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from felloe.errors import Fault, nearest, shortened
from felloe.ground.edition_lists import Pair, folder_of, homes_of, pairs_of
from felloe.ground.files.strict_yaml import MOST_DIGITS, unquoted
from felloe.settings_merged import Settings, folded_in

if TYPE_CHECKING:
    from jsonschema import ValidationError

SCHEMA = Path(__file__).resolve().parents[2] / "workflow" / "schemas" / "config.schema.yaml"
RESERVED = ("pooled", "editions", "ledger", "logs", "benchmarks")  # names of other things
DISSENT = (
    "agree",
    "dissent",
    "outlier",
    "consensus",
)  # stems of rules that would manufacture consensus


def setting_faults(settings: Settings, shown: str) -> Iterator[Fault]:
    """Yield every fault of complete settings."""
    from jsonschema import Draft202012Validator

    unbounded = list(unbounded_numbers(settings, shown))
    yield from unbounded
    if unbounded:  # the schema's own messages cannot print an integer of thousands of digits
        return
    schema = read_schema()
    errors = sorted(
        Draft202012Validator(schema).iter_errors(settings), key=lambda e: list(map(str, e.path))
    )
    for error in errors:
        yield from schema_faults(error, shown)
    if errors:
        return
    yield from list_faults(settings, shown)
    yield from edition_faults(settings["editions"], shown)
    yield from range_faults(settings, shown)
    yield from own_faults(settings, shown)


def own_faults(settings: Settings, shown: str) -> Iterator[Fault]:
    """Yield every fault of what is set for one study alone."""
    for study in settings.get("per_study", {}):
        if study not in settings["studies"]:
            yield unknown_study(study, settings, "per_study", "Name one of `studies`.", shown)
            continue
        whole = {**folded_in(settings, study), "per_study": {}}
        for fault in setting_faults(whole, shown):
            place = "" if fault.column == "top level" else f".{fault.column}"
            yield replace(fault, column=f"per_study.{study}{place}")


def unknown_study(name: str, settings: Settings, column: str, remedy: str, shown: str) -> Fault:
    """Return the fault of a name that is no study's, with the study that may be meant."""
    close = nearest(name, settings["studies"])
    hint = f" Did you mean '{close}'?" if close else ""
    return Fault(shown, 0, column, name, "is no study of these settings", f"{remedy}{hint}")


def list_faults(settings: Settings, shown: str) -> Iterator[Fault]:
    """Yield every list of editions that names a study wrongly, or has no path of its own."""
    yield from path_faults(settings["editions"], settings["studies"], shown)
    for place, names in enumerate(settings["editions"]):
        for name in names:
            if name not in settings["studies"]:
                remedy = "Name it under `studies`, or take it out of the list."
                yield unknown_study(name, settings, "editions", remedy, shown)
        for name in dict.fromkeys(name for name in names if names.count(name) > 1):
            if len(names) == 2:
                column, problem, remedy = "editions", "is compared with itself", "Name two studies."
            else:
                column, problem = f"editions.{place}", "stands twice in the list"
                remedy = "Name each study once, the oldest first."
            yield Fault(shown, column=column, value=name, problem=problem, remedy=remedy)


def path_faults(
    lists: Sequence[Sequence[str]], studies: Iterable[str], shown: str
) -> Iterator[Fault]:
    """
    Yield the fault of every list whose folder of results, or timeline in it, is another's too.

    The folder of a pair is called `{older}--{newer}`, that of a longer list after its first and
    last study, and a study's name may hold `--` itself.
    """
    known, given = set(studies), [tuple(each) for each in lists]
    homes, told = homes_of(given), set[Pair]()
    for place, names in enumerate(given):
        problem, remedy = shared_list(names, given[:place])
        for home in homes_of([names]) if not problem else []:
            if not problem and home not in told:
                told.add(home)
                problem, remedy = shared_folder(home, homes, known)
        if problem:
            value = f"[{', '.join(names)}]"
            yield Fault(shown, 0, f"editions.{place}", value, problem, remedy)


def shared_list(names: Sequence[str], before: Sequence[Sequence[str]]) -> tuple[str, str]:
    """Return why a list cannot stand after others, with the remedy; empty if it can."""
    if names in before:
        what = "pair" if len(names) == 2 else "list"
        return f"the {what} stands twice", "Keep one of the two."
    for other in before:
        ends = (other[0], other[-1]) == (names[0], names[-1])
        if ends and len(names) > 2 and len(other) > 2:
            folder = folder_of((names[0], names[-1]))
            problem = f"would share results/editions/{folder}/timeline.csv with "
            return problem + f"[{', '.join(other)}]", "Keep one of the two lists, or join them."
    return "", ""


def shared_folder(home: Pair, homes: Sequence[Pair], known: Collection[str]) -> tuple[str, str]:
    """Return why the folder of a pair or timeline could be another's; empty if it could not."""
    folder, remedy = folder_of(home), "Rename a study, so that no name holds '--'."
    other = next((read for read in readings(folder, known) if read != home), None)
    if other is None or (other in homes and homes.index(other) < homes.index(home)):
        return "", ""  # what two share is told with the first
    if other in homes:
        return f"would share results/editions/{folder} with [{', '.join(other)}]", remedy
    return f"results/editions/{folder} could be that of [{', '.join(other)}] as well", remedy


def readings(folder: str, known: Collection[str]) -> Iterator[tuple[str, str]]:
    """Yield every pair of known studies whose comparison would have a folder of this name."""
    for place in range(len(folder)):
        if folder.startswith("--", place):
            pair = folder[:place], folder[place + 2 :]
            if pair[0] in known and pair[1] in known:
                yield pair


def range_faults(settings: Settings, shown: str) -> Iterator[Fault]:
    """Yield every range of numbers of groups that is none."""
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


def study_faults(settings: Settings, shown: str) -> Iterator[Fault]:
    """Yield studies whose name is taken or whose folder is missing, and fonts that are missing."""
    for name, folder in settings["studies"].items():
        if name in RESERVED:
            remedy = "Choose another name."
            yield Fault(shown, column="studies", value=name, problem="is reserved", remedy=remedy)
        if Path(folder).parts[:1] == ("results",):
            problem, remedy = "lies among the results", "Move its folder out of results/."
            yield Fault(shown, column="studies", value=name, problem=problem, remedy=remedy)
        if not Path(folder).is_dir():
            problem = f"the study's folder '{folder}' is missing"
            remedy = "Paths are relative to the working folder. Make the folder or mend the path."
            yield Fault(shown, column="studies", value=name, problem=problem, remedy=remedy)
    yield from crosswalk_faults(settings, shown)
    for name in settings["wheel"]["fonts"]:
        if not any((Path(folder) / name).is_file() for folder in settings["studies"].values()):
            problem = "is in no study's folder"
            remedy = "Put the font file there, or mend its name."
            yield Fault(shown, column="wheel.fonts", value=name, problem=problem, remedy=remedy)


def crosswalk_faults(settings: Settings, shown: str) -> Iterator[Fault]:
    """Yield crosswalks of no study, and those that are not in their study's folder."""
    for study, file in settings["crosswalks"].items():
        folder = settings["studies"].get(study)
        if folder is None:
            yield unknown_study(study, settings, "crosswalks", "Name one of `studies`.", shown)
        elif Path(folder).is_dir() and not Path(folder, file).is_file():
            problem = f"is not in the folder '{folder}'"
            remedy = "Put the file there, or mend its name."
            yield Fault(shown, 0, f"crosswalks.{study}", file, problem, remedy)


def read_schema() -> Settings:
    """Return the schema of the settings."""
    import yaml

    return dict(yaml.safe_load(SCHEMA.read_text(encoding="utf-8")))


def unbounded_numbers(value: Any, shown: str, place: str = "") -> Iterator[Fault]:
    """Yield every number that is not finite or absurdly long: the schema lets `nan` pass."""
    finite = not isinstance(value, float) or math.isfinite(value)
    if not finite or (isinstance(value, int) and abs(value) >= 10**MOST_DIGITS):
        problem, remedy = "is no number that can be used", "Write a finite number."
        text = "" if finite else str(value)
        yield Fault(shown, column=place, value=text, problem=problem, remedy=remedy)
    keys: Iterable[Any] = value if isinstance(value, dict) else ()
    if isinstance(value, list):
        keys = range(len(value))
    for key in keys:
        yield from unbounded_numbers(value[key], shown, f"{place}.{key}".lstrip("."))


def edition_faults(lists: Sequence[Sequence[str]], shown: str) -> Iterator[Fault]:
    """Yield the fault of editions that would be older than themselves, by all pairs together."""
    older: dict[str, set[str]] = {}
    for before, after in pairs_of([one for one in lists if len(set(one)) == len(one)]):
        older.setdefault(after, set()).add(before)
    ancestors = {name: ancestors_of(name, older) for name in older}
    for name in sorted(older):
        ring = {each for each in ancestors[name] if name in ancestors.get(each, ())}
        if len(ring) > 1 and name == min(ring):
            problem = "would be older than itself"
            remedy = "Write each pair or list with the older edition first."
            yield Fault(shown, column="editions", value=name, problem=problem, remedy=remedy)


def ancestors_of(name: str, older: Mapping[str, Collection[str]]) -> set[str]:
    """Return every edition that is older than one, itself too where the pairs go round."""
    found, ahead = set[str](), list(older[name])
    while ahead:
        each = ahead.pop()
        if each not in found:
            found.add(each)
            ahead.extend(older.get(each, ()))
    return found


def schema_faults(error: "ValidationError", shown: str) -> Iterator[Fault]:
    """Yield one violation of the schema in words, naming the key and the nearest known one."""
    place = ".".join(map(str, error.absolute_path))
    rules: Mapping[str, Any] = error.schema if isinstance(error.schema, dict) else {}
    if error.validator == "additionalProperties" and isinstance(error.instance, dict):
        known = rules.get("properties", {})
        for key in sorted(set(error.instance) - set(known), key=str):
            yield unknown_key(shown, place, str(key), known)
        return
    if error.validator == "propertyNames":
        problem = (
            "a name has at most 64 small letters, digits, - and _, "
            "and starts with a letter or digit"
        )
        yield Fault(
            shown, column=place, value=str(error.instance), problem=problem, remedy="Rename it."
        )
        return
    if error.validator_value == "string" and isinstance(error.instance, (bool, int, float)):
        yield nameless(shown, place, error.instance)
        return
    description = rules.get("description", "")
    remedy = f"This key means: {description}." if description else "See config/README.md."
    value = repr(error.instance)  # the message repeats it, in full
    problem = shortened(error.message.removeprefix(value).lstrip(), 200)
    yield Fault(shown, column=place, value=str(error.instance), problem=problem, remedy=remedy)


def nameless(shown: str, place: str, value: bool | int | float) -> Fault:
    """Return the fault of a number or truth value where a name or a path belongs."""
    if isinstance(value, bool):  # which of the words was written is known no more
        problem = "yes, no, on, off, true and false are truth values to a reader of YAML"
        remedy = "Write the word in quotes: it is then a name."
        return Fault(shown, column=place, problem=problem, remedy=remedy)
    problem, remedy = unquoted(str(value), "float")
    return Fault(shown, column=place, value=str(value), problem=problem, remedy=remedy)


def unknown_key(shown: str, place: str, key: str, known: Iterable[str]) -> Fault:
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
