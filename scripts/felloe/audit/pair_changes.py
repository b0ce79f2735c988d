"""What differences of two runs amount to for a comparison of two editions: codes and values."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

Value = bool | float | str | None
NUMBER = re.compile(r"\d[\d.,\s]*")


@dataclass(frozen=True)
class IndexChange:
    """An index of the comparison that is not the same in both runs; None: not told there."""

    key: str
    was: Value
    now: Value


@dataclass(frozen=True)
class VerdictChange:
    """A sentence of the verdict that is not the same in both runs; empty: not told there."""

    about: str
    was: str
    now: str

    @property
    def in_numbers_alone(self) -> bool:
        """Whether both say the same of other numbers."""
        return NUMBER.sub("", self.was) == NUMBER.sub("", self.now)


@dataclass(frozen=True)
class Standing:
    """
    What became of a term from the one edition to the other, as one run has it.

    Attributes
    ----------
    code : str
        The grade of its move; of a term without one how its classes correspond; `term_` and what
        became of it for a term that has no class in one edition, or several. `path_` and the
        grade of its surest move for a path through three editions and more.
    older, newer : str
        Names of its classes; empty where an edition has none, and for a path.
    """

    code: str
    older: str
    newer: str


@dataclass(frozen=True)
class GradeChange:
    """A term of which the two runs do not tell the same."""

    label: str
    was: Standing
    now: Standing


def by_standing(changes: Iterable[GradeChange]) -> dict[tuple[str, str], list[GradeChange]]:
    """Return terms by what is told of them in the one run and in the other."""
    found: dict[tuple[str, str], list[GradeChange]] = {}
    for change in changes:
        found.setdefault((change.was.code, change.now.code), []).append(change)
    return found


@dataclass(frozen=True)
class PairEffects:
    """
    What differences of two runs amount to for a comparison of two editions, or a timeline.

    Attributes
    ----------
    indices : tuple of IndexChange
        In the order in which a reader needs them.
    n_indices : int
        That either run tells.
    grades : tuple of GradeChange
        Terms whose grade, or whose correspondence of classes, is not the same.
    n_terms : int
        Rows of terms that both runs have.
    terms_was, terms_now : tuple of str
        Labels of terms that only the one or the other has.
    lost, found : bool
        Whether only the first run, or only the second, has classes that correspond better than
        chance.
    verdicts : tuple of VerdictChange
    paths : tuple of GradeChange
        Terms whose path through three editions and more has other moves.
    n_paths : int
        That both runs have.
    unread : tuple of str
        Files, with their side, that are not there or could not be read.
    """

    indices: tuple[IndexChange, ...] = ()
    n_indices: int = 0
    grades: tuple[GradeChange, ...] = ()
    n_terms: int = 0
    terms_was: tuple[str, ...] = ()
    terms_now: tuple[str, ...] = ()
    lost: bool = False
    found: bool = False
    verdicts: tuple[VerdictChange, ...] = ()
    paths: tuple[GradeChange, ...] = ()
    n_paths: int = 0
    unread: tuple[str, ...] = ()
