"""Pieces of sentences that all words of the audit are made of."""

from collections.abc import Sequence

from felloe.errors import shortened

Sides = tuple[str, str]  # what the two folders are called
ARROW = " -> "
LONGEST = 48  # characters of a value
NOTHING = "nothing"


def counted(number: int, one: str, many: str) -> str:
    """Return a number with the word for what is counted."""
    return f"{number} {one if number == 1 else many}"


def listed(names: Sequence[str], most: int) -> str:
    """Return the first names, and how many more there are."""
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")


def text(value: str | None) -> str:
    """Return a cell or entry as a reader sees it."""
    return shortened(value, LONGEST) if value else NOTHING


def sentence(line: str) -> str:
    """Return a line as a sentence."""
    return f"{line[:1].upper()}{line[1:]}."
