"""`design.csv` in a study's folder: who is shown what; lines that were issued stay as they are."""

import csv
import io
import os
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from felloe.errors import Fault
from felloe.ground.arrays import Array, Ints
from felloe.validation.intake.folder import EXPECTED, SPREADSHEETS, read_table
from felloe.validation.intake.lexicon.left_out import LEFT_OUT, without_terms
from felloe.validation.intake.raw.cells import (
    Judge,
    Verdict,
    has_columns,
    judge_identifier,
    report,
    report_repeated,
)
from felloe.validation.intake.raw.characters import cleaned
from felloe.validation.intake.raw.csv_reader import first_row, likely_separator
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.intake.sorts.parts import DESIGN
from felloe.validation.intake.sorts.sorting import codes_among, read_positions

COLUMNS = EXPECTED[DESIGN]
ANEW = (
    "Or, before anybody sorted, remove design.csv on purpose and write it anew: everybody is then "
    "shown another set."
)
TERM_GONE = f"Put it back, or its row into {LEFT_OUT}: who was issued this term sorts it. {ANEW}"
PERSON_GONE = (
    "Put them back into participants.csv or invitations.csv, or write their new name here. Of who "
    "takes no part any more, delete the lines here; of who withdraws, `withdraw STUDY PARTICIPANT` "
    "takes everything out."
)


@dataclass(frozen=True)
class Rows:
    """
    The rows of a design.

    Attributes
    ----------
    person, term : (n_rows,) array of int
        Places among those of the study, in sorted order.
    position : (n_rows,) array of int
        0 where not given.
    """

    person: Array
    term: Ints
    position: Array

    def by_person(self, key: Array) -> Iterator[tuple[int, Ints]]:
        """Yield the rows of every participant, in the order of a key."""
        order = np.lexsort((key, self.person))
        who, first = np.unique(self.person[order], return_index=True)
        yield from zip(who.tolist(), np.split(order, first)[1:], strict=True)


NONE = np.zeros(0, dtype=np.int64)
NO_ROWS = Rows(NONE, NONE, NONE)


def design_of(folder: Path) -> Path:
    """Return where the design of a study stands, or would: a spreadsheet where only that is."""
    path, sheet = folder / DESIGN, folder / SPREADSHEETS[DESIGN]
    return sheet if sheet.exists() and not os.path.lexists(path) else path


def read_issued(
    path: Path, people: Mapping[str, str], terms: Sequence[str], left_out: Collection[str] = ()
) -> tuple[dict[str, Ints], list[Fault]]:
    """
    Read who was issued which terms.

    Parameters
    ----------
    path : Path
    people : mapping
        Those of the study.
    terms : sequence of str
        In sorted order.
    left_out : collection of str
        Terms that people were shown and that are not analysed: their lines are passed over.

    Returns
    -------
    issued : dict of str to array of int
        Places of the terms, by participant.
    faults : list of Fault
    """
    rows, faults = checked(path, people, terms, left_out)
    known = sorted(people)
    return {known[place]: rows.term[own] for place, own in rows.by_person(rows.term)}, faults


def read_orders(
    path: Path, people: Mapping[str, str], terms: Sequence[str]
) -> dict[str, Ints | None]:
    """
    Read in which order everybody is shown their terms, of a design without faults.

    Parameters
    ----------
    path : Path
    people : mapping
        Those of the study.
    terms : sequence of str
        In sorted order.

    Returns
    -------
    dict of str to array of int, or None
        Places of the terms in order; None for whom positions are not 1, 2, 3 and so on.
    """
    rows, _ = checked(path, people, terms)
    known = sorted(people)
    found: dict[str, Ints | None] = {}
    for place, own in rows.by_person(rows.position):
        whole = bool((rows.position[own] == np.arange(1, len(own) + 1)).all())
        found[known[place]] = rows.term[own] if whole else None
    return found


def read_design(path: Path) -> RawTable:
    """Return the table of a design, nothing of it checked yet."""
    return read_table(path, str(path), COLUMNS)


def checked(
    path: Path, people: Mapping[str, str], terms: Sequence[str], left_out: Collection[str] = ()
) -> tuple[Rows, list[Fault]]:
    """Return the rows of a design, none of one with faults, and its faults."""
    table = without_terms(read_design(path), left_out)
    if not has_columns(table, COLUMNS[:2], COLUMNS[2:]):
        return NO_ROWS, table.faults
    known = sorted(people)
    report(table, "participant", gone(known, "is in neither list of people", PERSON_GONE))
    report(table, "term", gone(terms, "is no longer in terms.csv", TERM_GONE))
    report_repeated(table, COLUMNS[:2], "the term for this participant")
    person, term = codes_among(table["participant"], known), codes_among(table["term"], terms)
    position = np.zeros(len(table), dtype=np.int32)
    if "position" in table:
        position = read_positions(table, person)
    rows = Rows(person, term.astype(np.int64), position)
    return NO_ROWS if table.faults else rows, table.faults


def gone(known: Iterable[str], problem: str, remedy: str) -> Judge:
    """Return a judge of ids that were known when the design was issued."""
    there = set(known)

    def judge(value: str) -> Verdict:
        return None if value in there else judge_identifier(value) or (problem, remedy)

    return judge


def with_people(data: bytes, rows: Iterable[tuple[str, str, int]]) -> bytes:
    """
    Return the file with rows put after those that it has.

    Parameters
    ----------
    data : bytes
        Of the file, every byte of which stays; empty if there is none yet.
    rows : iterable of (participant, term, position)

    Returns
    -------
    bytes
        Written as the file is: its separator, line ends and columns.
    """
    if not data:
        data = f"{','.join(COLUMNS)}\n".encode()
    separator = likely_separator(data, COLUMNS)
    text = io.StringIO(data.decode("utf-8-sig"), newline="")
    names, _ = first_row(csv.reader(text, delimiter=separator))
    cells = [COLUMNS.index(name) if name in COLUMNS else None for name in map(cleaned, names)]
    end = line_end(data)
    lines = [
        separator.join("" if cell is None else str(row[cell]) for cell in cells) for row in rows
    ]
    gap = b"" if data.endswith((b"\n", b"\r")) or not lines else end
    return data + gap + b"".join(line.encode() + end for line in lines)


def line_end(data: bytes) -> bytes:
    """Return how the lines of a file end."""
    return next((end for end in (b"\r\n", b"\n", b"\r") if end in data), b"\n")
