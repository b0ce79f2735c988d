"""How many more people would settle whether populations may be pooled, from what these show."""

from dataclasses import dataclass

from felloe.comparison.corrected import Z_95, CorrectedCorrelation
from felloe.comparison.verdict import Margins
from felloe.ground.halves import Reliability

MOST_FACTOR = 20  # times the people of today; beyond it nothing is promised


@dataclass(frozen=True)
class Plan:
    """
    Numbers of people with which equivalence would be shown, if the populations are as they look.

    Attributes
    ----------
    first_only, second_only, both : int or None
        Further people of the first population alone, of the second alone, and of each of the two;
        None where no such number up to `MOST_FACTOR` times today's suffices.
    """

    first_only: int | None
    second_only: int | None
    both: int | None


def people_to_settle(
    corrected: CorrectedCorrelation,
    reliabilities: tuple[Reliability, Reliability],
    n_people: tuple[int, int],
    margins: Margins,
) -> Plan:
    """
    Return how many more people would show equivalence.

    The corrected correlation is taken to stay as it is, its standard error to fall as its parts
    say (`ErrorParts`), and reliability to grow as Spearman and Brown say. If the correlation itself
    lies below its margin, more people show that rather than equivalence, and no number is given.

    Parameters
    ----------
    corrected : CorrectedCorrelation
        Without the terms that are named.
    reliabilities : (Reliability, Reliability)
    n_people : (int, int)
    margins : Margins

    Returns
    -------
    Plan
    """

    def enough(more_a: int, more_b: int) -> bool:
        sizes = n_people[0] + more_a, n_people[1] + more_b
        if corrected.parts is None:
            return False
        low = corrected.corrected - Z_95 * corrected.parts.standard_error(*sizes)
        grown = [
            grown_reliability(one.reliability, size / now)
            for one, size, now in zip(reliabilities, sizes, n_people, strict=True)
        ]
        return low >= margins.corrected_r and min(grown) >= margins.reliability

    def fewest(share_a: int, share_b: int) -> int | None:
        most = MOST_FACTOR * max(n_people)
        if not enough(share_a * most, share_b * most):
            return None
        low, high = -1, most  # enough people stay enough when more come
        while high - low > 1:
            middle = (low + high) // 2
            if enough(share_a * middle, share_b * middle):
                high = middle
            else:
                low = middle
        return high

    return Plan(fewest(1, 0), fewest(0, 1), fewest(1, 1))


def grown_reliability(reliability: float, factor: float) -> float:
    """
    Return the reliability of `factor` times as many people; nan stays nan.

    References
    ----------
    Spearman (1910) and Brown (1910), British Journal of Psychology 3 (from memory).
    """
    return factor * reliability / (1.0 + (factor - 1.0) * reliability)
