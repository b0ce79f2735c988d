"""One colour for many picks: the medoid, and whether the picks fall into two groups."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.colours.difference import difference_matrix
from felloe.colours.spaces import lab_of_hex
from felloe.ground.arrays import Floats, Ints

SUM_DECIMALS = 6  # of summed differences: equal sums must tie, and the tie goes to the lower colour


@dataclass(frozen=True)
class TwoGroups:
    """
    When picks count as two groups rather than one.

    Parameters
    ----------
    picks : int
        Fewer picks are never split.
    share : float
        The smaller group holds at least this share of the picks.
    delta_e : float
        The groups' medoids differ by at least this much (CIEDE2000).
    within : float
        Two groups leave at most this share of the mean difference that one group leaves.
    """

    picks: int
    share: float
    delta_e: float
    within: float


@dataclass(frozen=True)
class PickSummary:
    """
    What the picks for one term or group say.

    Parameters
    ----------
    colour : str or None
        The medoid: the picked colour nearest to all picks; None without picks.
    n_picks : int
    spread : float
        Mean CIEDE2000 difference of the picks from the medoid; nan without picks.
    bimodal : bool
    second : str or None
        The medoid of the other group if the picks fall into two.
    """

    colour: str | None
    n_picks: int
    spread: float
    bimodal: bool = False
    second: str | None = None


def summarise_picks(picks: Sequence[str], two_groups: TwoGroups | None = None) -> PickSummary:
    """
    Summarise picked colours by their medoid.

    Parameters
    ----------
    picks : sequence of str
        `#rrggbb`, one per respondent; their order does not matter.
    two_groups : TwoGroups, optional
        When given, picks in two groups are reported as such; `colour` is then the medoid of the
        larger group, for a summary of both would be a colour that neither group means.

    Returns
    -------
    PickSummary
    """
    if not picks:
        return PickSummary(None, 0, float("nan"))
    colours, counts = np.unique([pick.lower() for pick in picks], return_counts=True)
    differences = difference_matrix(lab_of_hex(colours.tolist()))
    centre = medoid(differences, counts)
    spread = float(differences[centre] @ counts) / len(picks)
    first, second = str(colours[centre]), None
    if two_groups is not None and len(picks) >= two_groups.picks and len(colours) > 1:
        pair = split_in_two(differences, counts, centre)
        if are_two_groups(differences, counts, pair, spread, two_groups):
            first, second = (str(colours[at]) for at in pair)
    return PickSummary(first, len(picks), round(spread, SUM_DECIMALS), second is not None, second)


def medoid(differences: Floats, counts: Ints) -> int:
    """
    Return the row whose summed difference from all others is least.

    Parameters
    ----------
    differences : (n, n) array of float
    counts : (n,) array of int
        How often each row occurs.

    Returns
    -------
    int
        The first such row on ties.
    """
    return int(np.argmin(np.round(differences @ counts, SUM_DECIMALS)))


def split_in_two(differences: Floats, counts: Ints, start: int) -> tuple[int, int]:
    """Return the medoids of two groups, the larger first, by turns from the common medoid."""
    first, second = start, -1
    for _ in range(len(counts)):
        costs = np.minimum(differences, differences[first]) @ counts
        best = int(np.argmin(np.round(costs, SUM_DECIMALS)))
        if best == second:
            break
        first, second = best, first
    near_first = counts[differences[first] <= differences[second]].sum()
    larger_first = 2 * near_first >= counts.sum()
    return (first, second) if larger_first else (second, first)


def are_two_groups(
    differences: Floats, counts: Ints, pair: tuple[int, int], spread: float, rule: TwoGroups
) -> bool:
    """Return whether a split meets every condition of `rule`."""
    first, second = differences[pair[0]], differences[pair[1]]
    total = counts.sum()
    share = min(counts[first < second].sum(), counts[second < first].sum()) / total
    left = float(np.minimum(first, second) @ counts) / total
    return bool(
        share >= rule.share
        and differences[pair[0], pair[1]] >= rule.delta_e
        and left <= rule.within * spread
    )
