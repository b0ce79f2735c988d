"""`design.csv` written, or added to: a set that was issued is never drawn again."""

import os
from collections.abc import Sequence
from pathlib import Path

from felloe.allocation import words
from felloe.allocation.allocating import shown_order
from felloe.allocation.design_file import with_people
from felloe.allocation.people_files import no_list
from felloe.errors import Fault, StudyError
from felloe.ground.files.writing import write_bytes
from felloe.launching.plan_study.observed import refused_by_a_run
from felloe.launching.plan_study.planned import Planned, bytes_of
from felloe.launching.study_so_far import tables_of_sorts
from felloe.validation.intake.sorts.parts import DESIGN

WRITE = "--write-design"


def not_written(planned: Planned) -> str:
    """Say how the design is written, where one can be."""
    if planned.whole or not planned.people:
        return ""
    if not planned.given:
        return words.NOTHING.format(path=shown_path(planned))
    return words.NOT_WRITTEN.format(option=WRITE)


def written(planned: Planned) -> str:
    """
    Write the design, or add who is not in it; say what was done.

    Raises
    ------
    StudyError
        If there are no people yet, if everybody was shown every term, if somebody without a set
        sorted already, or if the design changed since it was read.
    """
    refuse(planned)
    said = added(planned) if planned.given else words.NOTHING.format(path=shown_path(planned))
    return "\n\n".join([said, *how_to_redo(planned)])


def shown_path(planned: Planned) -> str:
    """Return where the design stands, as the user sees it."""
    return os.path.relpath(planned.design)


def how_to_redo(planned: Planned) -> list[str]:
    """Return how a design that a run would refuse is dealt anew, or mended."""
    if not (refused := refused_by_a_run(planned)):
        return []
    said = words.NO_REDO if people_with_sorts(planned.folder) else words.REDO
    return [said.format(populations=words.named(refused), path=shown_path(planned))]


def added(planned: Planned) -> str:
    """Write the sets of those who have none; say so."""
    shown = shown_path(planned)
    rows = rows_of(planned)
    add_rows(planned, rows)
    people = words.counted(len(planned.given), "person", "people")
    if planned.issued:
        return words.ADDED.format(path=shown, people=people, names=words.named([*planned.given]))
    return words.WRITTEN.format(path=shown, people=people, lines=f"{len(rows):,}")


def rows_of(planned: Planned) -> list[tuple[str, str, int]]:
    """Return the lines of those who have none: participant, term, position."""
    return [
        (person, planned.terms[place], position)
        for person, own in planned.given.items()
        for position, place in enumerate(shown_order(planned.streams, person, own).tolist(), 1)
    ]


def add_rows(planned: Planned, rows: Sequence[tuple[str, str, int]]) -> None:
    """Put lines below those that stand in the design; refuse where none can be added."""
    refuse_to_add(planned)
    write_bytes(planned.design.resolve(), with_people(planned.found or b"", rows))


def refuse(planned: Planned) -> None:
    """Raise the reason for which no design can be written now, if there is one."""
    if not planned.people:
        raise StudyError([no_list(planned.folder)])
    if planned.whole:
        problem = "there are sorts and no design, so everybody was shown every term"
        remedy = "Nothing was written: with a design.csv these would count as partial sorts."
        raise StudyError([Fault(str(planned.whole), problem=problem, remedy=remedy)])
    already = sorted(people_with_sorts(planned.folder).intersection(planned.given))
    if already:
        problem = f"has no line for {words.named(already)}, who sorted already"
        remedy = (
            "Nothing was written: a set drawn now would not be what they were shown. Add a line "
            "for each term that they were shown, or take their sorts out."
        )
        raise StudyError([Fault(str(planned.design), problem=problem, remedy=remedy)])


def refuse_to_add(planned: Planned) -> None:
    """Raise the reason for which nobody can be added to the file that there is, if any."""
    if planned.design.suffix == ".xlsx":
        problem = f"is a spreadsheet, to which {words.named([*planned.given])} can't be added"
        remedy = f"Nothing was written. Save its sheet as {DESIGN} and remove the spreadsheet."
        raise StudyError([Fault(str(planned.design), problem=problem, remedy=remedy)])
    if bytes_of(planned.folder) != planned.found:
        problem = "was written by somebody else while these sets were drawn"
        remedy = "Nothing was written. Type the command again."
        raise StudyError([Fault(str(planned.design), problem=problem, remedy=remedy)])


def people_with_sorts(folder: Path) -> set[str]:
    """Return the participants of whom there are sorts."""
    people: set[str] = set()
    for _, table in tables_of_sorts(folder):
        if "participant" in table:
            people.update(table["participant"].values)
    return people
