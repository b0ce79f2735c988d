"""What differs inside a file, in words."""

from collections.abc import Sequence

from felloe.audit.differences import (
    NOW,
    CellDifference,
    ContentDifference,
    EntryDifference,
    TableDifference,
)
from felloe.audit.phrases import ARROW, LONGEST, Sides, counted, listed, text
from felloe.errors import shortened

ENTRY_HEADS = {"record": "entry", "tree": "node", "triples": "statement", "lines": "line"}
KINDS = {"record": "entries", "tree": "nodes", "triples": "statements", "lines": "lines"}
PERSONAL = "It may hold data about single people; look into the two folders for its contents."
SAME_IDS = (
    "Rows go by what stands in the files. A group's id is its alphabetically first term, so that "
    "two groups of one id need not be the same group; groups are matched by their terms above."
)


def table(one: TableDifference, sides: Sides) -> str:
    """Return how much of a table differs."""
    if one.problem:
        return problem(one.problem, sides)
    parts = [
        counted(one.n_cells, "cell differs", "cells differ") if one.n_cells else "",
        only(one.n_rows_was, "row", sides[0]),
        only(one.n_rows_now, "row", sides[1]),
        columns(one.columns_was, sides[0], one.personal),
        columns(one.columns_now, sides[1], one.personal),
        "rows stand in another order" if one.reordered else "",
    ]
    return "; ".join(part for part in parts if part) or "the same cells, written differently"


def columns(names: Sequence[str], side: str, personal: bool) -> str:
    """Return which columns one side has alone; their number, where names may be people's."""
    if personal or not names:
        return only(len(names), "column", side)
    return f"columns only in {side}: {listed(names, 3)}"


def only(number: int, thing: str, side: str) -> str:
    """Return how many things one side has alone."""
    return f"{counted(number, thing, thing + 's')} only in {side}" if number else ""


def problem(text: str, sides: Sides) -> str:
    """Return why two files could not be compared inside."""
    side, _, reason = text.partition(": ")
    return f"not compared inside: in {sides[side == NOW]} it {reason_words(reason)}"


def reason_words(reason: str) -> str:
    """Return a reason as the end of a sentence about a file."""
    return f"has a fault ({reason})" if reason.startswith("line ") else reason


def content(one: ContentDifference, sides: Sides) -> str:
    """Return how much of a record, tree, vocabulary or text differs."""
    if one.problem:
        return problem(one.problem, sides)
    if not one.number:
        return "the same contents, written differently"
    things = KINDS[one.kind]
    verb = "differs" if one.number == 1 else "differ"
    return f"{counted(one.number, ENTRY_HEADS[one.kind], things)} {verb}"


def row(one: CellDifference | tuple[str, ...], key: Sequence[str]) -> str:
    """Return what a row is called."""
    names = one.row if isinstance(one, CellDifference) else one
    return shortened(" / ".join(names), LONGEST) if key else f"row {names[0]}"


def by(one: CellDifference) -> str:
    """Return how much a number changed, with its sign; nothing for words."""
    return "" if one.by is None else f"{one.by:+.4g}"


def cell(one: CellDifference, key: Sequence[str]) -> str:
    """Return a cell that differs, on a line."""
    amount = f" ({by(one)})" if one.by is not None else ""
    values = f"{text(one.was)}{ARROW}{text(one.now)}"
    return f"{row(one, key)}, {one.column}: {values}{amount}"


def entry(one: EntryDifference) -> str:
    """Return an entry that differs, on a line."""
    return f"{shortened(one.key, 60)}: {text(one.was)}{ARROW}{text(one.now)}"
