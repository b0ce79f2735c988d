"""A plan in words, for the screen and below its figure."""

import math
import textwrap
from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from felloe.ground.files.tables import Row

WIDTH = 100  # characters of a line on the screen
AS_GOOD = (
    "This is as good as its assumptions: real people need not sort like these, and a plan is no "
    "promise."
)
TRIED = (
    "Tried on invented people of four other kinds (DEVELOPERS.md), studies were about as reliable "
    "as a plan from a pilot said, or more so (0.06 less at the worst); classes and subclasses came "
    "back less well than it said, by 0.1 as a rule and up to 0.5; the movement that it named was "
    "seen in 86% of studies in the mean, in 40% at the worst."
)
HEADING = (
    "What a study of {terms} terms would show: {studies} simulated studies of every size, with "
    "{classes} classes and {subclasses} subclasses ({source})."
)
ASSUMED = (
    "Assumed: {coarse:.0%} of the people make a pile of every class, the others of every subclass; "
    "{astray:.0%} of the terms go into one of the person's own piles at random; {smaller:.0%} of "
    "the people belong to the smaller of two populations."
)
STATED = "stated in design.assumptions"
PILOT = "from the pilot {name}"
COLUMNS = (
    "terms each  people  observers  reliability  of the smaller  classes  subclasses  moved terms"
)
LEGEND = (
    "Observers: people who are shown both of two terms, in the mean.",
    "Reliability: how far a second study of this size would agree, from 0 to 1 (split halves, "
    "stepped up); of everybody, and of the smaller population alone.",
    "Classes, subclasses: how far the groups that people know come back; 1 is all, 0 what chance "
    "gives (adjusted Rand index).",
    "Moved terms: how many terms the smaller population has to place in another class before the "
    "dossier's matched test sees it in {enough:.0%} of studies.",
)
REACHED = "A reliability of {target:g} (stability.target) takes {sizes}."
ENOUGH = "{people:,} people with {each} terms each"
NOT_ENOUGH = "more than {people:,} people with {each} terms each"
DRAWN = (
    "Shaded: where nine of ten studies lie. No mark on the right: more than a third of the terms."
)
WRITTEN = "All numbers with errors and ranges: {table}; drawn: {figure}"
TOO_FEW = "What a study would show is not simulated: {terms} terms are fewer than {fewest}."
FINISHED = "This study was run ({path}), and cannot tell whether its populations may be pooled."
PARTS = "Whoever comes anew is taken to be shown as many terms as the others were."
OTHERWISE_MADE = (
    "How many more people would settle the study that was run cannot be said: {path} is not whole, "
    "or another version made it. Run the study again."
)


def folded(text: str) -> str:
    """Return a text in lines that fit the screen."""
    return textwrap.fill(text, WIDTH, break_long_words=False, break_on_hyphens=False)


def assumed_lines(about: Mapping[str, Any]) -> list[str]:
    """Return what a plan was made from, in two sentences."""
    pilot, assumed = about["pilot"], about["assumed"]
    source = PILOT.format(name=pilot) if pilot else STATED
    heading = HEADING.format(studies=about["studies"], source=source, **assumed)
    return [heading, ASSUMED.format(**assumed)]


def plan_text(
    rows: Sequence[Row], about: Mapping[str, Any], paths: tuple[str, str], target: float
) -> str:
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
    target : float
        Reliability to plan for.
    """
    legend = [line.format(enough=about["power"]) for line in LEGEND]
    written = WRITTEN.format(table=paths[0], figure=paths[1])
    return "\n".join(
        [
            *map(folded, assumed_lines(about)),
            "",
            COLUMNS,
            *(line_of(row) for row in rows),
            "",
            *map(folded, legend),
            "",
            *map(folded, [reached(rows, target), f"{AS_GOOD} {TRIED}"]),
            written,
        ]
    )


def figure_text(about: Mapping[str, Any]) -> str:
    """Return what stands below the figure."""
    return " ".join([f"{about['study']}.", *assumed_lines(about), DRAWN, AS_GOOD, TRIED])


def reached(rows: Sequence[Row], target: float) -> str:
    """Return the fewest people who reach the reliability to plan for, by terms a person."""
    sizes = []
    for each, of_it in groupby(rows, key=lambda row: row["terms_each"]):
        own = list(of_it)
        people = [row["people"] for row in own if row["reliability"] >= target]
        said = ENOUGH if people else NOT_ENOUGH
        sizes.append(said.format(people=min(people or [own[-1]["people"]]), each=each))
    return REACHED.format(target=target, sizes="; ".join(sizes))


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
