"""The marks of terms beside their words: what became of each from one edition to the next."""

from collections.abc import Mapping, Sequence
from math import radians

from felloe.editions.columns.figure_words import MERGED_TERM, MOVES, SPLIT_TERM
from felloe.editions.correspondence import POSSIBLE, ROBUST
from felloe.editions.linking.links import NEW, RETIRED
from felloe.ground.drawing import ACCENT, INK, PAPER
from felloe.ground.files.tables import Row
from felloe.report.sheet.plan import Plan
from felloe.report.sheet.shapes import Point, Shape, disc, line, place
from felloe.report.sheet.spoke_fitting import Word
from felloe.report.sheet.spokes import DOT

Marks = Mapping[str, str]  # by term: a grade of its move, or what else became of it
DIVIDED = (SPLIT_TERM, MERGED_TERM)


def marks_of(rows: Sequence[Row]) -> tuple[Marks, Marks]:
    """
    Return how the terms of either wheel are marked.

    Parameters
    ----------
    rows : sequence of dict
        Of the editions' `terms.csv`.

    Returns
    -------
    (dict, dict)
        By the older and by the newer edition's ids; terms without a mark are left out.
    """
    older: dict[str, str] = {}
    newer: dict[str, str] = {}
    for row in rows:
        mark = row["migration"] if row["migration"] in MOVES else row["change"]
        mark = SPLIT_TERM if mark in DIVIDED else mark
        if mark not in (ROBUST, POSSIBLE, NEW, RETIRED, SPLIT_TERM):
            continue
        if mark != RETIRED:
            newer[row["term"]] = mark
        if mark != NEW:
            older |= dict.fromkeys((row["term_older"] or "").split(";"), mark)
    return older, newer


def draw_mark(mark: str, plan: Plan, word: Word) -> list[Shape]:
    """Draw the mark of a term between its word and its evidence."""
    own = radians(word.entry["end_deg"] - word.entry["start_deg"]) * plan.rings.dot
    size = min(plan.form.dot, DOT * own)
    return mark_at(mark, place(plan.rings.dot, word.middle), size)


def mark_at(mark: str, at: Point, size: float) -> list[Shape]:
    """
    Draw a mark.

    A full disc is a robust move and an open one a possible move; a plus is new, a cross retired,
    and an open diamond split or merged: told apart by their form alone.
    """
    x, y = at
    wide = 0.42 * size
    if mark == ROBUST:
        return [disc(at, size, fill=INK, role="ink")]
    if mark == POSSIBLE:
        return [disc(at, size - wide / 2, fill=PAPER, stroke=INK, width=wide)]
    if mark == SPLIT_TERM:
        corners = ((x, y - size), (x + size, y), (x, y + size), (x - size, y))
        ring = line(*corners, corners[0], corners[1], stroke=ACCENT, width=wide)
        return [ring]
    part = size * (0.72 if mark == RETIRED else 1.0)
    ends = (
        (((x - part, y - part), (x + part, y + part)), ((x - part, y + part), (x + part, y - part)))
        if mark == RETIRED
        else (((x - part, y), (x + part, y)), ((x, y - part), (x, y + part)))
    )
    return [line(*each, stroke=ACCENT, width=1.2 * wide) for each in ends]
