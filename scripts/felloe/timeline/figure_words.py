"""What stands in the picture of a timeline, in words."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.comparison.provisional_words import marked
from felloe.editions.words import WAYS
from felloe.timeline.follow import NOT_COMPARED

# what a line from one edition to the next says
LINES = {**WAYS, NOT_COMPARED: "came back: not compared"}
ENTERS, ENDS = "+", "\u00d7"
MARKS = f"{ENTERS}  new in this edition          {ENDS}  not in the next one"


def away_text(label: str) -> str:
    """Return what stands at the line of a path that an edition interrupts."""
    return f"{label}: not in this edition"


def title(editions: Sequence[Mapping[str, Any]]) -> str:
    """Return what the picture is called, from the editions of the record."""
    first, last = (
        marked(one["edition"], one["provisional"]) for one in (editions[0], editions[-1])
    )
    return f"Every term from {first} to {last}"


def reading() -> str:
    """Return how the picture is read."""
    return (
        "A line for every term, a band for every class; classes that continue one another have "
        "one colour that no others have. It is this picture's own, not that of a wheel. Terms "
        "stand so that few lines cross, not by importance. A line that forks is a term that was "
        "split, lines that meet were merged."
    )
