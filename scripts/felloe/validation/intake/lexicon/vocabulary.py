"""Terms, and what was decided about their names, places and colours."""

import math
import re
from collections.abc import Collection
from datetime import date

from felloe.ground.files.tables import Row
from felloe.ground.groups.decided import leads_to
from felloe.validation.intake.raw.cells import (
    Judge,
    Verdict,
    has_columns,
    judge_identifier,
    judge_text,
    note_dangerous,
    report,
    report_repeated,
    unknown_id,
)
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.settings import Limits

TERM_COLUMNS = ("term", "label")
TERM_OPTIONAL = ("definition", "reference", "caution", "width", "renamed_from")
NAME_COLUMNS = ("tier", "anchor", "name")
NAME_OPTIONAL = ("absorbs", "reason", "decided_on", "decided_by")
DECISION_COLUMNS = ("term", "beside", "reason", "decided_on")
COLOUR_COLUMNS = ("term", "respondent", "colour")
Known = Collection[str] | None  # ids; None where the list could not be read
COLOUR = re.compile(r"#[0-9A-Fa-f]{6}")
WIDTH = re.compile(r"\d+(\.\d+)?")


def texts(table: RawTable, name: str) -> list[str]:
    """Return a column's texts, empty ones if the table has no such column."""
    return table[name].texts() if name in table else [""] * len(table)


def check_terms(table: RawTable, limits: Limits) -> list[Row]:
    """
    Check `terms.csv`.

    Returns
    -------
    list of dict
        One per term, in sorted order.
    """
    if not has_columns(table, TERM_COLUMNS, TERM_OPTIONAL):
        return []
    report(table, "term", judge_identifier)
    report_repeated(table, ["term"], "the term")
    report(table, "label", judge_text(limits.longest_label, needed=True))
    for name in ("definition", "reference", "caution"):
        if name in table:
            report(table, name, judge_text(limits.longest_text, lines=True))
            note_dangerous(table, name)
    note_dangerous(table, "label")
    if "width" in table:
        report(table, "width", judge_width)
    if "renamed_from" in table:
        report(table, "renamed_from", lambda value: judge_identifier(value) if value else None)
    same_label(table)
    columns = [texts(table, name) for name in (*TERM_COLUMNS, *TERM_OPTIONAL)]
    rows: list[Row] = [
        dict(zip((*TERM_COLUMNS, *TERM_OPTIONAL), row, strict=True))
        for row in zip(*columns, strict=True)
    ]
    for row in rows:
        row["width"] = float(row["width"]) if WIDTH.fullmatch(row["width"]) else math.nan
    return sorted(rows, key=lambda row: row["term"])


def judge_width(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is empty or a positive number."""
    if not value or (WIDTH.fullmatch(value) and value.isascii() and 0 < float(value) <= 1000):
        return None
    return "is no width: a number above 0, 1 being usual", "Write 1, 1.5 ... or leave it empty."


def same_label(table: RawTable) -> None:
    """Warn of two terms that a reader can't tell apart."""
    seen: dict[str, str] = {}
    for label, term, line in zip(
        texts(table, "label"), texts(table, "term"), table.lines.tolist(), strict=True
    ):
        other = seen.setdefault(label.casefold(), term)
        if other != term and label:
            table.note(line, "label", f"{label!r} is also the label of '{other}'", "warning")


def check_names(table: RawTable, terms: Known, limits: Limits) -> list[Row]:
    """
    Check `names.csv`.

    Returns
    -------
    list of dict
        Sorted by tier and anchor.
    """
    if not has_columns(table, NAME_COLUMNS, NAME_OPTIONAL):
        return []
    report(table, "tier", one_of("class", "subclass"))
    report(table, "anchor", unknown_id(terms, "term", "Name a term of terms.csv."))
    report(table, "name", judge_text(limits.longest_label, needed=True))
    note_dangerous(table, "name")
    if "absorbs" in table:
        report(table, "absorbs", one_of("yes", "no", ""))
    check_said(table, limits)
    report_repeated(table, ["anchor", "tier"], "a name for the same tier and anchor")
    report_repeated(table, ["name", "tier"], "the name within its tier")
    names = (*NAME_COLUMNS, *NAME_OPTIONAL)
    rows = [
        {**dict(zip(names, row, strict=True)), "from_ballot": "no"}
        for row in zip(*(texts(table, name) for name in names), strict=True)
    ]
    for row in rows:
        row["absorbs"] = row["absorbs"] or "no"
    return sorted(rows, key=lambda row: (row["tier"], row["anchor"]))


def one_of(*words: str) -> Judge:
    """Return a judge of a cell that holds one of a few words."""
    known = " or ".join(f"'{word}'" if word else "an empty cell" for word in words)

    def judge(value: str) -> Verdict:
        return None if value in words else (f"is neither {known}", f"Write {known}.")

    return judge


def check_decisions(table: RawTable, terms: Known, limits: Limits) -> list[Row]:
    """
    Check `decisions.csv`.

    Returns
    -------
    list of dict
        Sorted by date and term.
    """
    if not has_columns(table, DECISION_COLUMNS, ("decided_by",)):
        return []
    for name in ("term", "beside"):
        report(table, name, unknown_id(terms, "term", "Name a term of terms.csv."))
    check_said(table, limits, needed=True)
    report_repeated(table, ["term"], "a decision on the term")
    columns = [texts(table, name) for name in (*DECISION_COLUMNS, "decided_by")]
    rows = [
        {**dict(zip((*DECISION_COLUMNS, "decided_by"), row, strict=True)), "from_ballot": "no"}
        for row in zip(*columns, strict=True)
    ]
    circular_decisions(table, rows)
    return sorted(rows, key=lambda row: (row["decided_on"], row["term"]))


def check_said(table: RawTable, limits: Limits, needed: bool = False) -> None:
    """
    Check why, on which day and by whom something was decided, as far as the table has columns.

    Parameters
    ----------
    table : RawTable
    limits : Limits
    needed : bool
        Whether reason and day have to be there.
    """
    if "reason" in table:
        report(table, "reason", judge_text(limits.longest_text, needed=needed, lines=True))
        note_dangerous(table, "reason")
    if "decided_on" in table:
        report(table, "decided_on", lambda day: judge_day(day) if day or needed else None)
    if "decided_by" in table:
        report(table, "decided_by", judge_text(limits.longest_label))


def circular_decisions(table: RawTable, rows: list[Row]) -> None:
    """Report a term moved beside itself, and terms that are moved beside one another in a ring."""
    beside = {row["term"]: row["beside"] for row in rows}
    for row, line in zip(rows, table.lines.tolist(), strict=True):
        term, place = row["term"], row["beside"]
        if term == place:
            problem = "the decision moves the term beside itself"
            table.fault(line, "beside", place, problem, "Name the term that it is to join.")
            continue
        if leads_to(place, term, beside):
            problem = f"'{term}' and '{place}' are each moved beside the other"
            table.fault(line, "beside", place, problem, "Take one of the decisions back.")


def judge_day(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is a day, year-month-day."""
    try:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", value, re.ASCII):
            date.fromisoformat(value)
            return None
    except ValueError:
        pass
    return "is no day", "Write year-month-day, for example 2026-03-27."


def check_colours(table: RawTable, terms: Known, limits: Limits) -> list[Row]:
    """
    Check `colours.csv`.

    Returns
    -------
    list of dict
        Sorted by term and respondent; colours in small letters.
    """
    if not has_columns(table, COLOUR_COLUMNS):
        return []
    report(table, "term", unknown_id(terms, "term", "Name a term of terms.csv."))
    report(table, "respondent", judge_text(limits.longest_label, needed=True))
    report(table, "colour", judge_colour)
    report_repeated(table, ["term", "respondent"], "a colour for the term by the same respondent")
    columns = [texts(table, name) for name in COLOUR_COLUMNS]
    rows = [
        {"term": term, "respondent": respondent, "colour": colour.lower()}
        for term, respondent, colour in zip(*columns, strict=True)
    ]
    return sorted(rows, key=lambda row: (row["term"], row["respondent"]))


def judge_colour(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is #rrggbb."""
    if COLOUR.fullmatch(value):
        return None
    return "is no colour", "Write # and six of 0-9 and a-f, for example #8fbc8f."
