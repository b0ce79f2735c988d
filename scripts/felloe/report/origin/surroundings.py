"""What results were made on: it is written down, and exempt from sameness."""

import platform
import shutil
import subprocess
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from felloe.ground.files.hashes import sha256_of
from felloe.ground.files.records import write_json
from felloe.versions import PROJECT

BLAS = ("name", "version", "openblas configuration")


def surroundings(settings_files: Iterable[str]) -> dict[str, Any]:
    """
    Return the machine, the build of Python and NumPy, the commit and the settings files.

    Nothing in it tells of a time, a path, a user or a host.
    """
    return {
        "platform": {
            "system": platform.system(),
            "machine": platform.machine(),
            "libc": " ".join(platform.libc_ver()),
        },
        "python": {
            "version": platform.python_version(),
            "implementation": platform.python_implementation(),
            "compiler": platform.python_compiler(),
        },
        "blas": blas(),
        "commit": commit(),
        "settings_files": {Path(path).name: sha256_of(path) for path in settings_files},
    }


def blas() -> dict[str, str]:
    """Return the library behind NumPy's linear algebra."""
    import numpy as np

    built: Any = np.show_config(mode="dicts")
    used = built.get("Build Dependencies", {}).get("blas", {})
    return {name.replace(" ", "_"): str(used[name]) for name in BLAS if name in used}


def commit() -> dict[str, Any] | None:
    """Return the commit that the project stands at and whether files differ from it, or None."""
    git = shutil.which("git")
    if git is None or not (PROJECT / ".git").exists():
        return None
    stands = [git, "-C", str(PROJECT)]
    named = subprocess.run([*stands, "rev-parse", "HEAD"], capture_output=True, text=True)
    changed = subprocess.run([*stands, "status", "--porcelain"], capture_output=True, text=True)
    if named.returncode or changed.returncode:
        return None
    return {"id": named.stdout.strip(), "changed": bool(changed.stdout.strip())}


def write_surroundings(path: str, settings_files: Iterable[str]) -> None:
    """Write what results were made on."""
    write_json(path, surroundings(settings_files))
