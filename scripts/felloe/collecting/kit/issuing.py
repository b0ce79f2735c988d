"""Kits put into `STUDY/kit/`: what was given stays as it is, and nothing of a person is removed."""

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from felloe.allocation.words import named
from felloe.collecting.asked import Asked
from felloe.collecting.identity import Kind
from felloe.collecting.kit.kit_words import (
    CHANGED,
    FOREIGN,
    FOREIGN_CURE,
    KINDS,
    LINK,
    LINK_CURE,
    OTHER_CONSENT,
    Done,
    cure_of,
)
from felloe.collecting.kit.record import (
    NAME,
    PARTS,
    Issued,
    differences,
    parts_of,
    read_record,
    record_text,
)
from felloe.errors import Fault
from felloe.ground.files.hashes import sha256_of
from felloe.ground.files.writing import write_bytes, write_text

KITS = "kit"
EARLIER = "earlier-"
FINAL = ("edition", "terms", "order")  # a return of the earlier kit would count for nothing, or lie
Files = dict[str, bytes]
Make = Callable[[Asked], Files]


@dataclass
class Issuing:
    """
    What is to be done for everybody who is asked.

    Attributes
    ----------
    folder : Path
        `kit/` of the study.
    kind : {'sort', 'colours'}
    asked : dict of str to Asked
        By person.
    given : dict of str to dict of Kind to Issued
        What stands in the records, by person.
    changed : dict of str to list of str
        Parts in which a kit made now would differ, by person.
    faults : list of Fault
    """

    folder: Path
    kind: Kind
    asked: Mapping[str, Asked]
    given: Mapping[str, Mapping[Kind, Issued]]
    changed: dict[str, list[str]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)


def read_given(folder: Path) -> tuple[dict[str, dict[Kind, Issued]], list[Fault]]:
    """
    Read what was given to whom.

    Parameters
    ----------
    folder : Path
        `kit/` of the study.

    Returns
    -------
    given : dict of str to dict of Kind to Issued
        By person, in sorted order; those who are no longer asked too.
    faults : list of Fault
    """
    given: dict[str, dict[Kind, Issued]] = {}
    faults: list[Fault] = []
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        return {}, [Fault(str(folder), problem=LINK, remedy=LINK_CURE)]
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        if path.is_symlink() or not path.is_dir():
            continue
        found, of_record = read_record(path)
        faults += of_record
        if found:
            given[path.name] = found
    return given, faults


def compared(
    folder: Path,
    kind: Kind,
    asked: Mapping[str, Asked],
    given: Mapping[str, Mapping[Kind, Issued]],
    again: bool,
) -> Issuing:
    """
    Hold what would be made against what was given.

    Parameters
    ----------
    folder : Path
        `kit/` of the study.
    kind : {'sort', 'colours'}
    asked : mapping of str to Asked
    given : mapping of str to mapping of Kind to Issued
    again : bool
        Whether kits that would differ are to be made anew.

    Returns
    -------
    Issuing
        Its faults say what has changed since and may not, unless `again`.
    """
    found = Issuing(folder, kind, asked, given)
    for person, own in asked.items():
        place = folder / person
        if place.is_symlink() or (place.exists() and not place.is_dir()):
            found.faults.append(Fault(str(place), problem=LINK, remedy=LINK_CURE))
        before = given.get(person, {}).get(kind)
        if before and (parts := differences(before, own)):
            found.changed[person] = parts
    for part in PARTS:
        people = [person for person, parts in found.changed.items() if part in reasons(parts)]
        if people and not (again and part not in FINAL):
            problem = CHANGED[part].format(people=named(people))
            found.faults.append(Fault(str(folder), problem=problem, remedy=cure_of(part, kind)))
    return found


def told_otherwise(found: Issuing) -> list[str]:
    """Say whose kits of the other kind have another consent text."""
    other: Kind = "sort" if found.kind == "colours" else "colours"
    people = [
        person
        for person, own in found.asked.items()
        if (before := found.given.get(person, {}).get(other))
        and before.parts.get("consent") != parts_of(own)["consent"]
    ]
    return [OTHER_CONSENT.format(other=KINDS[other], people=named(people))] if people else []


def reasons(parts: Sequence[str]) -> Sequence[str]:
    """Return why a kit differs: other terms, or another language, change the rest as well."""
    first = min(parts, key=PARTS.index)
    return [first] if first in (*FINAL, "language") else parts


def issued(found: Issuing, make: Make) -> Done:
    """
    Write the kits of everybody who has none, and those that are to be made anew.

    Parameters
    ----------
    found : Issuing
        Without faults.
    make : callable
        Takes what a person is asked, returns the files by name.

    Returns
    -------
    Done
    """
    said: dict[str, list[str]] = {
        name: [] for name in ("made", "again", "kept", "restored", "touched")
    }
    for person, asked in found.asked.items():
        place = found.folder / person
        before = found.given.get(person, {})
        own = before.get(found.kind)
        if own and person not in found.changed:
            missing = [name for name in own.files if not (place / name).exists()]
            said["restored" if missing else "kept"].append(person)
            if missing:
                restore(place, missing, make(asked))
            if touched(place, own, missing):
                said["touched"].append(person)
            continue
        files = make(asked)
        if own:
            set_aside(place, own.files)
        said["again" if own else "made"].append(person)
        put(place, {**before, found.kind: issued_as(asked, files)}, files)
    return Done(**{name: tuple(people) for name, people in said.items()})


def issued_as(asked: Asked, files: Files) -> Issued:
    """Return what is written down of a kit."""
    hashes = {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}
    return Issued(parts_of(asked), tuple(card.term for card in asked.cards), hashes)


def put(place: Path, record: Mapping[Kind, Issued], files: Files) -> None:
    """Write a person's files, and last that they were given."""
    for name, data in files.items():
        if not (place / name).exists():
            write_bytes(place / name, data)
    write_text(place / NAME, record_text(record))


def restore(place: Path, missing: Iterable[str], files: Files) -> None:
    """Write files of a kit that are not there any more."""
    for name in missing:
        if name in files:
            write_bytes(place / name, files[name])


def touched(place: Path, own: Issued, missing: Iterable[str]) -> bool:
    """Return whether a file is no longer as it was given."""
    there = {name: digest for name, digest in own.files.items() if name not in set(missing)}
    return any(
        not (place / name).is_file() or sha256_of(place / name) != digest
        for name, digest in there.items()
    )


def set_aside(place: Path, names: Iterable[str]) -> None:
    """Move the files of an earlier kit into a folder of their own."""
    number = 1
    while (aside := place / f"{EARLIER}{number}").exists():
        number += 1
    for name in names:
        if (place / name).exists():
            aside.mkdir(exist_ok=True)
            (place / name).rename(aside / name)


def foreign(found: Issuing, make: Make) -> list[Fault]:
    """
    Return files that stand where a kit is to be written, and are not that kit.

    A kit whose making was cut short has files without a record; they are those that would be made.
    """
    faults = []
    for person, asked in found.asked.items():
        place = found.folder / person
        given = found.given.get(person, {})
        if found.kind in given or not place.is_dir():
            continue
        known = {NAME, *(name for kit in given.values() for name in kit.files)}
        if {path.name for path in place.iterdir()} <= known:  # nothing is made to be compared
            continue
        for name, data in make(asked).items():
            path = place / name
            if path.exists() and not (path.is_file() and path.read_bytes() == data):
                faults.append(Fault(str(path), problem=FOREIGN, remedy=FOREIGN_CURE))
    return faults
