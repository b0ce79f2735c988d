"""One colour for many people's picks, nobody's own, and whether they fall into two groups."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from felloe.colours.difference import ciede2000, difference_matrix
from felloe.colours.spaces import hex_of_srgb, lab_of_hex, linear_of_lab, srgb_of_linear
from felloe.ground.arrays import Floats, Ints

SUM_DECIMALS = 6  # of summed differences: equal sums must tie, and the tie goes to the lower colour


class Pick(NamedTuple):
    """A colour, `#rrggbb`, and who picked it."""

    colour: str
    person: str


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
        The middle of the picks, see `shared_colour`; None without picks, or with too few.
    n_picks : int or None
        None where there are too few to be told.
    spread : float
        Mean CIEDE2000 difference of the picks from their medoid; nan without picks.
    bimodal : bool
    second : str or None
        The middle of the other group if the picks fall into two.
    """

    colour: str | None
    n_picks: int | None
    spread: float
    bimodal: bool = False
    second: str | None = None


NONE = PickSummary(None, 0, float("nan"))
TOO_FEW = PickSummary(None, None, float("nan"))


def summarise_picks(
    picks: Sequence[Pick], least: int, two_groups: TwoGroups | None = None
) -> PickSummary:
    """
    Summarise picked colours by their middle.

    Parameters
    ----------
    picks : sequence of Pick
        Their order does not matter.
    least : int
        People behind a colour that is told.
    two_groups : TwoGroups, optional
        When given, picks in two groups are reported as such; `colour` is then the middle of the
        larger group, for a summary of both would be a colour that neither group means.

    Returns
    -------
    PickSummary
    """
    if not picks:
        return NONE
    if len({pick.person for pick in picks}) < least:
        return TOO_FEW
    picks = [Pick(colour.lower(), person) for colour, person in picks]
    colours, counts = np.unique([pick.colour for pick in picks], return_counts=True)
    differences = difference_matrix(lab_of_hex(colours.tolist()))
    centre = medoid(differences, counts)
    spread = round(float(differences[centre] @ counts) / len(picks), SUM_DECIMALS)
    if two_groups is not None and len(picks) >= two_groups.picks and len(colours) > 1:
        pair = split_in_two(differences, counts, centre)
        if are_two_groups(differences, counts, pair, spread, two_groups):
            near_first = differences[pair[0]] <= differences[pair[1]]
            groups = [
                [pick for pick in picks if pick.colour in set(colours[side].tolist())]
                for side in (near_first, ~near_first)
            ]
            first, second = (
                shared_colour(str(colours[at]), group, least)
                for at, group in zip(pair, groups, strict=True)
            )
            return PickSummary(first, len(picks), spread, True, second)
    return PickSummary(shared_colour(str(colours[centre]), picks, least), len(picks), spread)


def shared_colour(centre: str, picks: Sequence[Pick], least: int) -> str | None:
    """
    Return a colour that stands for several people: the middle of the picks nearest to a centre.

    Parameters
    ----------
    centre : str
        One of the picks, their medoid.
    picks : sequence of Pick
    least : int
        People it stands for at the least.

    Returns
    -------
    str or None
        The mean in CIELAB of the picks of the `least` people who are nearest, one pick each. Where
        it comes out as a colour that fewer people picked, one more person counts, and so on; None
        if that never ends, or there are too few people.

    References
    ----------
    Microaggregation: Defays & Nanopoulos 1993; Domingo-Ferrer & Mateo-Sanz 2002, IEEE
    Transactions on Knowledge and Data Engineering (both from memory).
    """
    away = ciede2000(lab_of_hex([pick.colour for pick in picks]), lab_of_hex([centre]))
    ranked = sorted(zip(np.round(away, SUM_DECIMALS).tolist(), picks, strict=True))
    nearest: dict[str, str] = {}
    for _, pick in ranked:
        nearest.setdefault(pick.person, pick.colour)
    colours = list(nearest.values())
    for number in range(least, len(colours) + 1):
        middle = mean_colour(sorted(colours[:number]))
        people = {pick.person for pick in picks if pick.colour == middle}
        if not 0 < len(people) < least:
            return middle
    return None


def mean_colour(colours: Sequence[str]) -> str:
    """Return the mean of some colours in CIELAB, as a screen shows it."""
    if len(set(colours)) == 1:
        return colours[0]
    linear = linear_of_lab(lab_of_hex(colours).mean(axis=0))
    return hex_of_srgb(srgb_of_linear(linear))[0]


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
