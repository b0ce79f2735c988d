"""A plan in words, for the screen."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row

AS_GOOD = (
    "This is as good as its assumptions: real people need not sort like these, and a plan is no "
    "promise."
)
HEADING = (
    "What a study would show: {studies} simulated studies of every size, of {terms} terms in "
    "{classes} classes and {subclasses} subclasses ({source}).\nAssumed: {coarse:.0%} of the "
    "people make a pile of every class, the others of every subclass; {astray:.0%} of the terms go "
    "into one of the person's own piles at random; {smaller:.0%} of the people belong to the "
    "smaller of two populations."
)
STATED = "stated in design.assumptions"
PILOT = "from the pilot {name}"
COLUMNS = (
    "terms each  people  observers  reliability  of the smaller  classes  subclasses  moved terms"
)
LEGEND = (
    "Observers: people who see both terms of a pair, in the mean. Reliability: split halves, "
    "stepped up. Classes, subclasses: adjusted Rand index with what the people know. Moved terms: "
    "the fewest in another class in the smaller population that the dossier's matched test sees in "
    "{enough:.0%} of studies."
)
WRITTEN = "All numbers with errors and ranges: {table}; drawn: {figure}"
TOO_FEW = "What a study would show is not simulated: {terms} terms are fewer than {fewest}."
FINISHED = "Whether the populations may be pooled, the study that was run cannot tell."


def plan_text(rows: Sequence[Row], about: Mapping[str, Any], paths: tuple[str, str]) -> str:
    """
    Return what is said of a plan.

    Parameters
    ----------
    rows : sequence of dict
        Rows of `plan.csv`.
    about : mapping
        `plan.json`.
    paths : (str, str)
        Of table and figure, as the user sees them.
    """
    pilot = about["pilot"]
    source = PILOT.format(name=pilot) if pilot else STATED
    assumed = about["assumed"]
    head = HEADING.format(studies=about["studies"], source=source, **assumed)
    lines = [COLUMNS, *(line_of(row) for row in rows)]
    legend = LEGEND.format(enough=about["power"])
    written = WRITTEN.format(table=paths[0], figure=paths[1])
    return "\n".join([head, "", *lines, "", legend, AS_GOOD, written])


def line_of(row: Row) -> str:
    """Return the line of one size."""
    moved = row["moved_terms"]
    said = f"over {row['moved_most']}" if moved is None else str(moved)
    return (
        f"{row['terms_each']:10}{row['people']:8}{row['observers']:11.1f}"
        f"{number(row['reliability']):>13}{number(row['smaller_reliability']):>16}"
        f"{number(row['classes']):>9}{number(row['subclasses']):>12}{said:>13}"
    )


def number(value: float) -> str:
    """Return a number with two digits, a dash where it is unknown."""
    return "-" if math.isnan(value) else f"{value:.2f}"
