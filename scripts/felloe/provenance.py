"""Which code a step is made of, as one hash: an edit reruns what it is part of, and no more."""

import ast
import hashlib
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from felloe.kept_sources import KeptSources, Source

SCRIPTS = Path(__file__).resolve().parent.parent
LIBRARY = SCRIPTS / "felloe"
PRINTS = "felloe/report/hand_off/workbook.py"  # who imports it prints what columns mean
DECLARATIONS = {"Column": 2, "Table": 1}  # which argument is a sentence
UNTOLD = ("ctx", "kind", "type_comment", "type_ignores", "type_params")
READS = "READS"  # a module names so the templates it fills, as patterns within the library
# within the environment that runs this; where it has no such folder nothing is kept
KEPT = KeptSources(Path(sys.prefix) / "caches" / "sources.json", made_by=Path(__file__))


def code_of(step: str) -> str:
    """
    Hash the code that a step is made of: its script, the modules it imports, their templates.

    Comments, docstrings, blank lines and places of files do not count: neither a project that
    was moved or copied nor a file that was touched reruns anything. What a declared column means
    counts only for the steps that print it.

    Parameters
    ----------
    step : str
        Name of a rule; its script is `scripts/{step}.py`.

    Returns
    -------
    str
        SHA-256 as hexadecimal digits.
    """
    digest = hashlib.sha256()
    paths = files_of(step)
    printing = any(path.relative_to(SCRIPTS).as_posix() == PRINTS for path in paths)
    for path in paths:
        code = meaning_of(path, with_meanings=printing)
        digest.update(f"{path.relative_to(SCRIPTS).as_posix()}\n{code}\n".encode())
    KEPT.write()
    return digest.hexdigest()


def files_of(step: str) -> list[Path]:
    """Return the script of a step, the modules it imports, directly or not, and their templates."""
    found: set[Path] = set()
    waiting = [SCRIPTS / f"{step}.py"]
    while waiting:
        path = waiting.pop()
        if path not in found:
            found.add(path)
            waiting.extend(imported_files(path))
    return sorted(found | {template for path in found for template in templates_of(path)})


def meaning_of(path: Path, with_meanings: bool = True) -> str:
    """
    Return a hash of what a file does: Python without comments and docstrings, else as it is.

    Parameters
    ----------
    path : Path
    with_meanings : bool
        Whether the sentences in declarations of tables and columns count.
    """
    source = source_of(path)
    return source.meaning if with_meanings else source.untold


@cache
def source_of(path: Path) -> Source:
    """Return what a file is; one of the same bytes is looked at once in an environment's life."""
    content = path.read_bytes()
    key = hashlib.sha256(path.suffix.encode() + b"\n" + content).hexdigest()
    return KEPT.get(key, lambda: source_in(content.decode(), path.suffix == ".py"))


def source_in(text: str, is_python: bool) -> Source:
    """Return what a text is, as `Source` tells it."""
    if not is_python:
        return Source((), (), hashed(text), hashed(text))
    tree = ast.parse(text)
    names, declared = set(), []
    for node in ast.walk(tree):
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef)) and is_docstring(node):
            node.body = node.body[1:]
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.add(node.module)
            names.update(f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            place = DECLARATIONS.get(node.func.id)
            if place is not None and len(node.args) > place:
                declared.append((node.args, place))
    ours = (name for name in names if name == "felloe" or name.startswith("felloe."))
    meaning, patterns = hashed(canonical(tree)), tuple(patterns_of(tree))
    for arguments, place in declared:
        arguments[place] = ast.Constant("")
    untold = hashed(canonical(tree)) if declared else meaning
    return Source(tuple(sorted(ours)), patterns, meaning, untold)


def hashed(text: str) -> str:
    """Return the SHA-256 of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


def canonical(node: object) -> str:
    """
    Return a syntax tree as text that is the same under every version of Python.

    Fields that are empty, that say nothing of what is done, or that only later versions have are
    left out (`ast.dump` differs from version to version).
    """
    if isinstance(node, ast.AST):
        fields = [
            f"{name}={canonical(value)}"
            for name, value in ast.iter_fields(node)
            if name not in UNTOLD and value is not None and value != []
        ]
        return f"{type(node).__name__}({', '.join(fields)})"
    if isinstance(node, list):
        return f"[{', '.join(map(canonical, node))}]"
    return repr(node)


def is_docstring(node: ast.Module | ast.ClassDef | ast.FunctionDef) -> bool:
    """Return whether a body opens with a docstring."""
    return ast.get_docstring(node, clean=False) is not None


def imported_files(path: Path) -> frozenset[Path]:
    """Return the files of this library that a module imports anywhere, also inside functions."""
    return frozenset(file for name in source_of(path).imports for file in module_files(name))


@cache
def module_files(name: str) -> set[Path]:
    """Return the file of a module and the package files above it."""
    parts = name.split(".")
    candidates = [SCRIPTS.joinpath(*parts).with_suffix(".py")]
    candidates += [
        SCRIPTS.joinpath(*parts[:depth], "__init__.py") for depth in range(1, len(parts) + 1)
    ]
    return {path for path in candidates if path.is_file()}


def templates_of(path: Path) -> frozenset[Path]:
    """Return the templates that a module says it fills."""
    return frozenset(
        template for pattern in source_of(path).reads for template in LIBRARY.glob(pattern)
    )


def patterns_of(tree: ast.Module) -> Iterator[str]:
    """Yield the patterns of a module's `READS`."""
    for node in tree.body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == READS:
            yield from ast.literal_eval(node.value)
