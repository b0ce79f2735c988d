"""What results are made with: the versions of Python, of the packages, and of this project."""

import hashlib
import platform
from importlib import metadata
from pathlib import Path

from felloe import __version__
from felloe.ground.files.hashes import sha256_of

# the packages that numbers, drawings and documents come from
PACKAGES = (
    "numpy",
    "scipy",
    "pandas",
    "scikit-bio",
    "matplotlib",
    "uharfbuzz",
    "fonttools",
    "fontpkg-fira-sans-condensed",
    "fpdf2",
    "jinja2",
    "openpyxl",
    "xlsxwriter",
    "rdflib",
    "pyyaml",
    "jsonschema",
    "snakemake",
)
PROJECT = Path(__file__).resolve().parents[2]
LOCK = "requirements.lock"
CODE_VARIABLE = "FELLOE_CODE"  # hash of the code that the launcher planned a run with
# what the project's code is, for its hash: everything that a run executes or fills in
CODE = (
    "Snakefile",
    "config/config.yaml",
    "workflow/**/*.smk",
    "workflow/**/*.yaml",
    "scripts/run",
    "scripts/**/*.py",
    "scripts/**/*.j2",
    "scripts/**/*.js",
    "scripts/**/*.css",
    "scripts/**/*.yaml",
    "scripts/**/*.csv",
)


def package_versions() -> dict[str, str]:
    """Return the version of Python and of every package that results come from."""
    versions = {"python": platform.python_version()}
    for name in PACKAGES:
        versions[name] = metadata.version(name)
    return versions


def code_files(root: Path = PROJECT) -> list[Path]:
    """Return the files that are the project's code, sorted by path."""
    return sorted(path for pattern in CODE for path in root.glob(pattern) if path.is_file())


def project_code(root: Path = PROJECT) -> str:
    """
    Return one hash of the project's code.

    It is the SHA-256 of the lines `<sha256>  <path>` of all code files in the order of their
    paths, as `sha256sum` prints them.
    """
    lines = [
        f"{sha256_of(path)}  {path.relative_to(root).as_posix()}\n" for path in code_files(root)
    ]
    return hashlib.sha256("".join(lines).encode()).hexdigest()


def project_identity() -> dict[str, str]:
    """Return what the project is: its version, and the hashes of its code and its lock."""
    return {"version": __version__, "code": project_code(), "lock": project_lock()}


def project_lock(root: Path = PROJECT) -> str:
    """Return the SHA-256 of the lock that the environment is made from."""
    return sha256_of(root / LOCK)
