"""What a question of the ballot is, and what can be chosen."""

from collections.abc import Mapping
from dataclasses import dataclass

from felloe.validation.ballot_form import successors

SHOWN = 5  # moves that are seen at once


@dataclass(frozen=True)
class Option:
    """
    What can be chosen.

    Attributes
    ----------
    code, term : str
        As in the spreadsheet: the term is the one to stand beside, or that a name hangs on.
    title : str
    costs : tuple of str
        A sentence each.
    group : str
        Published subclass that is joined; empty for all but moves.
    place : str
        Where a move leads.
    shares, changes : tuple of float
        Of a move: share of people, of redraws there and of redraws in its own class; what it
        changes, as in `PRICE_WORDS`.
    unkept : str
        Why nothing is written for it, a text of the page; empty where something is.
    """

    code: str
    term: str
    title: str
    costs: tuple[str, ...] = ()
    group: str = ""
    place: str = ""
    shares: tuple[float, ...] = ()
    changes: tuple[float, ...] = ()
    unkept: str = ""

    @property
    def value(self) -> str:
        """The choice on the page."""
        return f"{self.code} {self.group or self.term}".strip()


@dataclass(frozen=True)
class Question:
    """
    A question.

    Attributes
    ----------
    number : int
    kind, tier, subject : str
        As in `questions.csv`.
    title : str
    evidence : tuple of str
        A sentence each.
    options : tuple of Option
        The moves the nearest first, `open` last.
    proposal : str
        The name that is proposed.
    anchor : str
        The term that a name would hang on.
    alone : bool
        Whether a group to be named has one term.
    stands_in : dict of str to list of str
        What names could hang on instead if the term moved, by tier.
    ends_by : tuple of int
        Questions about the words of a class: it ends where all of them move.
    called : tuple of str
        People's own words for such piles, which are proposed too.
    """

    number: int
    kind: str
    tier: str
    subject: str
    title: str
    evidence: tuple[str, ...]
    options: tuple[Option, ...]
    proposal: str = ""
    anchor: str = ""
    alone: bool = False
    stands_in: Mapping[str, list[str]] | None = None
    ends_by: tuple[int, ...] = ()
    called: tuple[str, ...] = ()

    @property
    def needless(self) -> bool:
        """Whether it asks for the name of a group of one word, which needs none."""
        return self.kind == "name" and self.alone

    @property
    def key(self) -> str:
        """What a draft knows the question by."""
        return f"{self.kind}:{self.tier}:{self.subject}"

    @property
    def first(self) -> tuple[Option, ...]:
        """The options that are seen at once."""
        return tuple(one for one in self.options if one not in self.further)

    @property
    def further(self) -> tuple[Option, ...]:
        """Moves beyond the nearest."""
        return tuple(one for one in self.options if one.group)[SHOWN:]

    @property
    def successors(self) -> str:
        """What names could hang on instead, as a cell."""
        return successors(self.stands_in or {})
