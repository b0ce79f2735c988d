"""What a study's folder holds of one person, and how it is taken out."""

import shutil
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from felloe.collecting.gathering.cutting import WHO, Cut, without
from felloe.collecting.gathering.judging import names_in
from felloe.collecting.gathering.keeping import copies, digest, read_record, write_record
from felloe.collecting.gathering.naming import files_that_name, is_attempt, people_of
from felloe.collecting.gathering.returns import RETURNS, TALLY, files_in, from_text, passed_over
from felloe.collecting.gathering.withdrawn import add_withdrawn
from felloe.collecting.kit.issuing import KITS
from felloe.collecting.page.reading import identities_in
from felloe.collecting.spreadsheet.reading import identity_of
from felloe.errors import Fault
from felloe.ground.files.writing import write_bytes
from felloe.validation.intake.raw.spreadsheet import read_xlsx

# in this order: what was said before who said it, and who was invited last
LAST = ("sorts.csv", "participants.csv", "design.csv", "invitations.csv")


@dataclass
class Removal:
    """
    What has to go, and what can't be seen through.

    Attributes
    ----------
    folders, files : list of Path
        To be removed whole.
    cuts : dict of Path to Cut
        Tables as they are to be, in the order in which they are written.
    unseen : list of Path
        Returns of which nobody knows whose they are.
    named : list of Path
        Other files with their id in them, which stay: notes, copies made by hand.
    faults : list of Fault
        What a person has to do first.
    """

    folders: list[Path] = field(default_factory=list)
    files: list[Path] = field(default_factory=list)
    cuts: dict[Path, Cut] = field(default_factory=dict)
    unseen: list[Path] = field(default_factory=list)
    named: list[Path] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    @property
    def is_empty(self) -> bool:
        """Whether nothing of the person is there."""
        return not (self.folders or self.files or self.cuts)


def find(study: str, folder: Path, person: str) -> Removal:
    """
    Return all that a study's folder holds of somebody; nothing is touched.

    Parameters
    ----------
    study : str
        Its name in the settings.
    folder : Path
    person : str
    """
    found = Removal()
    asked = {path.parent.name for path in (folder / KITS).glob("*/*")}
    others = (asked | people_of(folder)) - {person}
    if (folder / RETURNS).is_dir():
        found.unseen.extend(passed_over(folder / RETURNS))
        for path in files_in(folder / RETURNS, hidden=True):
            find_in_return(path, study, person, found, others)
    find_in_kit(folder / KITS, study, person, found, others)
    for _, path in copies(folder):
        find_in_table(path, person, found, emptied=True)
    for path in tables_in(folder):
        find_in_table(path, person, found, emptied=path.name not in LAST)
    for path in sorted(folder.glob("*.xlsx")):
        find_in_sheet(path, person, found)
    find_named(folder, person, found)
    return found


def find_named(folder: Path, person: str, found: Removal) -> None:
    """See which other files name somebody; what a killed command left of one goes."""
    seen = {*found.files, *found.cuts, *found.unseen}
    for path in files_that_name(folder, person):
        if path in seen or any(own in path.parents for own in found.folders):
            continue
        (found.files if is_attempt(path) else found.named).append(path)
    # a link goes, and what it leads to stays
    found.named.extend(path.resolve() for path in found.files if path.is_symlink())


def find_in_return(
    path: Path, study: str, person: str, found: Removal, others: Collection[str]
) -> None:
    """See whether a return is of somebody, by what it holds, else by its name."""
    name, suffix = path.name.casefold(), path.suffix.casefold()
    if suffix == ".csv":
        find_in_table(path, person, found, emptied=True, needed=name.startswith(TALLY))
        return
    whose = None
    if suffix == ".xlsx":
        whose = identity_of(path)  # though its answers can't be read
    elif suffix in (".json", ".txt"):
        returned, _ = from_text(path, str(path), None)
        whose = returned[0].identity if returned else None
        if whose is None and find_in_mail(path, study, person, found):
            return
    if whose is None:
        place = found.files if is_named_for(path, study, person, others) else found.unseen
        place.append(path)
    elif (whose.study, whose.participant) == (study, person):
        found.files.append(path)


def find_in_mail(path: Path, study: str, person: str, found: Removal) -> bool:
    """See whether a text holds several answers, theirs among them; return whether it does."""
    told = {(each.study, each.participant) for each in identities_in(path.read_bytes())}
    if (study, person) not in told:
        return False
    if len(told) == 1:
        found.files.append(path)
        return True
    problem = f"holds the answer of '{person}' beside others"
    remedy = "Put each into a file of its own, and type this again. Nothing was removed."
    found.faults.append(Fault(str(path), problem=problem, remedy=remedy))
    return True


def is_named_for(path: Path, study: str, person: str, others: Collection[str]) -> bool:
    """Return whether the name of a file is that of a kit of somebody, and of nobody else's."""
    names = names_in(path, study)
    return person in names and not any(name in others for name in names)


def find_in_kit(
    kit: Path, study: str, person: str, found: Removal, others: Collection[str]
) -> None:
    """Find what was made for somebody."""
    own = kit / person
    if own.is_dir() or own.is_symlink():
        found.folders.append(own)
    for path in sorted(kit.rglob("*")) if kit.is_dir() else ():
        if path.is_file() and own not in path.parents:
            if is_named_for(path, study, person, others):
                found.files.append(path)
            elif path.suffix == ".csv":
                find_in_table(path, person, found, needed=False)


def tables_in(folder: Path) -> list[Path]:
    """Return the tables of a study's folder in the order in which they are cut."""
    paths = sorted(path for path in folder.glob("*.csv") if path.is_file())
    return sorted(paths, key=lambda path: LAST.index(path.name) if path.name in LAST else -1)


def find_in_table(
    path: Path, person: str, found: Removal, emptied: bool = False, needed: bool = True
) -> None:
    """See whether a table has rows of somebody; with `emptied` it goes if no row is left."""
    try:
        cut = without(path.read_bytes(), person)
    except ValueError as error:
        if needed:
            remedy = "Mend it; nothing was removed, since nobody sees whether they are in it."
            found.faults.append(Fault(str(path), problem=str(error), remedy=remedy))
        else:
            found.unseen.append(path)
        return
    if cut is None or not cut.rows:
        return
    if emptied and not cut.left:
        found.files.append(path)
        return
    found.cuts[path] = cut


def find_in_sheet(path: Path, person: str, found: Removal) -> None:
    """See whether a spreadsheet names somebody: it can't be cut without changing other cells."""
    table = read_xlsx(path, str(path))
    if any(person in table[name].values for name in WHO if name in table):
        problem = f"has rows of {person}, and spreadsheets are not rewritten"
        remedy = "Delete their rows there, and type this again. Nothing was removed."
        found.faults.append(Fault(str(path), problem=problem, remedy=remedy))


def remove(study: str, folder: Path, person: str, found: Removal) -> Iterator[str]:
    """
    Take somebody out; say what was done, as it is done.

    That they withdrew is written first and the list of those invited last, so that whoever is
    interrupted types the same again and it goes on.
    """
    add_withdrawn(folder, study, person)
    known = read_record(folder)
    for path, cut in found.cuts.items():
        if path.parent == folder and digest(path.read_bytes()) in known.get(path.name, []):
            known[path.name].append(digest(cut.data))
    if known:
        write_record(folder, known)
    for path in found.files:
        path.unlink(missing_ok=True)
        yield f"{path}: removed"
    for path in found.folders:
        if path.is_symlink():
            path.unlink()
        else:
            shutil.rmtree(path)
        yield f"{path}/: removed"
    for path, cut in found.cuts.items():
        write_bytes(path.resolve(), cut.data)
        yield f"{path}: {cut.rows:,} row{'s' if cut.rows > 1 else ''} taken out"
    if known:
        write_record(folder, {name: as_it_is(folder / name, known[name]) for name in known})


def as_it_is(path: Path, sums: list[str]) -> list[str]:
    """Return the hash of a table if it is a known one, else all that are known."""
    now = digest(path.read_bytes()) if path.is_file() else ""
    return [now] if now in sums else sums
