"""Nothing hangs on a name: everybody renamed and reordered, the same results."""

import csv
import random
import shutil

import pytest
import yaml
from workflow.conftest import ROOT, whole_run

STUDIES = ("brine-2016", "brine-2026")
EXEMPT = {"validation", "logs", "benchmarks", "ledger"}
HASHING = {"manifest.json", "SHA256SUMS", "environment.json", "ro-crate-metadata.json"}


def read(path):
    with open(path, encoding="utf-8-sig", newline="") as stream:
        return list(csv.reader(stream))


def write(path, rows):
    with open(path, "w", encoding="utf-8", newline="") as stream:
        csv.writer(stream, lineterminator="\n").writerows(rows)


def rename(rows, column, rng):
    """Give everybody another's id and shuffle the rows under the header."""
    header, *lines = rows
    place = header.index(column)
    old = sorted({line[place] for line in lines})
    new = dict(zip(old, rng.sample(old, len(old)), strict=True))
    return new, place, header, lines


def scramble(folder, rng):
    """Rename at random everybody in a study's folder, and reorder the rows of its tables."""
    people = read(folder / "participants.csv")
    new, _, _, _ = rename(people, "participant", rng)
    for name in ("participants.csv", "sorts.csv"):
        header, *lines = read(folder / name)
        place = header.index("participant")
        lines = [[*line[:place], new[line[place]], *line[place + 1 :]] for line in lines]
        rng.shuffle(lines)
        write(folder / name, [header, *lines])
    picks, place, header, lines = rename(read(folder / "colours.csv"), "respondent", rng)
    lines = [[*line[:place], picks[line[place]], *line[place + 1 :]] for line in lines]
    rng.shuffle(lines)
    write(folder / "colours.csv", [header, *lines])


@pytest.fixture(scope="session")
def renamed(tmp_path_factory):
    """Results of both demo studies, whose people have one another's ids."""
    folder, rng = tmp_path_factory.mktemp("renamed"), random.Random(20)
    for study in STUDIES:
        shutil.copytree(ROOT / "demo_data" / study, folder / study)
        scramble(folder / study, rng)
    named = {
        "studies": {study: str(folder / study) for study in STUDIES},
        "editions": [list(STUDIES)],  # not inherited with other studies
    }
    return whole_run(folder / "run", 2, 2, yaml.safe_dump(named))


def files_of(results):
    """Return the files whose bytes may not change; others hash the inputs and the settings file."""
    return {
        path.relative_to(results).as_posix(): path.read_bytes()
        for path in sorted(results.rglob("*"))
        if path.is_file() and path.name not in HASHING and not EXEMPT & set(path.parts)
    }


def test_renaming_and_reordering_people_changes_no_byte_outside_validation(demo, renamed):
    before, after = files_of(demo), files_of(renamed)
    assert len(before) > 100
    assert sorted(before) == sorted(after)
    assert [name for name in before if before[name] != after[name]] == []


@pytest.mark.parametrize("study", STUDIES)
def test_the_people_were_renamed_indeed(demo, renamed, study):
    name = f"{study}/validation/participants.csv"
    assert (demo / name).read_bytes() != (renamed / name).read_bytes()
