"""Step: check a study's folder in full and write it in one form."""

from collections.abc import Sequence
from typing import Any

from felloe.validation.canonical import faults_listed, write_study
from felloe.validation.intake.study import read_study
from felloe.validation.settings import Limits


def main(
    *,
    source: str,
    limits: dict[str, Any],
    faults: str,
    study: str = "",
    files: Sequence[str] = (),
    identical_from: int | None = None,
    most_unseen: float = 0.0,
    smallest_cell: int = 1,
    crosswalk_file: str | None = None,
    **paths: str,
) -> None:
    """Read, check, write; every fault of a faulty study is listed in the file `faults`."""
    with faults_listed(faults):
        found = read_study(
            source, Limits(**limits), source, identical_from, study, most_unseen, crosswalk_file
        )
    write_study(found, paths, smallest_cell)
    print(f"{len(found.register.participants)} participants sorted {len(found.terms)} terms")


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
