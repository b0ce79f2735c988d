"""Which library files a step is made of, so that an edit reruns what it should and no more."""

import ast
from functools import cache
from pathlib import Path

SCRIPTS = Path(__file__).resolve().parent.parent
DOCUMENTS = ("page", "wheel_page", "workbook")


def code_of(step):
    """
    List the library files that a step imports, directly or not.

    Parameters
    ----------
    step : str
        Name of a rule; its script is `scripts/{step}.py`.

    Returns
    -------
    list of str
        Paths of Python files and, for documents, of the templates beside them; sorted.
    """
    found = set()
    waiting = list(imported_files(SCRIPTS / f"{step}.py"))
    while waiting:
        path = waiting.pop()
        if path not in found:
            found.add(path)
            waiting.extend(imported_files(path))
    if any(path.parent.name == "report" and path.stem in DOCUMENTS for path in found):
        report = SCRIPTS / "felloe" / "report"
        found.update(path for path in report.rglob("*") if path.suffix in {".j2", ".csv"})
    return sorted(str(path) for path in found)


@cache
def imported_files(path):
    """Return the files of this library that `path` imports anywhere, also inside functions."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.add(node.module)
            names.update(f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
    files = set()
    for name in names:
        if name == "felloe" or name.startswith("felloe."):
            files.update(module_files(name))
    return frozenset(files)


def module_files(name):
    """Return the file of a module and the package files above it."""
    parts = name.split(".")
    candidates = [SCRIPTS.joinpath(*parts).with_suffix(".py")]
    candidates += [
        SCRIPTS.joinpath(*parts[:depth], "__init__.py") for depth in range(1, len(parts) + 1)
    ]
    return {path for path in candidates if path.is_file()}
