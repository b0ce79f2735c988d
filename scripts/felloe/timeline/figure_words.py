"""What stands in the picture of a timeline, in words."""

from felloe.editions.correspondence import NO_CORRESPONDENCE, NOISE, NONE, POSSIBLE, ROBUST
from felloe.timeline.follow import NOT_COMPARED

LINES = {  # what a line from one edition to the next says
    NONE: "stayed, or followed its class",
    ROBUST: "robust move",
    POSSIBLE: "possible move",
    NOISE: "noise move",
    NO_CORRESPONDENCE: "classes without correspondence",
    NOT_COMPARED: "came back: not compared",
}
ENTERS, ENDS = "+", "\u00d7"
MARKS = f"{ENTERS}  new in this edition          {ENDS}  not in the next one"
AWAY_TEXT = "not in this edition"


def title(editions: list[str]) -> str:
    """Return what the picture is called."""
    return f"Every term from {editions[0]} to {editions[-1]}"


def reading() -> str:
    """Return how the picture is read, in two lines."""
    return (
        "A line for every term, a band for every class; classes that continue one another have "
        "one colour. Terms stand so\nthat few lines cross, not by importance. A line that forks "
        "is a term that was split, lines that meet were merged."
    )
