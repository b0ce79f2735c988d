"""All returns of a study: read, judged, chosen, and made into tables; nothing is written here."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from felloe.collecting.gathering.choosing import Chosen, choose
from felloe.collecting.gathering.expected import Expected, read_expected
from felloe.collecting.gathering.judging import faults_of
from felloe.collecting.gathering.keeping import in_the_way
from felloe.collecting.gathering.returns import RETURNS, read_returns
from felloe.collecting.gathering.tables import SORTS, tables_of
from felloe.collecting.returned import Returned
from felloe.errors import Fault, StudyError
from felloe.validation.intake.study_file import NAME, read_study_file


@dataclass(frozen=True)
class Gathered:
    """
    What came back.

    Attributes
    ----------
    expected : Expected
    chosen : Chosen
        One return for everybody, without terms that are left out; those with faults are not
        among them.
    counted : dict of str to Returned
        The sorts that count.
    incomplete : dict of str to Returned
        Sorts with terms that are neither in a pile nor said to be unknown.
    tables : dict of str to bytes or None
        Empty where something is wrong.
    faults : list of Fault
    remarks : list of str
    """

    expected: Expected
    chosen: Chosen
    counted: dict[str, Returned]
    incomplete: dict[str, Returned]
    tables: dict[str, bytes | None] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def gather(
    study: str, folder: Path, settings: Mapping[str, Any], with_incomplete: bool = False
) -> Gathered:
    """
    Gather what came back.

    Parameters
    ----------
    study : str
        Its name in the settings.
    folder : Path
    settings : dict
        Resolved.
    with_incomplete : bool
        Whether incomplete sorts count, what is missing as not placed.

    Raises
    ------
    StudyError
        If the study itself has a fault, or there are no returns.
    """
    refuse_wide(folder)
    expected = read_expected(study, folder, settings)
    opened = read_returns(folder, expected)
    if not opened.returned and not opened.remarks:
        problem, remedy = "there is nothing to gather", "Put what people sent into this folder."
        raise StudyError([Fault(str(folder / RETURNS), problem=problem, remedy=remedy)])
    faults, fitting = list(opened.faults), []
    for returned in (each for several in opened.returned.values() for each in several):
        wrong = faults_of(returned, expected)
        faults += wrong
        fitting += [] if wrong else [analysed(returned, expected.left_out)]
    chosen = choose(fitting)
    faults += chosen.faults
    incomplete = {who: each for who, each in chosen.sorts.items() if each.unplaced}
    counted = {
        who: each for who, each in chosen.sorts.items() if with_incomplete or who not in incomplete
    }
    tables = tables_of(counted, chosen.colours, expected)
    faults += [] if faults else in_the_way(folder, tables)
    remarks = [
        *opened.remarks,
        *chosen.remarks,
        *lost_words(counted),
        *lost_minutes(counted, expected),
    ]
    tables = {} if faults else tables
    return Gathered(expected, chosen, counted, incomplete, tables, faults, remarks)


def analysed(returned: Returned, left_out: Collection[str]) -> Returned:
    """Return an answer without terms that are left out; a pile of nothing else is none."""
    if not left_out:
        return returned

    def kept(terms: Iterable[str]) -> tuple[str, ...]:
        return tuple(term for term in terms if term not in left_out)

    return replace(
        returned,
        piles=tuple(
            replace(pile, terms=kept(pile.terms))
            for pile in returned.piles
            if not pile.terms or kept(pile.terms)
        ),
        unknown=kept(returned.unknown),
        unplaced=kept(returned.unplaced),
        picks={term: returned.picks[term] for term in kept(returned.picks)},
    )


def refuse_wide(folder: Path) -> None:
    """Refuse a study whose sorts are to have a column for every term."""
    if read_study_file(folder / NAME).layout == "wide":
        problem, remedy = f"{SORTS} is gathered in the long layout", "Take this line out."
        raise StudyError([Fault(str(folder / NAME), 0, "sorts_layout", "wide", problem, remedy)])


def lost_words(counted: Mapping[str, Returned]) -> list[str]:
    """Say where words were written for a pile in which nothing lies."""
    return [
        f"{each.source}: words for a pile in which nothing lies are left out."
        for each in counted.values()
        if any(pile.words.strip() and not pile.terms for pile in each.piles)
    ]


def lost_minutes(counted: Mapping[str, Returned], expected: Expected) -> list[str]:
    """Say where people told how long it took, and nobody said that this is kept."""
    number = sum(each.minutes is not None for each in counted.values())
    if expected.timed or not number:
        return []
    return [f"Minutes of {number} are left out: consent.md does not say that they are kept."]
