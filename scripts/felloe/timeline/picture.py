"""What a picture of a timeline shows, from the table and the record: members, lines, places."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.ground.files.tables import Row
from felloe.timeline.follow import MOVES, NOT_COMPARED, away
from felloe.timeline.rows import former_label

HEAD_ROWS = 1.25  # for the name of a class
GAP_ROWS = 0.7  # between classes, at the least
WIDEST_GAP = 5.0  # rows; columns of fewer terms are spread to the height of the longest


@dataclass(frozen=True)
class Member:
    """
    A term in one edition, or a path that the edition interrupts.

    Attributes
    ----------
    label : str
        Of a path that is interrupted, the one before.
    row : float
        From the top, in rows.
    enters, ends : bool
        Whether it is new, and whether the next edition does not have it, though there are editions.
    grade : str
        The surest grade of a move into it; "" for none.
    """

    label: str
    row: float
    enters: bool
    ends: bool
    grade: str


@dataclass(frozen=True)
class Band:
    """
    A class in one edition.

    Attributes
    ----------
    name : str
    line : int
        Classes that continue one another have one; 0 for a path that is interrupted.
    top, bottom : float
        In rows.
    members : tuple of Member
    """

    name: str
    line: int
    top: float
    bottom: float
    members: tuple[Member, ...]


@dataclass(frozen=True)
class Strand:
    """
    A line from one edition to the next.

    Attributes
    ----------
    place : int
        The edition in which it begins.
    start, end : float
        Rows.
    grade : str
    line : int
        Of the class in which it begins; 0: it comes back.
    """

    place: int
    start: float
    end: float
    grade: str
    line: int


@dataclass(frozen=True)
class Picture:
    """
    Everything in its place.

    Attributes
    ----------
    columns : list of list of Band
        One list an edition.
    strands : list of Strand
    rows : float
        Its height.
    lines : int
        Lines of classes; each has a number from 1.
    """

    columns: list[list[Band]]
    strands: list[Strand]
    rows: float
    lines: int


def picture_of(rows: Sequence[Row], record: Mapping[str, Any]) -> Picture:
    """
    Put terms and classes into their places.

    Parameters
    ----------
    rows : list of dict
        Of `timeline.csv`.
    record : mapping
        `timeline.json`.
    """
    studies = [each["study"] for each in record["editions"]]
    orders = record["drawing"]["columns"]
    height = max(needed(order) for order in orders)
    columns, places = [], []
    for place in range(len(studies)):
        cells = cells_of(rows, studies, place)
        bands = placed(orders[place], cells, height, studies, place)
        columns.append(bands)
        places.append(where(orders[place], bands))
    strands = []
    for place in range(len(studies) - 1):
        strands += strands_from(place, rows, studies, places)
    return Picture(columns, strands, height, max(one["line"] for one in record["classes"]))


def needed(order: Sequence[Mapping[str, Any]]) -> float:
    """Return the rows that a column takes at the least."""
    return sum(len(band["members"]) + HEAD_ROWS + GAP_ROWS for band in order) - GAP_ROWS


def cells_of(rows: Sequence[Row], studies: Sequence[str], place: int) -> dict[str, list[Row]]:
    """Return the rows of the paths through each member of an edition."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        found.setdefault(member_in(row, studies[place]), []).append(row)
    return found


def member_in(row: Row, study: str) -> str:
    """Return what a path is called in an edition, as the record's columns have it."""
    return str(row[f"term:{study}"] or away(row["path"]))


def placed(
    order: Sequence[Mapping[str, Any]],
    cells: Mapping[str, list[Row]],
    height: float,
    studies: Sequence[str],
    place: int,
) -> list[Band]:
    """Return the bands of the column at a place, spread over its height."""
    study = studies[place]
    spare = (height - needed(order)) / max(len(order) - 1, 1)
    gap = min(GAP_ROWS + spare, WIDEST_GAP)
    taken = needed(order) + (gap - GAP_ROWS) * (len(order) - 1)
    top, bands = (height - taken) / 2, []
    for band in order:
        members = band["members"]
        first = top + HEAD_ROWS
        told = [
            member_of(cells[member], first + at + 0.5, studies, place)
            for at, member in enumerate(members)
        ]
        bottom = first + len(members)
        one = cells[members[0]][0]
        name, line = one[f"class_name:{study}"], int(one[f"line:{study}"] or 0)
        bands.append(Band(name, line, top, bottom, tuple(told)))
        top = bottom + gap
    return bands


def member_of(paths: Sequence[Row], row: float, studies: Sequence[str], place: int) -> Member:
    """Return a member of a band, from the rows of the paths through it."""
    study, following = studies[place], studies[place + 1 : place + 2]
    if not paths[0][f"term:{study}"]:
        return Member(former_label(paths[0], study), row, False, False, "")
    grades = {path.get(f"migration:{study}", "") for path in paths}
    return Member(
        label=paths[0][f"label:{study}"],
        row=row,
        enters=place > 0 and all(not path[f"change:{study}"] for path in paths),
        ends=any(all(not path[f"term:{each}"] for path in paths) for each in following),
        grade=next((grade for grade in MOVES if grade in grades), ""),
    )


def where(order: Sequence[Mapping[str, Any]], bands: Sequence[Band]) -> dict[str, float]:
    """Return the row of every member of a column."""
    return {
        member: told.row
        for band, of_band in zip(order, bands, strict=True)
        for member, told in zip(band["members"], of_band.members, strict=True)
    }


def strands_from(
    place: int, rows: Sequence[Row], studies: Sequence[str], places: Sequence[Mapping[str, float]]
) -> list[Strand]:
    """Return the lines from an edition to the next, moves last, so that they lie on top."""
    older, newer = studies[place], studies[place + 1]
    found: dict[tuple[str, str], Strand] = {}
    for row in rows:
        one, other = member_in(row, older), member_in(row, newer)
        if one in places[place] and other in places[place + 1]:
            ends = places[place][one], places[place + 1][other]
            line = int(row[f"line:{older}"] or 0)
            there = row[f"term:{older}"] and row[f"term:{newer}"]
            grade = row[f"migration:{newer}"] if there else NOT_COMPARED
            found[one, other] = Strand(place, *ends, grade, line)
    return sorted(found.values(), key=lambda each: (each.grade in MOVES, each.start, each.end))
