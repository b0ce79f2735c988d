"""Who took part: the register of participants."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from felloe.validation.intake.raw.cells import (
    Verdict,
    has_columns,
    judge_person,
    report,
    report_repeated,
    unknown_id,
)
from felloe.validation.intake.raw.raw_table import RawTable

PLAIN_NUMBER = re.compile(r"\d{1,6}(\.\d+)?")
LONG_DAY = 24 * 60  # minutes; more is noted


@dataclass(frozen=True)
class Register:
    """
    The participants in sorted order.

    Attributes
    ----------
    participants, populations : tuple of str
    minutes : tuple of float
        nan where not given.
    lines : tuple of int
    """

    participants: tuple[str, ...] = ()
    populations: tuple[str, ...] = ()
    minutes: tuple[float, ...] = ()
    lines: tuple[int, ...] = ()


def check_participants(table: RawTable, populations: Mapping[str, str]) -> Register:
    """
    Check `participants.csv`.

    Parameters
    ----------
    table : RawTable
    populations : dict of str to str
        Declared populations and their labels.

    Returns
    -------
    Register
    """
    if not has_columns(table, ("participant", "population"), ("minutes",)):
        return Register()
    report(table, "participant", judge_person)
    report_repeated(table, ["participant"], "the participant")
    if populations:
        remedy = "Declare it under `populations` in study.yaml, or mend the cell."
        report(table, "population", unknown_id(populations, "population", remedy, populations))
    people: dict[str, tuple[str, str, float, int]] = {}
    rows = zip(
        table["participant"].texts(),
        table["population"].texts(),
        read_minutes(table),
        table.lines.tolist(),
        strict=True,
    )
    for row in rows:
        people.setdefault(row[0], row)
    ordered = sorted(people.values())
    return Register(*zip(*ordered, strict=True)) if ordered else Register()


def read_minutes(table: RawTable) -> list[float]:
    """Return the minutes of every row, nan where not given."""
    if "minutes" not in table:
        return [math.nan] * len(table)
    report(table, "minutes", judge_minutes)
    column = table["minutes"]
    numbers = [float(text) if PLAIN_NUMBER.fullmatch(text) else math.nan for text in column.values]
    minutes = [numbers[code] for code in column.codes.tolist()]
    for value, line in zip(minutes, table.lines.tolist(), strict=True):
        if value > LONG_DAY:
            problem = "the time is more than a day; was the page left open?"
            table.note(line, "minutes", problem, "warning")
    return minutes


def judge_minutes(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is empty or a number from 0."""
    if not value or (value.isascii() and PLAIN_NUMBER.fullmatch(value)):
        return None
    if re.fullmatch(r"\d+,\d+", value):
        return "has a decimal comma", f"Write {value.replace(',', '.')}."
    return "is no number of minutes", "Write a number such as 12 or 12.5, or leave it empty."
