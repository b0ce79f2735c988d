"""The study that is planned, among the sizes that are simulated; what nobody stated for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from felloe.ground.files.tables import Row

Source = Literal["pilot", "stated", "tiers", "ranges", "default"]
HABITS = ("coarse", "astray", "smaller_population")  # keys of design.assumptions


@dataclass(frozen=True)
class Own:
    """
    What is known of the study itself.

    Attributes
    ----------
    each : int
        Terms shown to each person.
    people : int
        People who are named; 0 where nobody is yet.
    smaller : float or None
        Share of them in the smaller of two populations; None where there are not two.
    """

    each: int
    people: int = 0
    smaller: float | None = None

    def size(self, rows: Sequence[Row]) -> tuple[int, int | None]:
        """Return the nearest size: terms a person, and people; None where nobody is named."""
        each = min((row["terms_each"] for row in rows), key=lambda one: (abs(one - self.each), one))
        if not self.people:
            return each, None
        people = (row["people"] for row in rows)
        return each, min(people, key=lambda one: (abs(one - self.people), one))

    def marked(self, rows: Sequence[Row]) -> list[bool]:
        """Return which rows are of the nearest size: all of its terms where nobody is named."""
        each, people = self.size(rows)
        return [row["terms_each"] == each and people in (None, row["people"]) for row in rows]


def sources_of(settings: Mapping[str, Any], defaults: Mapping[str, Any]) -> dict[str, Source]:
    """
    Return where each number comes from that a plan rests on.

    Parameters
    ----------
    settings : mapping
        Of the study.
    defaults : mapping
        `design.assumptions` where nobody states anything.

    Returns
    -------
    dict of str to str
        By name; what equals its default counts as not stated.
    """
    stated, tiers = settings["design"]["assumptions"], settings["tiers"]
    found: dict[str, Source] = {}
    for name, key in (("classes", "classes"), ("subclasses", "subclasses_per_class")):
        open_to: Source = "ranges" if tiers[name] == "auto" else "tiers"
        found[name] = open_to if stated[key] is None else "stated"
    for name in HABITS:
        found[name] = "default" if stated[name] == defaults[name] else "stated"
    if settings["design"]["pilot"] is not None:
        found |= dict.fromkeys(("classes", "subclasses", "coarse", "astray"), "pilot")
    return found


def reaching(rows: Sequence[Row], name: str, least: float) -> dict[int, int | None]:
    """Return the fewest people at which a quantity is reached, by terms a person; None: none."""
    found: dict[int, int | None] = {}
    for row in rows:  # people rise within each number of terms
        each = row["terms_each"]
        if found.setdefault(each, None) is None and row[name] >= least:
            found[each] = row["people"]
    return found
