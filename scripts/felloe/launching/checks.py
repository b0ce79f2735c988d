"""The checks of the code itself: style, types, layout; one line each."""

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

from felloe.launching.setup.environment import environment_variables

CHECKS = (
    ("ruff check", "ruff check --quiet ."),
    ("ruff format", "ruff format --check --quiet ."),
    ("snakefmt", "snakefmt --check Snakefile workflow"),
    ("mypy", "mypy"),
    ("layout", "pytest -q --no-header tests/lint"),
)
TOOLS = ("package.json", "package-lock.json", "eslint.config.mjs")  # in .ci
QUIETLY = ("--loglevel", "error", "--fetch-retries", "1", "--fetch-retry-mintimeout", "1000")
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


def complaint_of(command: list[str], root: Path, folder: Path | None = None) -> str:
    """Return nothing if a command goes well in a folder, else what it says under `failed`."""
    finished = subprocess.run(
        command,
        cwd=folder or root,
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
    Lint the script files of the pages; fetch the linter where it is missing or old.

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
    complaint = fetched(root, home, npm)
    if complaint:
        # a lock that does not hold is a fault; a machine without a network is none
        reachable = not complaint_of([npm, "ping", *QUIETLY], root, home)
        return (complaint, "") if reachable else ("", "the packages for it cannot be reached")
    eslint = home / "node_modules" / "eslint" / "bin" / "eslint.js"
    command = [node, str(eslint), "--config", str(home / "eslint.config.mjs")]
    command += ["--no-error-on-unmatched-pattern", "--max-warnings", "0", SCRIPTS_OF_PAGES]
    return complaint_of(command, root), ""


def fetched(root: Path, home: Path, npm: str) -> str:
    """Install the linter from its lock, unless that was done; return what npm complains of."""
    wanted = {name: (root / ".ci" / name).read_text(encoding="utf-8") for name in TOOLS}
    whole = home / "installed"  # written last, so that half an installation is made anew
    home.mkdir(parents=True, exist_ok=True)
    for name, text in wanted.items():
        (home / name).write_text(text, encoding="utf-8")
    if whole.is_file() and whole.read_text(encoding="utf-8") == wanted["package-lock.json"]:
        return ""
    whole.unlink(missing_ok=True)
    command = [npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund", *QUIETLY]
    complaint = complaint_of(command, root, home)
    if not complaint:
        whole.write_text(wanted["package-lock.json"], encoding="utf-8")
    return complaint
