"""The variables of every process that the launcher starts."""

import os
from pathlib import Path

BUSY_THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
NOT_OURS = (
    "PYTHONPATH",
    "PYTHONHOME",
    "PYTHONINSPECT",
    "PYTHONOPTIMIZE",  # with 2 there are no docstrings, which scikit-bio reads
    "VIRTUAL_ENV",
    "PIP_REQUIRE_VIRTUALENV",
    "PIP_USER",
    "MATPLOTLIBRC",
)


def environment_variables(root: Path) -> dict[str, str]:
    """Return the variables of every process that the launcher starts."""
    variables = dict(os.environ)
    for name in NOT_OURS:
        variables.pop(name, None)
    caches = root / ".venv" / "caches"
    variables.update(
        PYTHONNOUSERSITE="1",
        PYTHONUTF8="1",
        PIP_DISABLE_PIP_VERSION_CHECK="1",
        PIP_NO_INPUT="1",
        MPLCONFIGDIR=str(caches / "matplotlib"),
        MPLBACKEND="Agg",
    )
    for name in BUSY_THREADS:  # sums depend on the number of threads, so it is one
        variables[name] = "1"
    if not variables.get("HOME"):
        variables["HOME"] = str(caches)
        variables["XDG_CACHE_HOME"] = str(caches)
    return variables
