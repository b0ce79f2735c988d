"""A plan in words, for the screen and below its figure."""

import math
import textwrap
from collections.abc import Mapping, Sequence
from typing import Any

from felloe.foresight.own import Own, reaching
from felloe.ground.files.tables import Row

WIDTH = 100  # characters of a line on the screen
AS_GOOD = (
    "This is as good as its assumptions: real people need not sort like these, and a plan is no "
    "promise."
)
TRIED = (
    "Tried on invented people of four other kinds (DEVELOPERS.md), studies were about as reliable "
    "as a plan from a pilot said, or more so (for the worst kind the reliability was 0.06 lower); "
    "classes and subclasses came back less well than it said, by 0.1 as a rule and up to 0.5; the "
    "movement that it named was found in 86% of studies on average, and for the worst kind in 40%."
)
CAUTION = (
    "As good as its assumptions: with people of other kinds groups came back less well, by 0.1 as "
    "a rule, at most 0.5."
)
HEADING = (
    "What a study of {terms} terms would show ({studies} simulated per size): {classes} classes "
    "and {subclasses} subclasses ({source})."
)
ASSUMED = (
    "{source}: {coarse:.0%} of people sort by classes, the rest by subclasses; {astray:.0%} of "
    "terms land in one of their piles at random; {smaller:.0%} are in the smaller of two "
    "populations{lists}."
)
LISTS = ", in the lists {share:.0%} (design.assumptions.smaller_population)"
GROUPS = {
    "pilot": "from the pilot {name}",
    "stated": "stated in design.assumptions",
    "tiers": "from tiers",
    "ranges": "assumed: near the middle of the ranges in tiers",
}
HABITS = {
    "pilot": "from the pilot",
    "stated": "stated in design.assumptions",
    "default": "defaults of design.assumptions",
}
COLUMNS = (
    "terms each  people  observers  reliability  smaller  pooling  classes  subclasses     moved"
)
LEGEND = (
    "Observers: people shown both of two terms. Reliability: how far a second study would agree, 0 "
    "to 1; smaller: of the smaller population alone. Classes, subclasses: how far known groups "
    "come back, 0 (chance) to 1. Moved: how many terms the smaller population must put into "
    "another class for {enough:.0%} of studies to find it among people who sort equally coarsely; "
    "{over}: more than a third of the terms."
)
POOLING = (
    "Pooling needs a reliability of {margin:.2f} in each population "
    "(comparison.margins.reliability): {sizes}."
)
REACHED = "A reliability of {target:g} of everybody (stability.target): {sizes}."
ENOUGH = "from {people:,} people with {each} terms each"
NOT_ENOUGH = "not up to {people:,} people with {each}"
YOURS = "yours: {each} terms each{nearest}, {people}."
NEAREST = " (the nearest to {each})"
OF_PEOPLE = "and of the sizes the nearest to the {people:,} people who are named"
NOBODY_YET = "at any size: nobody is named yet"
DRAWN = (
    "Shaded: where nine of ten studies lie. No mark on the right: more than a third of the terms. "
    "Dashes on the left have to reach the grey line ({margin:.2f}) for pooling."
)
WRITTEN = "More in {folder}: plan.csv (errors, ranges), plan.svg, plan.json."
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


def grouped(sources: Mapping[str, str], words: Mapping[str, str]) -> str:
    """Return where numbers come from; named one by one where not all come from one place."""
    if len(set(sources.values())) == 1:
        return words[next(iter(sources.values()))]
    parts = (
        (", ".join(name for name, own in sources.items() if own == source), said)
        for source, said in words.items()
    )
    return "; ".join(f"{names} {said}" for names, said in parts if names)


def assumed_lines(about: Mapping[str, Any], lists: float | None = None) -> list[str]:
    """
    Return what a plan was made from, in two sentences.

    Parameters
    ----------
    about : mapping
        `plan.json`.
    lists : float, optional
        Share of the people named who are in the smaller population; said where it is another.
    """
    sources, assumed = about["sources"], about["assumed"]
    of_groups = {name: sources[name] for name in ("classes", "subclasses")}
    of_habits = {name: own for name, own in sources.items() if name not in of_groups}
    said = {name: text.format(name=about["pilot"]) for name, text in GROUPS.items()}
    heading = HEADING.format(studies=about["studies"], source=grouped(of_groups, said), **assumed)
    differs = lists is not None and f"{lists:.0%}" != f"{assumed['smaller']:.0%}"
    share = LISTS.format(share=lists) if differs else ""
    source = f"Assumed ({grouped(of_habits, HABITS)})"
    return [heading, ASSUMED.format(source=source, lists=share, **assumed)]


def plan_text(rows: Sequence[Row], about: Mapping[str, Any], folder: str, own: Own) -> str:
    """
    Return what is said of a plan.

    Parameters
    ----------
    rows : sequence of dict
        Rows of `plan.csv`.
    about : mapping
        `plan.json`.
    folder : str
        Of table and figure, as the user sees it.
    own : Own
        The study itself.
    """
    over = f"over {rows[0]['moved_most']}"
    sizes = [pooling(rows, about["margin"]), reached(rows, about["target"])]
    return "\n".join(
        [
            folded(" ".join(assumed_lines(about, own.smaller))),
            "",
            COLUMNS,
            *map(line_of, rows, own.marked(rows)),
            yours(rows, own),
            "",
            folded(LEGEND.format(enough=about["power"], over=over)),
            folded(" ".join(sizes)),
            folded(f"{CAUTION} {WRITTEN.format(folder=folder)}"),
        ]
    )


def figure_text(about: Mapping[str, Any]) -> str:
    """Return what stands below the figure."""
    drawn = DRAWN.format(margin=about["margin"])
    return " ".join([f"{about['study']}.", *assumed_lines(about), drawn, AS_GOOD, TRIED])


def pooling(rows: Sequence[Row], margin: float) -> str:
    """Return from which sizes on populations can be pooled, by terms a person."""
    return POOLING.format(margin=margin, sizes=sizes_of(rows, "smaller_reliability", margin))


def reached(rows: Sequence[Row], target: float) -> str:
    """Return the fewest people who reach the reliability to plan for, by terms a person."""
    return REACHED.format(target=target, sizes=sizes_of(rows, "reliability", target))


def sizes_of(rows: Sequence[Row], name: str, least: float) -> str:
    """Return the fewest people at which a quantity is reached, by terms a person, in words."""
    by_people: dict[int | None, list[str]] = {}
    for each, people in reaching(rows, name, least).items():
        by_people.setdefault(people, []).append(str(each))
    most = max(row["people"] for row in rows)
    said = [
        (ENOUGH if people else NOT_ENOUGH).format(people=people or most, each=listed(each))
        for people, each in sorted(by_people.items(), key=lambda one: one[0] or math.inf)
    ]
    return ", ".join(said)


def listed(names: Sequence[str]) -> str:
    """Return alternatives: a, b or c."""
    return " or ".join([part for part in (", ".join(names[:-1]), names[-1]) if part])


def yours(rows: Sequence[Row], own: Own) -> str:
    """Return what the mark of the study's own size means."""
    each, people = own.size(rows)
    return YOURS.format(
        each=each,
        nearest="" if each == own.each else NEAREST.format(each=own.each),
        people=NOBODY_YET if people is None else OF_PEOPLE.format(people=own.people),
    )


def line_of(row: Row, own: bool) -> str:
    """Return the line of one size, marked where it is the study's own."""
    moved = row["moved_terms"]
    said = f"over {row['moved_most']}" if moved is None else str(moved)
    return (
        f"{row['terms_each']:10}{row['people']:8}{row['observers']:11.1f}"
        f"{number(row['reliability']):>13}{number(row['smaller_reliability']):>9}"
        f"{'yes' if row['pooling'] else 'no':>9}{number(row['classes']):>9}"
        f"{number(row['subclasses']):>12}{said:>10}{'  yours' if own else ''}"
    )


def number(value: float) -> str:
    """Return a number with two digits, a dash where it is unknown."""
    return "-" if math.isnan(value) else f"{value:.2f}"
