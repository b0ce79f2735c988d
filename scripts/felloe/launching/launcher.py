"""The command: environment, settings, then Snakemake, pytest or the checks of the code."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from felloe.launching import arguments
from felloe.launching.checks import run_checks
from felloe.launching.environment import LaunchError, ensured, environment_variables
from felloe.launching.estimate import seconds_of_rules
from felloe.launching.failure import TRACEBACK, explanation, without_traceback
from felloe.launching.progress import Watcher

ROOT = Path(__file__).resolve().parents[3]


def say(text: str) -> None:
    """Print a line at once."""
    print(text, flush=True)


def main(typed: list[str]) -> int:
    """
    Run the study, the tests, or the checks of the code.

    Parameters
    ----------
    typed : list of str
        What stands after the command's name.

    Returns
    -------
    int
        Exit status.
    """
    try:
        if typed[:1] == ["test"]:
            return run_tests(typed[1:])
        if typed[:1] == ["check"]:
            return run_checks(ROOT, ensured(ROOT, say), say)
        return run_study(typed)
    except LaunchError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("\nStopped. The same command goes on where it stopped.\n")
        return 130


def run_tests(typed: list[str]) -> int:
    """Run pytest in the project's folder; return its exit status."""
    python = ensured(ROOT, say)
    say("Running the tests, whole studies included; this takes several minutes.")
    command = [str(python), "-m", "pytest", *typed]
    return attended(subprocess.Popen(command, cwd=ROOT, env=environment_variables(ROOT)))


def run_study(typed: list[str]) -> int:
    """Check the settings and run Snakemake; return its exit status."""
    configfiles, directory, rest = arguments.prepared(typed, Path.cwd())
    folder = Path(directory) if directory else ROOT
    python = ensured(ROOT, say)
    variables = environment_variables(ROOT)
    showing = arguments.is_showing(rest)
    folder.mkdir(parents=True, exist_ok=True)
    if not showing:
        check = [str(python), str(Path(__file__).with_name("preflight.py")), *configfiles]
        if subprocess.run(check, cwd=folder, env=variables).returncode:
            return 1
    command = [str(python), "-m", "snakemake", *rest]
    command += ["--snakefile", str(ROOT / "Snakefile"), "--directory", str(folder)]
    command += ["--workflow-profile", str(ROOT / "workflow" / "profiles" / "default")]
    if configfiles:
        command += ["--configfile", *configfiles]
    if not arguments.cores_given(rest):
        command += ["--cores", "all"]
    if showing:
        return attended(subprocess.Popen(command, cwd=folder, env=variables))
    return watched(command, folder, variables, configfiles)


def watched(
    command: list[str], folder: Path, variables: dict[str, str], configfiles: list[str]
) -> int:
    """Run Snakemake with its output cut to progress and, at the end, one screen."""
    what = "your settings" if configfiles else "the demo studies"
    say(f"Running {what}; results go to {os.path.relpath(folder / 'results')}.")
    watcher = Watcher(seconds=seconds_of_rules(folder))
    with subprocess.Popen(
        [*command, "--logger", "felloe"],
        cwd=folder,
        env={**variables, "PYTHONPATH": str(ROOT / "scripts")},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    ) as process:
        status = attended(process, watcher)
    watcher.finish()
    if status:
        sys.stderr.write(f"{failure_screen(folder, watcher)}\n")
        return status if status > 0 else 128 - status
    # a run that went well may still have been warned about something
    for text in [*(without_traceback(said.text) for said in watcher.errors), *watcher.text]:
        sys.stderr.write(f"{text}\n")
    if watcher.last:
        say("Done. Open results/<study>/report/report.html and results/<study>/figures/wheel.pdf.")
    else:
        say("Nothing to do: every result is up to date.")
    return 0


def failure_screen(folder: Path, watcher: Watcher) -> str:
    """Return what went wrong; what the screen leaves out of the engine's words goes to a file."""
    said = watcher.errors, watcher.text, watcher.notes
    screen = explanation(folder, watcher.failures, *said)
    if watcher.restored:
        screen += f"\nEarlier results of this step stay as they were; files: {watcher.restored}."
    whole = "\n".join([*(said.text for said in watcher.errors), *watcher.text])
    if TRACEBACK not in whole:
        return screen
    record = folder / ".snakemake" / "felloe.log"
    try:
        record.parent.mkdir(exist_ok=True)
        record.write_text(f"{whole}\n", encoding="utf-8")
    except OSError:  # a full disk may be what went wrong: the screen is what matters
        return screen
    return f"{screen}\nIn full: {os.path.relpath(record)}"


def attended(process: subprocess.Popen[Any], watcher: Watcher | None = None) -> int:
    """
    Wait for a process, handing it the signals that the launcher gets; return its exit status.

    A watcher takes the process's output to its very end, also after an interrupt: a process whose
    pipe nobody reads cannot end.
    """
    previous = signal.signal(signal.SIGTERM, lambda *_: process.send_signal(signal.SIGTERM))
    lines = process.stdout if watcher is not None and process.stdout is not None else ()
    try:
        return ended(process, lines, watcher)
    except KeyboardInterrupt:  # the process got it too, and ends its jobs
        ended(process, lines, watcher)
        raise
    finally:
        signal.signal(signal.SIGTERM, previous)


def ended(process: subprocess.Popen[Any], lines: Iterable[str], watcher: Watcher | None) -> int:
    """Hand the lines to the watcher until there are no more; return the process's exit status."""
    for line in lines:
        if watcher is not None:
            watcher.line(line)
    return process.wait()
