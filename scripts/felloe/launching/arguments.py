"""What was typed after `scripts/run`, made ready for Snakemake."""

import os
import shlex
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path

from felloe.errors import nearest, shortened
from felloe.launching.setup.environment import LaunchError, WrongCommand

CONFIG_OPTIONS = ("--configfile", "--configfiles")
FOLDER_OPTIONS = ("--directory", "-d")
CORE_OPTIONS = ("--cores", "-c", "--jobs", "-j")
CONFIG_ENDINGS = (".yaml", ".yml", ".json")
COMMAND = "python3 scripts/run"
IN_FULL = {"--directory": "--dir", "--configfile": "--configf"}  # as short as the engine takes them
ANSWERS = ("--help", "-h", "--version", "-v")  # that need no settings
WITHOUT_VALUE = set(
    """
    -n -np -pn --dry-run --dryrun -k --keep-going -f --force -F --forceall -p --printshellcmds -q
    --quiet
    --rerun-incomplete --ri --lint --dag --rulegraph --filegraph --summary -S -D --detailed-summary
    --list -l --unlock --verbose --touch -t --nolock --notemp --nt --trust-io-cache
    """.split()
)
# what Snakemake prints then is the answer itself, so it is shown as it comes
SHOWING = set(
    """
    -n -np -pn --dry-run --dryrun --lint --dag --rulegraph --filegraph --d3dag --summary -S -D
    --detailed-summary --list -l --list-rules --list-target-rules --lt --list-changes --lc
    --list-input-changes --li --list-params-changes --lp --help -h --version -v
    --print-compilation --report --unlock --cleanup-metadata --delete-all-output
    --delete-temp-output --archive --export-cwl --verbose --logger
    """.split()
)


def prepared(typed: list[str], here: Path) -> tuple[list[str], str | None, list[str]]:
    """
    Sort the typed words into targets, settings files, the working folder and the rest.

    Parameters
    ----------
    typed : list of str
    here : Path
        The folder in which they were typed; relative paths start there.

    Returns
    -------
    configfiles : list of str
        Absolute.
    directory : str or None
        Absolute.
    rest : list of str
        Targets first, so that an option with several values cannot swallow them.

    Raises
    ------
    WrongCommand
        If a settings file or the working folder does not exist, a value is missing, or a settings
        file stands without its option.
    """
    configfiles: list[str] = []
    directory: str | None = None
    targets: list[str] = []
    options: list[str] = []
    words = list(typed)
    while words:
        word = words.pop(0)
        place = place_given(word, words, here)
        if place is not None:
            configfiles += place[0]
            directory = place[1] or directory
        elif word.startswith("-"):
            options.append(word)
            while words and not words[0].startswith("-") and not is_target(words[0]):
                first = options[-1] == word and word not in WITHOUT_VALUE and "=" not in word
                options.append(words.pop(0))
                if not first and os.path.exists(here / options[-1]):
                    no_lonely_file(options[-1], here)
        else:
            no_lonely_file(word, here)
            targets.append(word)
    return configfiles, directory, targets + options


def place_given(word: str, words: list[str], here: Path) -> tuple[list[str], str | None] | None:
    """Return the settings files or the working folder that an option gives; None for another."""
    name, equals, value = word.partition("=")
    in_full(name)
    if name[:2] == "-d" and name != "-d":
        name, equals, value = "-d", "=", word[2:].removeprefix("=")
    if name in CONFIG_OPTIONS:
        values = [value] if equals else [next_value(name, words)]
        while not equals and words and is_settings_file(words[0]):
            values.append(words.pop(0))
        return [existing(path, here) for path in values], None
    if name in FOLDER_OPTIONS:
        return [], existing_folder(value if equals else next_value(name, words), here)
    return None


@dataclass
class Apart:
    """
    What was typed after a command of the launcher's own.

    Attributes
    ----------
    words : list of str
        What stands without an option, such as a study.
    flags : set of str
        Those of the command's own options that were typed.
    cores : list of str
        The words about the number of cores, for the engine; what runs nothing needs none.
    configfiles : list of str
        Absolute.
    directory : str or None
        Absolute.
    """

    words: list[str] = field(default_factory=list)
    flags: set[str] = field(default_factory=set)
    cores: list[str] = field(default_factory=list)
    configfiles: list[str] = field(default_factory=list)
    directory: str | None = None


def told_apart(typed: list[str], own: Collection[str], usage: str, here: Path) -> Apart:
    """
    Tell a command's words and options apart, in whatever order they were typed.

    Parameters
    ----------
    typed : list of str
        What stands after the command.
    own : collection of str
        The command's own options; none takes a value.
    usage : str
        Said below what is refused.
    here : Path
        The folder in which it was typed.

    Raises
    ------
    WrongCommand
        As for `prepared`, or for an option that the command does not take.
    """
    apart, left = Apart(), list(typed)
    while left:
        word = left.pop(0)
        place = place_given(word, left, here)
        if place is not None:
            apart.configfiles += place[0]
            apart.directory = place[1] or apart.directory
        elif word in own:
            apart.flags.add(word)
        elif cores_given([word]):
            number = word in CORE_OPTIONS and left and (left[0].isdigit() or left[0] == "all")
            apart.cores += [word, left.pop(0)] if number else [word]
        elif word.startswith("-"):
            raise WrongCommand(f"{shortened(word)} is no option of this command.\n{usage}")
        elif word.endswith(CONFIG_ENDINGS):
            told = "looks like a settings file: type --configfile before it."
            raise WrongCommand(f"{shortened(word, 200)} {told}\n{usage}")
        else:
            apart.words.append(word)
    return apart


def next_value(name: str, words: list[str]) -> str:
    """Take the value of an option, or say that it is missing."""
    if not words or words[0].startswith("-"):
        raise WrongCommand(f"{name} needs a path after it.")
    return words.pop(0)


def existing(path: str, here: Path) -> str:
    """Return a settings file's absolute path, or say that it is not there."""
    full = Path(os.path.abspath(here / path))
    if not os.path.isfile(full):
        raise WrongCommand(
            f"{path}: this settings file does not exist. "
            "Check the path; it is relative to the folder you are in."
        )
    return str(full)


def existing_folder(path: str, here: Path) -> str:
    """Return the working folder's absolute path, or say that it is not there."""
    if not path:
        raise WrongCommand("--directory needs a path after it.")
    path = path.rstrip("/") or "/"
    full, shown = Path(os.path.abspath(here / path)), shortened(path, 200)
    if os.path.isdir(full):
        if not os.access(full, os.R_OK | os.X_OK):
            raise LaunchError(f"{shown}: you may not enter this folder. Choose one of your own.")
        return str(full)
    if os.path.lexists(full):
        raise WrongCommand(f"{shown}: --directory needs a folder, and this is none.")
    close = nearest(full.name, folders_in(full.parent))
    meant = f"Did you mean {os.path.join(os.path.dirname(path), close)}? " if close else ""
    raise WrongCommand(
        f"{shown}: this folder does not exist; it is relative to the folder you are in. "
        f"{meant}To make it: mkdir -p {shlex.quote(shown)}"
    )


def folders_in(folder: Path) -> list[str]:
    """Return the names of the folders in a folder, none if it cannot be read."""
    try:
        return sorted(each.name for each in folder.iterdir() if each.is_dir())
    except OSError:
        return []


def in_full(name: str) -> None:
    """Refuse a shortened option that the engine would take and the launcher would not see."""
    for whole, shortest in IN_FULL.items():
        if name != whole and whole.startswith(name) and name.startswith(shortest):
            raise WrongCommand(f"{name}: write {whole} in full.")


def no_lonely_file(word: str, here: Path) -> None:
    """Refuse a settings file or a study's folder that was typed as if it were a result to make."""
    if is_target(word):
        return
    path, shown = here / word, shlex.quote(shortened(word, 200))
    if word.endswith(CONFIG_ENDINGS):
        state = "is a settings file" if os.path.isfile(path) else "looks like a settings file"
        raise WrongCommand(f"{shown} {state}: {COMMAND} --configfile {shown}")
    if os.path.isfile(path / "study.yaml"):
        raise WrongCommand(
            f"{shown} is a study's folder: name it under `studies` in a settings file, then "
            f"{COMMAND} --configfile your-settings.yaml"
        )


def is_settings_file(word: str) -> bool:
    """Tell a further settings file from what else may follow one."""
    return word.endswith(CONFIG_ENDINGS) and not is_target(word)


def is_target(word: str) -> bool:
    """Tell a file or the rule `all` from an option's value."""
    return word == "all" or word.startswith("results/")


def cores_given(options: list[str]) -> bool:
    """Tell whether the number of cores was typed."""
    return any(
        word.split("=")[0] in CORE_OPTIONS or (word[:2] in ("-c", "-j") and word[2:].isdigit())
        for word in options
    )


def is_answer(options: list[str]) -> bool:
    """Tell whether Snakemake was asked something that has nothing to do with any settings."""
    return any(word in ANSWERS for word in options)


def is_overridden(options: list[str]) -> bool:
    """Tell whether settings were typed that stand in no file."""
    return any(word.split("=")[0] in ("--config", "-C") for word in options)


def is_showing(options: list[str]) -> bool:
    """Tell whether Snakemake was asked to show something rather than to run the study."""
    return any(word.split("=")[0] in SHOWING for word in options)


PLANNING = {"-n", "-np", "-pn", "--dry-run", "--dryrun"}
FORCING = ("-R", "--forcerun")
PARTIAL = ("--until", "-U", "--omit-from", "-O", "--batch", "--allowed-rules")
BY_CONTENT = ["--rerun-triggers", "mtime"]  # what has changed is known; ages were set to tell it


def is_planning(options: list[str]) -> bool:
    """Tell whether it was asked what would run, and nothing else."""
    shown = [word for word in options if word.split("=")[0] in SHOWING]
    return bool(shown) and set(shown) <= PLANNING


def without_planning(words: list[str]) -> list[str]:
    """Return the words without the question what would run."""
    return [word for word in words if word not in PLANNING]


def is_partial(options: list[str]) -> bool:
    """Tell whether the run is cut short by an option."""
    return any(word.split("=")[0] in PARTIAL for word in options)


def only(outputs: list[str], rest: list[str]) -> list[str]:
    """Return the words that make some results and no others."""
    options = rest[len(targets_of(rest)) :]
    return [*outputs, *options, "--forcerun", *outputs, *BY_CONTENT]


def forcing(outputs: list[str], rest: list[str]) -> list[str]:
    """Return the words with results that have to be made anew, beside those that were typed."""
    words = list(rest)
    asked = []
    for name in FORCING:
        if name in words:
            first = last = words.index(name) + 1
            while last < len(words) and not words[last].startswith("-"):
                last += 1
            asked += words[first:last]
            del words[first - 1 : last]
    forced = [*outputs, *asked]
    return [*words, *(["--forcerun", *forced] if forced else []), *BY_CONTENT]


def targets_of(rest: list[str]) -> list[str]:
    """Return the targets, which stand first."""
    number = next((n for n, word in enumerate(rest) if word.startswith("-")), len(rest))
    return rest[:number]
