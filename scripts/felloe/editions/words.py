"""What two editions compared amount to, in words: sentences of the report, the figure, notes."""

from collections.abc import Mapping
from typing import Any

from felloe.editions.correspondence import (
    MERGED,
    MOVED,
    NO_CORRESPONDENCE,
    NOISE,
    NONE,
    POSSIBLE,
    ROBUST,
    SPLIT,
    STAYED,
)

CLASS_RULE = (
    "Classes are matched one to one by the largest overlap of their common terms, never by name. "
    "A class left over, or matched no better than chance, counts as a part of the class that holds "
    "more than half of its common terms: a term that followed it there has not migrated."
)
MIGRATION_RULE = (
    "A term has migrated if its classes in the two editions do not correspond. The move is "
    "robust if the bootstrap probability of its class is at least the robust bound in both "
    "editions, possible if it is at least the possible bound in both, otherwise noise. The bounds "
    "look at each chart by itself and are no test: where nothing has moved, moves are called "
    "robust too, the most where classes run into one another."
)
CHANCE_RULE = (
    "Classes share terms by chance too. So the newer classes are dealt at random to the common "
    "terms, their sizes kept: p of two classes is the share of such divisions in which any two "
    "classes share an equally improbable number of terms. Of a term neither of whose classes has a "
    "counterpart better than chance nothing is said: no correspondence. If all classes together "
    "agree no better than chance, that holds for every term."
)
NONE_FOUND = (
    "The classes of the two editions do not correspond better than chance: no class of the one can "
    "be said to be a class of the other, and no term to have stayed in its class or to have moved."
)
SET_SHOWN = (
    "A pile depends on what else lies on the table, so a difference between the editions can come "
    "from that alone."
)
RELATIONS = {
    STAYED: "stayed",
    SPLIT: "split",
    MERGED: "merged",
    MOVED: "moved",
    NO_CORRESPONDENCE: "no correspondence",
}
WAYS = {  # what the lines of the figure mean
    NONE: "stayed, or followed its class",
    ROBUST: "robust move",
    POSSIBLE: "possible move",
    NOISE: "noise move",
    NO_CORRESPONDENCE: "classes without correspondence",
}
PAIRS_TITLE = "Every pair of common terms"


def in_parts(record: Mapping[str, Any]) -> str:
    """Return what it means that an edition was sorted in parts; "" if none was."""
    parts = [record[side]["edition"] for side in ("older", "newer") if "in_parts" in record[side]]
    if not parts:
        return ""
    if len(parts) == 2:
        return f"In both editions each participant was shown some of the terms. {SET_SHOWN}"
    sides = (record["older"], record["newer"])
    whole = next(side["edition"] for side in sides if "in_parts" not in side)
    return (
        f"Participants of {parts[0]} were shown some of the terms each, those of {whole} sorted "
        f"all of theirs: two different tasks. {SET_SHOWN}"
    )


def class_label(edition: str, name: str) -> str:
    """Return a class's name with its edition's, so that no two editions' classes look as one."""
    return f"{edition}: {name}"


def provisional(record: Mapping[str, Any]) -> str:
    """Return which of two editions is provisional; "" for none. `record` is comparison.json."""
    editions = [
        record[side]["edition"] for side in ("older", "newer") if record[side]["provisional"]
    ]
    if not editions:
        return ""
    which = f"The chart of {editions[0]} is" if len(editions) == 1 else "Both charts are"
    return (
        f"{which} provisional: whether the populations of the study may be pooled cannot be told "
        "from its sorts. What is said below of classes and terms is as provisional."
    )


def migration_title(older: str, newer: str) -> str:
    """Return what the figure of classes is called, from the names of both editions."""
    return f"Classes of {older} and {newer}"


def distances_title(older: str, newer: str) -> str:
    """Return what the figure of distances is called."""
    return f"Distances of {older} and {newer}"


def distance_axes(older: str, newer: str) -> tuple[str, str]:
    """Return what stands at the axes of the figure of distances."""
    return f"share of people who kept a pair apart, {older}", f"the same, {newer}"


def decided_heading(edition: str) -> str:
    """Return the heading of the column of moves that a committee decided."""
    return f"placed by decision, {edition}"
