"""What a picture of a timeline shows, from the table and the record: members, lines, places."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.ground.files.tables import Row
from felloe.timeline.follow import AWAY, MOVES

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
        "" for a path that is interrupted.
    row : float
        From the top, in rows.
    enters, ends : bool
        Whether no line leads to it, or none further, though there are editions.
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
    """

    columns: list[list[Band]]
    strands: list[Strand]
    rows: float


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
    return Picture(columns, strands, height)


def needed(order: Sequence[Mapping[str, Any]]) -> float:
    """Return the rows that a column takes at the least."""
    return sum(len(band["members"]) + HEAD_ROWS + GAP_ROWS for band in order) - GAP_ROWS


def cells_of(rows: Sequence[Row], studies: Sequence[str], place: int) -> dict[str, list[Row]]:
    """Return the rows of the paths through each term of an edition."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        term = row[f"term:{studies[place]}"]
        if term:
            found.setdefault(term, []).append(row)
    return found


def placed(
    order: Sequence[Mapping[str, Any]],
    cells: Mapping[str, list[Row]],
    height: float,
    studies: Sequence[str],
    place: int,
) -> list[Band]:
    """Return the bands of the column at a place, spread over its height."""
    study, last = studies[place], place == len(studies) - 1
    spare = (height - needed(order)) / max(len(order) - 1, 1)
    gap = min(GAP_ROWS + spare, WIDEST_GAP)
    taken = needed(order) + (gap - GAP_ROWS) * (len(order) - 1)
    top, bands = (height - taken) / 2, []
    for band in order:
        members = band["members"]
        first = top + HEAD_ROWS
        told = [
            member_of(cells.get(member, []), first + at + 0.5, studies[place], last)
            for at, member in enumerate(members)
        ]
        bottom = first + len(members)
        one = cells.get(members[0], [])
        name = one[0][f"class_name:{study}"] if one else ""
        line = int(one[0][f"line:{study}"]) if one else 0
        bands.append(Band(name, line, top, bottom, tuple(told)))
        top = bottom + gap
    return bands


def member_of(paths: Sequence[Row], row: float, study: str, last: bool) -> Member:
    """Return a member of a band, from the rows of the paths through it; none: interrupted."""
    if not paths:
        return Member("", row, False, False, "")
    grades = {path.get(f"migration:{study}", "") for path in paths}
    first = f"migration:{study}" not in paths[0]
    return Member(
        label=paths[0][f"label:{study}"],
        row=row,
        enters=not first and all(not path[f"change:{study}"] for path in paths),
        ends=not last and all(path["last"] == study for path in paths),
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
        one, other = (row[f"term:{study}"] or f"{AWAY} {row['path']}" for study in (older, newer))
        if one in places[place] and other in places[place + 1]:
            ends = places[place][one], places[place + 1][other]
            line = int(row[f"line:{older}"] or 0)
            grade = row[f"migration:{newer}"]
            away = AWAY in (one.split(" ")[0], other.split(" ")[0])
            found[one, other] = Strand(place, *ends, "not_compared" if away else grade, line)
    return sorted(found.values(), key=lambda each: (each.grade in MOVES, each.start, each.end))
