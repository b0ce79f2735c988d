"""Steps as jobs of a cluster: a folder with a profile of the engine says how they get there."""

import hashlib
import os
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from felloe.errors import nearest, shortened
from felloe.launching.complaints import LaunchError, WrongCommand
from felloe.launching.engine.interrupts import attended
from felloe.launching.setup.claims import alone
from felloe.launching.setup.making import run_logged, tail_of
from felloe.launching.setup.pip_words import reason_of
from felloe.launching.setup.variables import environment_variables

OPTION = "--cluster"
PROFILES = Path("workflow") / "profiles"
USUAL = "default"  # of a run without a cluster; the cluster's own goes over it
CONFIG = "config.yaml"  # the engine's name for it
LOCK = "requirements.lock"  # of the plugins that a profile needs, where it needs any
CANCEL = "cancel-left"  # a program in a profile's folder, where it has one
HOME = "clusters"  # in the environment's folder


@dataclass(frozen=True)
class Cluster:
    """
    Where steps run.

    Attributes
    ----------
    profile : Path
        A folder with a profile of the engine; programs that it names may lie there.
    plugins : Path or None
        Where the packages of its lock are.
    """

    profile: Path
    plugins: Path | None

    def variables(self, variables: Mapping[str, str]) -> dict[str, str]:
        """Return a process's variables with the profile's programs and plugins in reach."""
        more = {"PATH": [str(self.profile), variables.get("PATH", os.defpath)]}
        if self.plugins is not None:
            more["PYTHONPATH"] = [str(self.plugins)]
        return {**variables, **{name: os.pathsep.join(more[name]) for name in more}}

    def cancel_left(self, folder: Path, variables: Mapping[str, str]) -> None:
        """
        Cancel the jobs of a working folder whose engine has ended, where the profile can do it.

        The engine cancels what it knows to be at work. While it asks what has become of its jobs it
        knows of none, and it gives up on a cancelling that takes more than two seconds.
        """
        program = self.profile / CANCEL
        if os.access(program, os.X_OK):
            attended([str(program)], lambda _: None, cwd=folder, env=dict(variables))


def taken(typed: list[str], here: Path, root: Path) -> tuple[Path | None, list[str]]:
    """
    Take the cluster out of what was typed.

    Parameters
    ----------
    typed : list of str
    here, root : Path
        The folder in which it was typed; the project's.

    Returns
    -------
    profile : Path or None
        The folder that was meant.
    rest : list of str
        All other words.

    Raises
    ------
    WrongCommand
        If there is no such profile, or none was named.
    """
    profile, rest, words = None, [], list(typed)
    while words:
        word = words.pop(0)
        name, equals, value = word.partition("=")
        if name != OPTION:
            rest.append(word)
            continue
        if not equals:
            value = words.pop(0) if words and not words[0].startswith("-") else ""
        profile = profile_of(value, here, root)
    return profile, rest


def profile_of(value: str, here: Path, root: Path) -> Path:
    """Return the folder of a profile, by its name among ours or by its path."""
    found = {path.parent.name for path in (root / PROFILES).glob(f"*/{CONFIG}")}
    ours = sorted(found - {USUAL})
    usage = f"{OPTION} takes one of {', '.join(ours)}, or a folder with a {CONFIG}."
    if not value:
        raise WrongCommand(usage)
    if value in ours:
        return root / PROFILES / value
    folder = Path(os.path.abspath(here / value))
    if (folder / CONFIG).is_file():
        return folder
    close = nearest(value, ours)
    meant = f" Did you mean {close}?" if close else ""
    raise WrongCommand(f"{shortened(value, 200)}: there is no such profile.{meant}\n{usage}")


def cluster_for(profile: Path, python: Path, root: Path, say: Callable[[str], None]) -> Cluster:
    """
    Return a cluster; what its profile needs is installed first, where it is missing.

    Parameters
    ----------
    profile : Path
    python : Path
        Of the environment, in whose folder the packages go: beside its own, so that nothing that a
        run uses is changed, and it is whole as before.
    root : Path
    say : callable
        Prints a line.

    Raises
    ------
    LaunchError
        If they cannot be installed.
    """
    lock = profile / LOCK
    if not lock.is_file():
        return Cluster(profile, None)
    digest = hashlib.sha256(lock.read_bytes()).hexdigest()
    plugins = python.parent.parent / HOME / digest[:16]
    if not plugins.is_dir():
        with alone(root, say):
            if not plugins.is_dir():
                install(lock, plugins, python, root, say)
    return Cluster(profile, plugins)


def install(
    lock: Path, plugins: Path, python: Path, root: Path, say: Callable[[str], None]
) -> None:
    """Install the packages of a lock into a folder, whole or not at all."""
    say(f"Fetching what the profile {lock.parent.name} needs, once.")
    half, log = plugins.with_name(f".{plugins.name}"), root / ".venv.log"
    shutil.rmtree(half, ignore_errors=True)
    half.parent.mkdir(parents=True, exist_ok=True)
    command = [str(python), "-m", "pip", "install", "--require-hashes", "--no-deps"]
    command += ["--progress-bar", "off", "--target", str(half), "-r", str(lock)]
    with open(log, "w", encoding="utf-8") as stream:
        finished = run_logged(command, environment_variables(root), stream, say)
    if not finished or not half.is_dir():
        text = log.read_text(encoding="utf-8", errors="replace")
        raise LaunchError(
            f"Installing {lock.name} of the profile {lock.parent.name} failed "
            f"(all of it in {log.name}).\n{reason_of(text) or tail_of(log)}\n"
            "Then the same command again."
        )
    half.rename(plugins)
    log.unlink()
