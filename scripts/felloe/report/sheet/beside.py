"""What the parts around a wheel share."""

from dataclasses import dataclass

from felloe.report.chart import Record
from felloe.report.languages.language_words import Words
from felloe.report.sheet.level import Level
from felloe.report.sheet.plan import Plan


@dataclass(frozen=True)
class Beside(Level):
    """
    What the parts around a wheel share.

    Attributes
    ----------
    chart : dict
    plan : Plan
    words : Words
    note : str
        Who sorted.
    weak : float
        Share of redraws under which two classes have no peg.
    """

    chart: Record
    plan: Plan
    words: Words
    note: str
    weak: float


def hundred(share: float | None) -> str:
    """Return how many of 100 a share is; never 100 for less than all, nor 0 for some."""
    if share is None:
        return "?"
    number = round(100 * share)
    return str(min(max(number, int(share > 0)), 99 if share < 1 else 100))
