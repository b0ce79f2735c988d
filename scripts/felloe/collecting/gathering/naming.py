"""Who is known to a study, and other files of its folder that name somebody."""

import os
import re
from collections.abc import Iterator
from pathlib import Path

from felloe.collecting.gathering.cutting import WHO
from felloe.ground.files.writing import ATTEMPT
from felloe.validation.intake.raw.csv_reader import read_csv

LISTS = ("invitations.csv", "participants.csv", "design.csv")
# results and what is made of them, in case the working folder is the study's
NOT_OWN = {"results", "previews", "tries", "archives", "shared", ".snakemake", ".git", ".venv"}
LARGEST = 64 << 20  # bytes; what is larger is no note or copy of a study


def people_of(folder: Path) -> set[str]:
    """Return the ids that the lists of a study hold."""
    people: set[str] = set()
    for name in LISTS:
        if (folder / name).is_file():
            table = read_csv(folder / name, name, WHO)
            people.update(table[WHO[0]].values if WHO[0] in table else ())
    return people


def files_that_name(folder: Path, person: str) -> Iterator[Path]:
    """Yield files in which the id of somebody stands, or in whose name it does."""
    word = re.compile(rf"(?<![a-z0-9_-]){re.escape(person)}(?![a-z0-9_-])".encode())
    for home, folders, names in os.walk(folder):
        folders[:] = sorted(each for each in folders if each not in NOT_OWN)
        for name in sorted(names):
            path = Path(home, name)
            if not path.is_file() or path.stat().st_size > LARGEST:
                continue
            if word.search(name.encode(errors="replace")) or word.search(path.read_bytes()):
                yield path


def is_attempt(path: Path) -> bool:
    """Return whether a file is what somebody who was killed had begun to write."""
    return ATTEMPT.fullmatch(path.name) is not None
