"""The command: its words, and what each is handed to."""

import os
import signal
import sys
from collections.abc import Callable, Sequence
from io import TextIOWrapper
from pathlib import Path

from felloe import __version__
from felloe.errors import nearest
from felloe.launching import arguments, clusters, commands
from felloe.launching.archive import run_archive
from felloe.launching.benchmark import run_benchmark
from felloe.launching.checks import run_checks
from felloe.launching.engine.interrupts import Stopped, attended, heeded
from felloe.launching.running import QUICK, ROOT, engine_for, faulty, previewing, run_engine, say
from felloe.launching.setup.environment import (
    LaunchError,
    WrongCommand,
    ensured,
    environment_variables,
)
from felloe.launching.share import run_share

VERSION = ("--version", "-v", "version")
HELP = """\
python3 scripts/run [options]            run the studies of the settings (the demo without any)
                    -n                   see what would run, and why
                    --quick              a preview with few replicates, in previews/
                    --cluster slurm      every step a job of Slurm (or of a FOLDER's profile)
                    results/STUDY/FILE   make just that
python3 scripts/run plan STUDY           plan a study before its data; --write-design: who sees what
                    kit STUDY            what everybody invited is sent (--colours: to pick colours)
                    gather STUDY         what people sent back becomes the study's tables
                    withdraw STUDY PARTICIPANT   take somebody out of a study's files
                    freeze STUDY         write down all choices before data are seen
                    try NAME             run with other settings in tries/NAME/
                    compare-runs A B     put two folders of results side by side
                    verify [STUDY]       recompute and compare; with --quick, hashes alone
                    archive [STUDY]      one zip to pass on: --with-people or --without-people
                    share [STUDY]        what may be circulated, in one zip (--folder: a folder)
                    test, check          the tests; style and types of the code
                    benchmark [NAME ...] times of the code beside plain loops, in benchmarks/
                    version              of Felloe, its code and its lock
All but test, check, benchmark and version take --configfile FILE [FILE ...], --directory FOLDER,
--cores N.
README.md explains them, config/README.md files and settings. Other options go to Snakemake."""


def main(typed: list[str]) -> int:
    """
    Do what the first word says; without one, run the studies.

    Parameters
    ----------
    typed : list of str
        What stands after the command's name.

    Returns
    -------
    int
        Exit status.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a label that the terminal has no letters for
            stream.reconfigure(errors="backslashreplace")
    try:
        with heeded():
            word = WORDS.get(typed[0]) if typed else None
            return word(typed[1:]) if word else run_study(typed)
    except LaunchError as error:
        sys.stderr.write(f"{error}\n")
        return error.status
    except Stopped as stopped:
        return farewell(stopped)
    except BrokenPipeError:  # nobody reads what we say
        return farewell(Stopped(signal.SIGPIPE, killed=False))


def farewell(stopped: Stopped) -> int:
    """Say that the run was stopped, if there is a screen; return the exit status for it."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.write(f"{stopped}\n" if stream is sys.stderr else "")
            stream.flush()
        except OSError:  # else Python complains of it at its end, and has another exit status
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    return 128 + stopped.number


def run_tests(typed: list[str]) -> int:
    """Run pytest in the project's folder; return its exit status."""
    python = ensured(ROOT, say)
    say("Running the tests, whole studies included; this takes several minutes.")
    command = [str(python), "-m", "pytest", *typed]
    return attended(command, cwd=ROOT, env=environment_variables(ROOT))


def run_study(typed: list[str]) -> int:
    """Check the settings, see what has to run, and run it; return the exit status."""
    profile, words = clusters.taken(typed, Path.cwd(), ROOT)
    usual = [word for word in words if word != QUICK]
    configfiles, directory, rest = arguments.prepared(usual, Path.cwd())
    for target in arguments.targets_of(rest):
        if "/" not in target and target != "all":
            close = nearest(target, WORDS)
            meant = f"Did you mean {close}? " if close else ""
            raise WrongCommand(
                f"{target} is neither a command nor a file of results. {meant}"
                "All commands: python3 scripts/run help"
            )
    if {"--touch", "-t"}.intersection(rest):
        raise WrongCommand(
            "What stands is judged by its content, not its age: --touch does nothing."
        )
    engine = engine_for(configfiles, directory, profile)
    if len(usual) < len(words):
        if faulty(engine):  # said as seen from this folder
            return 1
        engine = previewing(engine)
    return run_engine(engine, rest)


def show_help(_: list[str]) -> int:
    """Say what may be typed."""
    say(HELP)
    return 0


def show_version(_: list[str]) -> int:
    """Say which version this is, and what its code and lock are."""
    from felloe.versions import project_code, project_lock

    say(f"Felloe {__version__}")
    say(f"code {project_code(ROOT)}")
    say(f"lock {project_lock(ROOT)}")
    return 0


PLACE = "[--configfile FILE] [--directory FOLDER]"
DATA_SEEN = "--data-seen"
FREEZE = f"{arguments.COMMAND} freeze STUDY [{DATA_SEEN}] {PLACE}"
WRITE_DESIGN = "--write-design"
PLAN = f"{arguments.COMMAND} plan STUDY [{WRITE_DESIGN}] {PLACE}"
KIT_OPTIONS = ("--colours", "--again")
KIT = f"{arguments.COMMAND} kit STUDY [--colours] [--again] {PLACE}"
WITH_INCOMPLETE = "--with-incomplete"
GATHER = f"{arguments.COMMAND} gather STUDY [{WITH_INCOMPLETE}] {PLACE}"
WITHDRAW = f"{arguments.COMMAND} withdraw STUDY PARTICIPANT {PLACE}"


def run_freeze(typed: list[str]) -> int:
    """Freeze a study; return the exit status."""
    return run_script("freeze.py", typed, (DATA_SEEN,), FREEZE, "One study is frozen")


def run_plan(typed: list[str]) -> int:
    """Plan a study; return the exit status."""
    script = "plan_study/command.py"
    return run_script(script, typed, (WRITE_DESIGN,), PLAN, "One study is planned")


def run_kit(typed: list[str]) -> int:
    """Make the kits of a study; return the exit status."""
    return run_script(
        "collecting_words/kit.py", typed, KIT_OPTIONS, KIT, "Kits are made for one study"
    )


def run_gather(typed: list[str]) -> int:
    """Gather the returns of a study; return the exit status."""
    script = "collecting_words/gather.py"
    return run_script(script, typed, (WITH_INCOMPLETE,), GATHER, "One study is gathered")


def run_withdraw(typed: list[str]) -> int:
    """Take somebody out of a study; return the exit status."""
    script, done = "collecting_words/withdraw.py", "One participant of one study withdraws"
    return run_script(script, typed, (), WITHDRAW, done, words=2)


def run_script(
    script: str, typed: list[str], flags: Sequence[str], usage: str, done: str, words: int = 1
) -> int:
    """Run a script on one study, in the environment and the working folder."""
    apart = arguments.told_apart(typed, flags, usage, Path.cwd())
    if len(apart.words) != words:
        raise WrongCommand(f"{done} at a time.\n{usage}")
    command = [str(ensured(ROOT, say)), str(Path(__file__).parent / script)]
    command += [*apart.words, *apart.flags]
    command += ["--configfile", *apart.configfiles] if apart.configfiles else []
    folder = Path(apart.directory) if apart.directory else ROOT
    return attended(command, cwd=folder, env=environment_variables(ROOT))


WORDS: dict[str, Callable[[list[str]], int]] = {
    "test": run_tests,
    "benchmark": lambda typed: run_benchmark(ROOT, typed, say),
    "check": lambda _: run_checks(ROOT, ensured(ROOT, say), say),
    "freeze": run_freeze,
    "plan": run_plan,
    "kit": run_kit,
    "gather": run_gather,
    "withdraw": run_withdraw,
    "archive": lambda typed: run_archive(ROOT, typed, say),
    "share": lambda typed: run_share(ROOT, typed, say),
    "verify": commands.verify,
    "try": commands.try_settings,
    "compare-runs": commands.compare_runs,
    **dict.fromkeys(VERSION, show_version),
    **dict.fromkeys(("help", "--help", "-h"), show_help),
}
