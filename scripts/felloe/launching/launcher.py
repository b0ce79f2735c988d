"""The command: environment, settings, then Snakemake or pytest."""

import os
import signal
import subprocess
import sys
from pathlib import Path

from felloe.launching import arguments
from felloe.launching.environment import LaunchError, ensured, environment_variables
from felloe.launching.progress import Watcher

ROOT = Path(__file__).resolve().parents[3]


def say(text):
    """Print a line at once."""
    print(text, flush=True)


def main(typed):
    """
    Run the study or the tests.

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
        return run_study(typed)
    except LaunchError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("\nStopped. The same command goes on where it stopped.\n")
        return 130


def run_tests(typed):
    """Run pytest in the project's folder; return its exit status."""
    python = ensured(ROOT, say)
    say("Running the tests, whole studies included; this takes several minutes.")
    command = [str(python), "-m", "pytest", *typed]
    return attended(subprocess.Popen(command, cwd=ROOT, env=environment_variables(ROOT)))


def run_study(typed):
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


def watched(command, folder, variables, configfiles):
    """Run Snakemake with its output cut to progress and, at the end, one screen."""
    what = "your settings" if configfiles else "the demo studies"
    say(f"Running {what}; results go to {os.path.relpath(folder / 'results')}.")
    process = subprocess.Popen(
        command,
        cwd=folder,
        env=variables,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    )
    watcher = Watcher(folder)
    status = attended(process, watcher)
    watcher.finish()
    if status:
        sys.stderr.write(f"{hinted(watcher.explanation())}\n")
        return status if status > 0 else 128 - status
    if watcher.last:
        say("Done. Open results/<study>/report/report.html and results/<study>/figures/wheel.pdf.")
    else:
        say("Nothing to do: every result is up to date.")
    return 0


def hinted(text):
    """Add what to do about a folder that a killed run left locked."""
    if "cannot be locked" in text or "LockException" in text:
        return (
            "Another run is at work in this folder, or one was killed and left its lock.\n"
            "If none is at work: python3 scripts/run --unlock, then the same command again."
        )
    return text


def attended(process, watcher=None):
    """Wait for a process, handing it the signals that the launcher gets; return its exit status."""
    previous = signal.signal(signal.SIGTERM, lambda *_: process.send_signal(signal.SIGTERM))
    try:
        if watcher is not None:
            for line in process.stdout:
                watcher.line(line)
        return process.wait()
    except KeyboardInterrupt:  # the process got it too, and ends its jobs
        process.wait()
        raise
    finally:
        signal.signal(signal.SIGTERM, previous)
