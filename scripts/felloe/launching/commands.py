"""Commands about results that stand: recompute them, try other settings, put two side by side."""

import json
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from felloe.launching import arguments
from felloe.launching.running import (
    Engine,
    engine_for,
    faulty,
    in_folder_of_its_own,
    run_engine,
    say,
)
from felloe.launching.setup.environment import LaunchError, WrongCommand

AUDIT = Path(__file__).with_name("audit.py")
NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,63}")
WITHOUT = shutil.ignore_patterns("logs", "benchmarks", ".*")
PAGE = "runs-side-by-side.html"


@dataclass(frozen=True)
class Typed:
    """
    A command's words, told apart, and the engine for them.

    Attributes
    ----------
    engine : Engine
        For the working folder.
    words : list of str
        What stands without an option.
    flags : set of str
        The command's own options.
    rest : list of str
        The number of cores, if one was typed.
    """

    engine: Engine
    words: list[str]
    flags: set[str]
    rest: list[str]


def told_apart(typed: list[str], own: set[str], usage: str) -> Typed:
    """Tell a command's words and options apart; make the engine for them."""
    apart = arguments.told_apart(typed, own, usage, Path.cwd())
    engine = engine_for(apart.configfiles, apart.directory)
    return Typed(engine, apart.words, apart.flags, apart.cores)


def audited(engine: Engine, **asked: object) -> int:
    """Let the audit do something in the working folder; return its exit status."""
    return subprocess.run(
        audit_command(engine, asked), cwd=engine.folder, env=engine.variables
    ).returncode


def audit_command(engine: Engine, asked: Mapping[str, object]) -> list[str]:
    """Return the command by which the audit is asked for something."""
    given = {"configfiles": engine.configfiles, **asked}
    return [str(engine.python), str(AUDIT), json.dumps(given)]


def one_study(typed: Typed, usage: str) -> str:
    """Return the study that was named, if any; refuse more, and one that there is not."""
    if len(typed.words) > 1:
        raise WrongCommand(f"One study at the most.\n{usage}")
    study = typed.words[0] if typed.words else ""
    asked = audit_command(typed.engine, {"what": "study", "study": study})
    told = subprocess.run(
        asked, cwd=typed.engine.folder, env=typed.engine.variables, capture_output=True, text=True
    )
    if told.returncode:
        kind = WrongCommand if told.returncode == WrongCommand.status else LaunchError
        raise kind(told.stderr.rstrip())
    return study


VERIFY = "python3 scripts/run verify [STUDY] [--quick] [--configfile FILE] [--directory FOLDER]"


def verify(words: list[str]) -> int:
    """
    Recompute from the raw inputs in a folder of its own and compare; or compare hashes alone.

    Returns
    -------
    int
        0 only if every file of every manifest is the same.
    """
    typed = told_apart(words, {"--quick"}, VERIFY)
    study = one_study(typed, VERIFY)
    results = typed.engine.folder / "results"
    if typed.flags:
        return audited(typed.engine, what="quick", study=study, was=str(results))
    if not results.is_dir():
        raise LaunchError(f"There are no results in {typed.engine.folder.name}/ to verify.")
    with scratch(typed.engine.folder) as folder:
        say("Recomputing everything in a folder of its own; the results stay as they are.")
        elsewhere = in_folder_of_its_own(typed.engine, folder)
        targets = [f"results/{study}/manifest.json"] if study else []
        status = run_engine(elsewhere, [*targets, *typed.rest], ending=False)
        if status:
            return status
        now = str(folder / "results")
        return audited(typed.engine, what="verify", study=study, was=str(results), now=now)


@contextmanager
def scratch(folder: Path) -> Iterator[Path]:
    """Yield a new folder beside the results; it is gone afterwards."""
    try:
        made = tempfile.TemporaryDirectory(
            prefix=".verify-", dir=folder, ignore_cleanup_errors=True
        )
    except OSError:  # a folder that cannot be written in is looked at all the same
        made = tempfile.TemporaryDirectory(prefix="verify-", ignore_cleanup_errors=True)
    with made as name:
        yield Path(name)


TRY = "python3 scripts/run try NAME --configfile FILE [FILE ...] [--directory FOLDER]"


def try_settings(words: list[str]) -> int:
    """Run with other settings in `tries/NAME/`; say what follows for the chart."""
    typed = told_apart(words, set(), TRY)
    if len(typed.words) != 1 or not NAME.fullmatch(typed.words[0]):
        raise WrongCommand(f"A try needs a name of small letters, digits, - and _.\n{TRY}")
    if not typed.engine.configfiles:
        raise WrongCommand(f"A try needs the settings that are to be tried.\n{TRY}")
    if faulty(typed.engine):  # said as seen from here, and before anything is copied
        return 1
    (name,) = typed.words
    results = typed.engine.folder / "results"
    home = typed.engine.folder / "tries" / name
    for path in (home, home / "results"):
        if path.is_symlink():
            raise LaunchError(f"tries/{name} leads elsewhere (a link). Take another name.")
    if results.is_dir() and not (home / "results").exists():  # what is the same is not made again
        copied(results, home / "results")
    home.mkdir(parents=True, exist_ok=True)
    status = run_engine(in_folder_of_its_own(typed.engine, home), typed.rest)
    if status or not results.is_dir():
        return status
    sides = ["results", f"try {name}"]
    side_by_side(typed.engine, results, home / "results", home / PAGE, sides, configured=True)
    return 0


def copied(results: Path, to: Path) -> None:
    """Copy results whole or not at all, without logs."""
    to.parent.mkdir(parents=True, exist_ok=True)
    half = to.with_name(".half-copied")
    shutil.rmtree(half, ignore_errors=True)
    shutil.copytree(results, half, ignore=WITHOUT)
    half.rename(to)


COMPARE = "python3 scripts/run compare-runs A B [--directory FOLDER]"


def compare_runs(words: list[str]) -> int:
    """Put two folders of results side by side, on a screen and on a page."""
    typed = told_apart(words, set(), COMPARE)
    if len(typed.words) != 2:
        raise WrongCommand(f"Two folders of results are compared.\n{COMPARE}")
    was, now = (results_in(word) for word in typed.words)
    if is_of_one(was) != is_of_one(now):
        raise WrongCommand(f"One of these holds one study, the other several.\n{COMPARE}")
    page = typed.engine.folder / PAGE
    return side_by_side(typed.engine, was, now, page, typed.words)


def results_in(word: str) -> Path:
    """Return the folder of results that a word names: it, or one in it."""
    folder = Path(os.path.abspath(word))
    for each in (folder / "results", folder):
        if each.is_dir():
            return each
    raise WrongCommand(f"{word}: there is no such folder. Name two folders that hold results.")


def is_of_one(folder: Path) -> bool:
    """Tell whether a folder holds the results of one study or pair of editions."""
    return (folder / "manifest.json").is_file()


def side_by_side(
    engine: Engine, was: Path, now: Path, page: Path, sides: list[str], configured: bool = False
) -> int:
    """
    Compare two folders of results; 0 if they are the same, else 1.

    With `configured` only what the settings name is compared.
    """
    sides = [Path(side).name if os.path.isabs(side) else side for side in sides]
    if sides[0] == sides[1]:
        sides = ["A", "B"]
    paths = {"was": str(was), "now": str(now), "page": str(page)}
    return audited(engine, what="runs", sides=sides, configured=configured, **paths)


COMMANDS = (VERIFY, TRY, COMPARE)
