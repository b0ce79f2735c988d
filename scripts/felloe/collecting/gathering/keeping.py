"""Tables put into a study's folder: nothing overwritten without a copy, nobody's edit lost."""

import hashlib
import os
import re
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path

from felloe.collecting.gathering.withdrawn import FOLDER
from felloe.errors import Fault
from felloe.ground.files.records import json_text, read_json
from felloe.ground.files.writing import write_bytes, write_text

RECORD = "written.json"  # hashes of what was written, so that an edit by hand is noticed
NOTHING = "no return that counts says anything of it"
COPY = re.compile(r"(\d{3,})-(.+)")
Known = dict[str, list[str]]  # SHA-256 of what may stand in each table


def read_record(folder: Path) -> Known:
    """Return the hashes of what was written into each table; nothing if nobody knows."""
    try:
        record = read_json(folder / FOLDER / RECORD)
    except (OSError, ValueError):
        return {}
    if not isinstance(record, dict):
        return {}
    return {
        str(name): [str(each) for each in sums]
        for name, sums in record.items()
        if isinstance(sums, list)
    }


def write_record(folder: Path, known: Known) -> None:
    """Write the hashes of what may stand in each table."""
    path = folder / FOLDER / RECORD
    text = json_text({name: known[name] for name in sorted(known)})
    if not path.is_file() or path.read_text(encoding="utf-8") != text:
        write_text(path, text)


def digest(data: bytes) -> str:
    """Return the SHA-256 of some bytes."""
    return hashlib.sha256(data).hexdigest()


def in_the_way(folder: Path, tables: Mapping[str, bytes | None]) -> list[Fault]:
    """
    Return the tables that gathering would write and may not: those that it did not write itself.

    Parameters
    ----------
    folder : Path
        The study's.
    tables : mapping of str to bytes or None
        What would be written.
    """
    known, faults = read_record(folder), []
    for name, data in tables.items():
        path, sheet = folder / name, (folder / name).with_suffix(".xlsx")
        if data is None:
            continue
        if sheet.exists():
            problem, remedy = f"stands in place of {name}", "Move it out of the study's folder."
            faults.append(Fault(str(sheet), problem=problem, remedy=remedy))
        if not os.path.lexists(path):
            continue
        if not path.is_file():
            problem, remedy = "is no file", "Move what stands there."
            faults.append(Fault(str(path), problem=problem, remedy=remedy))
        elif (there := path.read_bytes()) != data and digest(there) not in known.get(name, []):
            problem = "was changed by hand since it was gathered"
            if name not in known:
                problem = "stands there, and was not gathered from returns"
            remedy = (
                "What it says is not in the returns. Put it there, or move the file out of the "
                "study's folder; then gather again."
            )
            faults.append(Fault(str(path), problem=problem, remedy=remedy))
    return faults


def write_tables(folder: Path, tables: Mapping[str, bytes | None]) -> list[str]:
    """
    Write tables that differ from what stands there; say what was done.

    A former table is copied before. Whoever is interrupted finds at the next time that either the
    old or the new table stands there, and both are known.
    """
    known = read_record(folder)
    changing = {name: data for name, data in tables.items() if to_change(folder, name, data, known)}
    done = [copied(folder, name) for name in changing if (folder / name).is_file()]
    after = {name: [digest(data)] for name, data in tables.items() if data is not None}
    if changing:
        both = {name: sorted({*known.get(name, []), *after.get(name, [])}) for name in tables}
        write_record(folder, {**known, **both})
    for name, data in changing.items():
        if data is None:
            (folder / name).unlink()
            done.append(f"{folder / name}: {NOTHING}; it was taken away.")
        else:
            write_bytes((folder / name).resolve(), data)
            done.append(f"{folder / name}: written, {rows_in(data)}.")
    write_record(folder, after)
    return [*done, *unchanged(folder, tables, changing)]


def rows_in(data: bytes) -> str:
    """Return how many rows stand below the header of a table that we wrote."""
    number = data.count(b"\n") - 1
    return f"{number:,} row{'s' if number > 1 else ''}"


def unchanged(
    folder: Path, tables: Mapping[str, bytes | None], changing: Collection[str]
) -> Iterator[str]:
    """Say which tables stand as they stood."""
    for name, data in tables.items():
        if name not in changing and (folder / name).exists():
            why = "the same as before" if data is not None else f"{NOTHING}; left as it is"
            yield f"{folder / name}: {why}."


def to_change(folder: Path, name: str, data: bytes | None, known: Known) -> bool:
    """Return whether a table has to be written, or taken away because it was gathered once."""
    path = folder / name
    there = path.read_bytes() if path.is_file() else None
    if data is None:
        return there is not None and digest(there) in known.get(name, [])
    return there != data


def copied(folder: Path, name: str) -> str:
    """Copy a table before it is written anew; say where, as for a copy that is there already."""
    data = (folder / name).read_bytes()
    for _, path in copies(folder, name):
        if path.read_bytes() == data:
            return f"{folder / name}: its former state is {path.name} in {folder / FOLDER}."
    number = max((number for number, _ in copies(folder)), default=0) + 1
    path = folder / FOLDER / f"{number:03d}-{name}"
    write_bytes(path, data)
    return f"{folder / name}: its former state was copied to {path}."


def copies(folder: Path, name: str = "") -> list[tuple[int, Path]]:
    """Return the copies of a table with their numbers; of all tables if none is named."""
    place = folder / FOLDER
    found = []
    for path in sorted(place.iterdir()) if place.is_dir() else ():
        match = COPY.fullmatch(path.name)
        if match and path.is_file() and name in ("", match[2]):
            found.append((int(match[1]), path))
    return found
