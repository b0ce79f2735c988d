"""The sorts themselves: one row per placement (long) or per participant (wide), to one matrix."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Bools, Ints
from felloe.ground.people.sorts import UNPLACED
from felloe.validation.intake.raw.cells import (
    grouped_rows,
    guesser,
    has_columns,
    judge_pile,
    judge_whole_number,
    plain_pile,
    report,
    report_repeated,
    unknown_id,
)
from felloe.validation.intake.raw.raw_table import Column, Interner, RawTable

ONE_BY_ONE = 5  # missing terms of a participant; more are named in one line
ADD_ROWS = (
    "Was everybody shown a part of the terms? Then design.csv is missing, which says who was shown "
    "what. If not, add the rows; their pile stays empty if the term was not placed."
)
LONG_COLUMNS = ("participant", "term", "pile")


@dataclass(frozen=True)
class Placements:
    """
    Who put what where.

    Attributes
    ----------
    piles : (n_participants, n_terms) array of int32
        Codes, meaningful within a row only; `UNPLACED` where a term was not placed.
    positions : (n_participants, n_terms) array of int32
        Order in which the participant saw the term, from 1; 0 where not given.
    """

    piles: Array
    positions: Array


Checked = tuple[Placements | None, list[str]]


def check_sorts(
    table: RawTable,
    layout: str,
    participants: Sequence[str] | None,
    terms: Sequence[str] | None,
    shown: Bools | None = None,
) -> Checked:
    """
    Check the table of sorts.

    Parameters
    ----------
    table : RawTable
    layout : {"long", "wide"}
    participants, terms : sequence of str or None
        In sorted order; None where the list could not be read, so that only the cells
        themselves can be checked.
    shown : (n_participants, n_terms) array of bool, optional
        Who was shown what; None where everybody was shown every term. A term that was shown and
        has no row was not placed; one that was not shown may have none.

    Returns
    -------
    placements : Placements or None
        None if the table has a fault.
    without : list of str
        Participants of whom it holds no row.
    """
    if layout == "wide":
        return check_wide(table, participants, terms, shown)
    return check_long(table, participants, terms, shown)


def check_long(
    table: RawTable,
    participants: Sequence[str] | None,
    terms: Sequence[str] | None,
    shown: Bools | None = None,
) -> Checked:
    """Check sorts with one row per participant and term."""
    if not has_columns(table, LONG_COLUMNS, ("position",), others=terms or ()):
        if "participant" in table and set(table.columns) & set(terms or ()):
            problem = "looks like the wide layout: its columns are terms"
            remedy = "Write `sorts_layout: wide` in study.yaml."
            table.fault(table.header_line, "", "", problem, remedy)
        return None, []
    remedy = "Add the participant to participants.csv, or delete these rows."
    report(table, "participant", unknown_id(participants, "participant", remedy))
    remedy = "Add the term to terms.csv, or delete these rows."
    report(table, "term", unknown_id(terms, "term", remedy))
    report(table, "pile", judge_pile)
    if participants is None or terms is None:
        if "position" in table:
            report(table, "position", judge_whole_number)
        return None, []
    person = codes_among(table["participant"], participants)
    term = codes_among(table["term"], terms)
    known = (person >= 0) & (term >= 0)
    cell = person.astype(np.int64)[known] * max(len(terms), 1) + term[known]
    shape = (len(participants), len(terms))
    counts = np.bincount(cell, minlength=shape[0] * shape[1]).reshape(shape)
    rows = np.flatnonzero(known)
    report_sorted_twice(table, counts, cell, rows, participants, terms)
    if shown is not None:
        report_not_shown(table, shown.ravel()[cell], rows, "term")
    elif not table.partial:
        report_missing(table, counts, person, term, participants, terms)
    piles = pile_codes(table, "pile", Interner())
    matrix = np.full(shape, UNPLACED, dtype=np.int32)
    matrix.ravel()[cell] = piles[rows]
    positions = np.zeros(shape, dtype=np.int32)
    if "position" in table:
        positions.ravel()[cell] = read_positions(table, person)[rows]
    report_letter_case(table, ["pile"], person, participants)
    seen = np.bincount(person[person >= 0], minlength=len(participants)) > 0
    without = [name for name, there in zip(participants, seen, strict=True) if not there]
    without = [] if table.partial else without
    return (None if table.faults else Placements(matrix, positions)), without


def codes_among(column: Column, known: Sequence[str]) -> Array:
    """Return, for every row, the place of its value among the known ones, or -1."""
    places = {name: i for i, name in enumerate(known)}
    lookup = np.array([places.get(value, -1) for value in column.values] or [-1], dtype=np.int32)
    return lookup[column.codes]


def report_sorted_twice(
    table: RawTable,
    counts: Ints,
    cell: Ints,
    rows: Ints,
    people: Sequence[str],
    terms: Sequence[str],
) -> None:
    """Report every row that places a term which its participant has placed before."""
    repeated = np.flatnonzero(counts.ravel()[cell] > 1) if (counts > 1).any() else ()
    first: dict[int, int] = {}
    for index in repeated:
        key, line = int(cell[index]), int(table.lines[rows[index]])
        if key not in first:
            first[key] = line
            continue
        person, term = people[key // len(terms)], terms[key % len(terms)]
        problem = f"participant '{person}' sorted '{term}' twice (first on line {first[key]})"
        table.fault(line, "term", term, problem, "A single sort has each term once: keep one row.")


def report_not_shown(table: RawTable, seen: Bools, rows: Ints, column: str) -> None:
    """
    Report placements of terms that their participant was not shown.

    Parameters
    ----------
    table : RawTable
    seen : (n,) array of bool
        Whether the participant was shown the term.
    rows : (n,) array of int
        The table's rows.
    column : str
        Where the term stands: the column `term`, or that of the term itself.
    """
    undo = "Delete the row" if column == "term" else "Empty the cell"
    for row in rows[~seen].tolist():
        who = table["participant"].values[table["participant"].codes[row]]
        value = table[column].values[table[column].codes[row]]
        term = value if column == "term" else column
        problem = f"participant '{who}' was not shown '{term}' (design.csv)"
        remedy = f"{undo}; or, if the term was shown, add it to design.csv."
        table.fault(table.lines[row], column, value, problem, remedy)


def report_missing(
    table: RawTable,
    counts: Ints,
    person: Array,
    term: Array,
    people: Sequence[str],
    terms: Sequence[str],
) -> None:
    """Report terms of which a participant has no row, where no misspelling explains it."""
    last_row = np.full(len(people), -1)
    present = person >= 0
    last_row[person[present]] = np.flatnonzero(present)
    gaps = (counts == 0) & (last_row >= 0)[:, None]
    if not gaps.any():
        return
    guess = guesser(terms)
    guesses = {value: guess(value) for value in set(table["term"].values) - set(terms)}
    misspelt: dict[int, set[str | None]] = {}
    for row in np.flatnonzero(present & (term < 0)).tolist():
        text = table["term"].values[table["term"].codes[row]]
        misspelt.setdefault(int(person[row]), set()).add(guesses[text])
    for i in np.flatnonzero(gaps.any(axis=1)).tolist():
        absent = [terms[j] for j in np.flatnonzero(gaps[i]).tolist()]
        absent = [term for term in absent if term not in misspelt.get(i, ())]
        report_absent(table, table.lines[last_row[i]], people[i], absent, len(terms))


def report_absent(
    table: RawTable, line: int, person: str, absent: Sequence[str], n_terms: int
) -> None:
    """Report the terms of which a participant has no row: one by one, or many at once."""
    remedy = "Add the row; its pile stays empty if the term was not placed."
    if len(absent) <= ONE_BY_ONE:
        for term in absent:
            table.fault(
                line, "term", term, f"participant '{person}' has no row for '{term}'", remedy
            )
        return
    names = ", ".join(absent)
    problem = f"participant '{person}' has no row for {len(absent)} of {n_terms} terms: {names}"
    table.fault(line, "term", "", problem, ADD_ROWS)


def pile_codes(table: RawTable, name: str, interner: Interner) -> Array:
    """Return one code per row for plain piles, `UNPLACED` for empty ones; respelling is noted."""
    column = table[name]
    lookup = [interner[plain_pile(text)] if text else UNPLACED for text in column.values]
    respelt = [i for i, text in enumerate(column.values) if text and plain_pile(text) != text]
    rows = column.rows_of(respelt)
    if len(rows):
        text = column.values[column.codes[rows[0]]]
        problem = f"{len(rows)} cell(s) such as {text!r} were read as {plain_pile(text)!r}"
        table.note(table.lines[rows[0]], name, problem)
    zero = [i for i, text in enumerate(column.values) if plain_pile(text) == "0"]
    rows = column.rows_of(zero)
    if len(rows):
        problem = f"{len(rows)} cell(s) hold pile 0, read as a pile like any other; "
        problem += "if 0 stands for 'not placed', leave those cells empty"
        table.note(table.lines[rows[0]], name, problem, "warning")
    return np.array(lookup or [UNPLACED], dtype=np.int32)[column.codes]


def report_letter_case(
    table: RawTable, names: Sequence[str], person: Array, participants: Sequence[str]
) -> None:
    """Report piles of one participant that differ in capitals only, as 'a' and 'A'."""
    spellings: dict[str, set[str]] = {}
    for name in names:
        for text in table[name].values:
            spellings.setdefault(text.casefold(), set()).add(text)
    doubtful = {text for texts in spellings.values() if len(texts) > 1 for text in texts}
    seen: dict[tuple[int, str], str] = {}
    reported: set[tuple[int, str]] = set()
    for name in names if doubtful else ():
        column = table[name]
        codes = [i for i, text in enumerate(column.values) if text in doubtful]
        for code, rows in grouped_rows(column, codes).items():
            text = column.values[code]
            for row in rows:
                key = (int(person[row]), text.casefold())
                other = seen.setdefault(key, text)
                if key[0] >= 0 and other != text and key not in reported:
                    reported.add(key)
                    who = participants[key[0]]
                    problem = f"participant '{who}' has piles {other!r} and {text!r}"
                    remedy = "Write one pile in one way; number different piles differently."
                    table.fault(table.lines[row], name, text, problem, remedy)


def read_positions(table: RawTable, person: Array) -> Array:
    """Return the position of every row, 0 where not given; a place taken twice is reported."""
    bad = report(table, "position", judge_whole_number)
    column = table["position"]
    numbers = [
        0 if code in bad or not text else int(plain_pile(text))
        for code, text in enumerate(column.values)
    ]
    positions = np.array(numbers or [0], dtype=np.int32)[column.codes]
    key = person.astype(np.int64) * 10_000_000 + positions
    rows = np.flatnonzero((positions > 0) & (person >= 0))
    order = rows[np.argsort(key[rows], kind="stable")]
    for place in np.flatnonzero(key[order][1:] == key[order][:-1]).tolist():
        row = order[place + 1]
        who = table["participant"].values[table["participant"].codes[row]]
        line = table.lines[order[place]]
        problem = f"participant '{who}' saw two terms in this position (also on line {line})"
        table.fault(
            table.lines[row], "position", str(positions[row]), problem, "Number the terms as seen."
        )
    return positions


def check_wide(
    table: RawTable,
    participants: Sequence[str] | None,
    terms: Sequence[str] | None,
    shown: Bools | None = None,
) -> Checked:
    """Check sorts with one row per participant and one column per term."""
    if not has_columns(table, ("participant",), (), others=[*table.columns]):
        return None, []
    if {"term", "pile"} <= set(table.columns) and "term" not in (terms or ()):
        problem = "looks like the long layout: it has columns 'term' and 'pile'"
        table.fault(
            table.header_line, "", "", problem, "Take `sorts_layout: wide` out of study.yaml."
        )
        return None, []
    check_term_columns(table, terms)
    remedy = "Add the participant to participants.csv, or delete the row."
    report(table, "participant", unknown_id(participants, "participant", remedy))
    report_repeated(table, ["participant"], "the participant")
    there = [name for name in table.columns if name != "participant"]
    for term in there:
        report(table, term, judge_pile)
    if participants is None or terms is None:
        return None, []
    person = codes_among(table["participant"], participants)
    report_letter_case(table, there, person, participants)
    if shown is not None:
        report_filled(table, shown, person, terms)
    seen = set(person.tolist())
    without = [name for i, name in enumerate(participants) if i not in seen]
    without = [] if table.partial else without
    if table.faults:
        return None, without
    matrix = np.full((len(participants), len(terms)), UNPLACED, dtype=np.int32)
    interner = Interner()
    for j, term in enumerate(terms):
        matrix[person, j] = pile_codes(table, term, interner)
    return Placements(matrix, np.zeros(matrix.shape, dtype=np.int32)), without


def report_filled(table: RawTable, shown: Bools, person: Array, terms: Sequence[str]) -> None:
    """Report filled cells of a wide table whose term the participant was not shown."""
    known = np.flatnonzero(person >= 0)
    for j, term in enumerate(terms):
        if term not in table:
            continue
        filled = np.array([bool(text) for text in table[term].values] or [False])
        rows = known[filled[table[term].codes[known]]]
        report_not_shown(table, shown[person[rows], j], rows, term)


def check_term_columns(table: RawTable, terms: Sequence[str] | None) -> None:
    """Report columns of a wide table that are no terms, and terms that have no column."""
    judge = unknown_id(terms, "term", "Add the term to terms.csv, or delete the column.")
    guesses, guess = set(), guesser(terms or ())
    line = table.header_line
    for name in table.columns:
        verdict = judge(name) if name != "participant" else None
        if verdict:
            table.fault(line, name, name, *verdict)
            guesses.add(guess(name))
    for term in terms or ():
        if term not in table and term not in guesses and not table.unnamed:
            problem = f"no column for the term '{term}'"
            remedy = "Add it; its cells stay empty where it was not placed."
            table.fault(line, term, "", problem, remedy)


def numbered(piles: Array) -> Array:
    """
    Number each participant's piles from 1 in order of first appearance.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        `UNPLACED` where a term was not placed.

    Returns
    -------
    (n_participants, n_terms) array of int16
    """
    result = np.full(piles.shape, UNPLACED, dtype=np.int16)
    for row, numbers in zip(piles, result, strict=True):
        placed = row != UNPLACED
        _, first, inverse = np.unique(row[placed], return_index=True, return_inverse=True)
        rank = np.empty(len(first), dtype=np.int16)
        rank[np.argsort(first, kind="stable")] = np.arange(1, len(first) + 1)
        numbers[placed] = rank[inverse]
    return result
