"""What a study's owner can mend, said so that they can."""

import difflib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

LONGEST_PLACE = 100  # characters of a column's name; an identifier has 64 at the most
SCREEN_LINES = 50  # one screen; the rest stands in the file that the message names


@dataclass(frozen=True, order=True)
class Fault:
    """
    One thing wrong in one place of a study's files.

    Parameters
    ----------
    file : str
        Path as the owner knows it, relative to the working folder.
    line, column : int or str
        Line from 1 (0: the whole file) and the column's name ("" : the whole line).
    value : str
        What stands there, shortened.
    problem, remedy : str
        What is wrong with it, and what to do.
    severity : {"error", "warning", "note"}
    """

    file: str
    line: int = 0
    column: str = ""
    value: str = ""
    problem: str = ""
    remedy: str = ""
    severity: str = "error"

    def __str__(self) -> str:
        place = self.file
        if self.line:
            place += f", line {self.line}"
        if self.column:
            place += f", column '{shortened(self.column, LONGEST_PLACE)}'"
        value = f" {shortened(self.value)!r}:" if self.value != "" else ""
        remedy = f" {self.remedy}" if self.remedy else ""
        return f"{place}:{value} {self.problem}.{remedy}"


class StudyError(Exception):
    """
    A fault of the study or its settings, for its owner and not for a programmer.

    Parameters
    ----------
    message_or_faults : str or sequence of Fault
        Faults are shown in order of file and line.
    more : str, optional
        Path of the file that holds all of them.
    most : int
        Faults that are shown; fewer than `SCREEN_LINES` where they take several lines each.
    """

    def __init__(
        self,
        message_or_faults: str | Sequence[Fault],
        more: str = "",
        most: int = SCREEN_LINES,
    ) -> None:
        found = () if isinstance(message_or_faults, str) else message_or_faults
        self.faults = tuple(sorted(found, key=lambda fault: (fault.file, fault.line, fault.column)))
        self.more, self.most = more, most
        super().__init__(message_or_faults if isinstance(message_or_faults, str) else self.told())

    def told(self, named: Callable[[str], str] = str) -> str:
        """Return the message; `named` says how files are to be named in it."""
        if not self.faults:
            return str(self)
        lines = [str(replace(each, file=named(each.file))) for each in self.faults[: self.most]]
        hidden = len(self.faults) - len(lines)
        if hidden:
            lines.append(f"... and {hidden} more.")
        if self.more:
            all_of_them = f"All {len(self.faults)} faults are" if len(self.faults) > 1 else "It is"
            lines.append(f"{all_of_them} listed in {named(self.more)}")
        return "\n".join(lines)


def nearest(word: object, known: Iterable[object]) -> str | None:
    """
    Return the known word that `word` was probably meant to be, or None.

    Parameters
    ----------
    word : str
    known : iterable of str

    Returns
    -------
    str or None
    """
    close = difflib.get_close_matches(str(word), [str(name) for name in known], n=1, cutoff=0.7)
    return close[0] if close else None


def unknown_study(name: object, studies: Iterable[str]) -> str:
    """Return what is said of a study that the settings do not name."""
    return f"{shortened(name)} is no study of these settings. {meant_study(name, studies)}"


def meant_study(name: object, studies: Iterable[str]) -> str:
    """Return which study of the settings was probably meant, or which there are."""
    known = list(studies)
    close = nearest(name, known)
    return f"Did you mean '{close}'?" if close else f"They name: {', '.join(known)}."


def shortened(value: object, limit: int = 60) -> str:
    """Return `value` as text of at most `limit` characters, control characters made visible."""
    text = "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in str(value)[: limit + 1])
    return text if len(text) <= limit else text[: limit - 3] + "..."
