"""The checks of the code itself: style, types, layout; one line each."""

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

from felloe.launching.environment import environment_variables

CHECKS = (
    ("ruff check", "ruff check --quiet ."),
    ("ruff format", "ruff format --quiet --diff ."),
    ("snakefmt", "snakefmt --check Snakefile workflow"),
    ("mypy", "mypy"),
    ("layout", "pytest -q --no-header tests/lint"),
)
TOOLS = ("package.json", "package-lock.json", "eslint.config.mjs")  # in .ci
SCRIPTS_OF_PAGES = "scripts/felloe/**/*.js"


def run_checks(root: Path, python: Path, say: Callable[[str], None]) -> int:
    """
    Run every check, also after one that failed.

    Parameters
    ----------
    root : Path
        The project's folder.
    python : Path
        The environment's Python.
    say : callable
        Prints a line.

    Returns
    -------
    int
        0 if all that were run are content, else 1.
    """
    commands = [(name, [str(python), "-m", *words.split()]) for name, words in CHECKS]
    failed = False
    for name, command in commands:
        complaint = complaint_of(command, root)
        failed = failed or bool(complaint)
        say(f"{name:<12} {complaint or 'ok'}")
    complaint, reason = complaint_about_pages(root)
    say(f"{'eslint':<12} {f'not run: {reason}' if reason else complaint or 'ok'}")
    return int(failed or bool(complaint))


def complaint_of(command: list[str], root: Path) -> str:
    """Return nothing if a command goes well, else what it says, from a line of its own on."""
    finished = subprocess.run(
        command,
        cwd=root,
        env=environment_variables(root),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    )
    if not finished.returncode:
        return ""
    return f"failed\n{finished.stdout.strip() or f'exit status {finished.returncode}'}"


def complaint_about_pages(root: Path) -> tuple[str, str]:
    """
    Lint the script files of the pages.

    Returns
    -------
    complaint : str
        Empty if there is none.
    reason : str
        Why the check was not run; empty if it was.
    """
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        return "", "Node.js with npm is not installed here"
    home = root / ".venv" / "node"
    installing = installed_tools(root, home, npm)
    if installing:
        return "", f"its packages could not be fetched\n{installing}"
    eslint = home / "node_modules" / "eslint" / "bin" / "eslint.js"
    command = [node, str(eslint), "--config", str(home / "eslint.config.mjs")]
    command += ["--no-error-on-unmatched-pattern", "--max-warnings", "0", SCRIPTS_OF_PAGES]
    return complaint_of(command, root), ""


def installed_tools(root: Path, home: Path, npm: str) -> str:
    """Install the linter from its lock where it is missing or old; return what npm complains of."""
    wanted = {name: (root / ".ci" / name).read_text(encoding="utf-8") for name in TOOLS}
    whole = home / "installed"  # written last, so that half an installation is made anew
    if whole.is_file() and whole.read_text(encoding="utf-8") == wanted["package-lock.json"]:
        (home / "eslint.config.mjs").write_text(wanted["eslint.config.mjs"], encoding="utf-8")
        return ""
    home.mkdir(parents=True, exist_ok=True)
    whole.unlink(missing_ok=True)
    for name, text in wanted.items():
        (home / name).write_text(text, encoding="utf-8")
    words = ["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel", "error"]
    complaint = complaint_of([npm, *words, "--prefix", os.fspath(home)], root)
    if not complaint:
        whole.write_text(wanted["package-lock.json"], encoding="utf-8")
    return complaint
