"""What one person sent back, whatever the form that it came in."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from felloe.collecting.identity import Identity

LONGEST_WORDS = 200  # characters of what a pile is called, as many as a label has at the most


@dataclass(frozen=True)
class Pile:
    """
    One pile of one person.

    Attributes
    ----------
    terms : tuple of str
    words : str
        What the person called it; empty if nothing.
    """

    terms: tuple[str, ...]
    words: str = ""


@dataclass(frozen=True)
class Returned:
    """
    One answer.

    Attributes
    ----------
    source : str
        The file that it was read from, for messages.
    identity : Identity
        As the file names it; nothing of it is checked yet.
    saved : datetime, optional
        When the person saved it, with a time zone; None if the file does not tell.
    piles : tuple of Pile
        Of a sort.
    unknown : tuple of str
        Terms of which the person said that they do not know the word: not placed.
    unplaced : tuple of str
        Terms that are in no pile and not said to be unknown: such an answer is incomplete.
    minutes : float, optional
    picks : mapping of str to str
        Of colours: `#rrggbb` by term.
    """

    source: str
    identity: Identity
    saved: datetime | None
    piles: tuple[Pile, ...] = ()
    unknown: tuple[str, ...] = ()
    unplaced: tuple[str, ...] = ()
    minutes: float | None = None
    picks: Mapping[str, str] = field(default_factory=dict)
