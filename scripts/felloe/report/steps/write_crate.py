"""Step: describe the results for other programs, as an RO-Crate."""

from collections.abc import Sequence
from pathlib import Path

from felloe.ground.files.records import read_json, write_json
from felloe.report.origin.crate import results_crate


def main(
    *,
    about: str,
    crate: str,
    study: str,
    files: list[str],
    version: str,
    inputs: Sequence[str] = (),
) -> None:
    """Name the files, what they were made from and by what."""
    given = [Path(path).name for path in inputs]
    write_json(crate, results_crate(study, read_json(about), files, given, version))
