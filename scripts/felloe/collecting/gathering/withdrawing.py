"""Somebody withdraws: what has to go, whether they are known, and what is said of it."""

from pathlib import Path

from felloe.collecting.gathering.naming import people_of
from felloe.collecting.gathering.removal import Removal, find
from felloe.collecting.gathering.still_held import results_with, shared_folders, zips_with
from felloe.collecting.gathering.withdrawn import hash_of, read_withdrawn
from felloe.errors import Fault, StudyError, nearest
from felloe.validation.intake.raw.characters import IDENTIFIER

PREVIEWS, TRIES, QUICK = "previews", "tries", "--quick"
AGAIN = """\
These were made with their answers. Make them again, and delete what was made before wherever it
went: whoever has results with and without them can tell their answers by the difference."""
NOTHING_HELD = "No results or archives in this folder hold them any more."
ELSEWHERE = (
    "Not seen from here: mails, backups, copies that were passed on, notes and lists of your own, "
    "the key of the pseudonyms."
)
NAMED = "These name them too and were left, since nobody knows what they are. Look at them:"
UNSEEN = "Nobody can tell whose these are. Look, and delete them if they are theirs:"


def to_remove(study: str, folder: Path, person: str) -> Removal:
    """
    Return what a study's folder holds of somebody.

    Raises
    ------
    StudyError
        If nobody of this id takes part or has withdrawn, or something has to be done by hand.
    """
    if not IDENTIFIER.fullmatch(person):
        problem = "is no identifier of a participant"
        raise StudyError([Fault(str(folder), value=person, problem=problem)])
    found = find(study, folder, person)
    if found.faults:
        raise StudyError(found.faults)
    if found.is_empty and hash_of(study, person) not in read_withdrawn(folder):
        close = nearest(person, people_of(folder))
        remedy = f"Did you mean '{close}'?" if close else "Nothing was removed."
        problem = "no file of this study knows this participant"
        raise StudyError([Fault(str(folder), value=person, problem=problem, remedy=remedy)])
    return found


def still_held(study: str, folder: Path, person: str) -> str:
    """Return which results and archives have to be made again."""
    results = results_with(study, person)
    lines = [f"  {path}: {remade(path)}" for path in results]
    if results:
        lines += [f"  {path}/: share again" for path in shared_folders(study)]
    for path, named in zips_with(study, folder, person):
        names = "names them" if named else "does not name them"
        lines.append(f"  {path}: {names}; delete it, and make it again from new results")
    return "\n".join([AGAIN, *lines] if lines else [NOTHING_HELD])


def remade(path: Path) -> str:
    """Return how the results in a folder are made again."""
    if path.parts[0] == PREVIEWS:
        return f"run the study again with {QUICK}, or delete it"
    if path.parts[0] == TRIES:
        return f"type `try {path.parts[1]}` again, or delete it"
    return "run the study again"
