"""In which order classes and terms stand in a picture of all editions, with few crossings."""

from bisect import bisect_right, insort
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import TypeVar

T = TypeVar("T")

SWEEPS = 24  # there and back; the best order met is kept
Group = tuple[str, list[str]]  # a band, and what stands in it from the top
Column = list[Group]
Links = Sequence[tuple[str, str]]  # from one column to the next


@dataclass(frozen=True)
class Arranged:
    """
    The order of every column, and what it is worth.

    Attributes
    ----------
    columns : list of Column
        Of each edition, from the top.
    crossings_start, crossings : int
        Pairs of lines that cross: by the alphabet, and as arranged.
    """

    columns: list[Column]
    crossings_start: int
    crossings: int


@dataclass
class _Net:
    """Columns, and who is joined to whom in the columns before and after."""

    columns: list[Column]
    before: list[dict[str, list[str]]] = field(default_factory=list)
    after: list[dict[str, list[str]]] = field(default_factory=list)

    def ranks(self, place: int) -> dict[str, int]:
        """Return where each member of a column stands, from the top."""
        return ranks_of(self.columns[place])

    def sides(self, place: int) -> list[tuple[dict[str, list[str]], dict[str, int]]]:
        """Return the neighbours of a column's members on either side, with their ranks."""
        found = []
        if place > 0:
            found.append((self.before[place], self.ranks(place - 1)))
        if place + 1 < len(self.columns):
            found.append((self.after[place], self.ranks(place + 1)))
        return found


def arrange(columns: Sequence[Mapping[str, Sequence[str]]], links: Sequence[Links]) -> Arranged:
    """
    Order the bands of every column, and what stands in each, so that few lines cross.

    Every column in turn is put in the order of the mean places of its neighbours, there and back
    (barycentres); then neighbours change places, bands and members, as long as that saves a
    crossing. So no change of two neighbours makes it better; the least there is, is not promised.

    Parameters
    ----------
    columns : sequence of mapping of str to sequence of str
        Bands of each edition, each with its members.
    links : sequence of sequence of (str, str)
        Between the members of each column and of the next.

    Returns
    -------
    Arranged

    References
    ----------
    Sugiyama, Tagawa & Toda (1981), IEEE Transactions on Systems, Man, and Cybernetics 11:109-125
    (from memory).
    """
    net = _Net([[(name, sorted(band[name])) for name in sorted(band)] for band in columns])
    empty: dict[str, list[str]] = {}
    net.after = [gathered(pairs) for pairs in links] + [empty]
    net.before = [empty] + [gathered((b, a) for a, b in pairs) for pairs in links]
    start = best = crossings_of(net.columns, links)
    kept = net.columns
    for sweep in range(SWEEPS):
        places = range(1, len(columns)) if sweep % 2 == 0 else range(len(columns) - 2, -1, -1)
        for place in places:
            by_means(net, place, forward=sweep % 2 == 0)
        number = crossings_of(net.columns, links)
        if number < best:
            best, kept = number, [list(column) for column in net.columns]
    net.columns = [[(name, list(names)) for name, names in column] for column in kept]
    while sum(exchanged(net, place) for place in range(len(columns))):
        pass  # all columns, each time
    return Arranged(net.columns, start, crossings_of(net.columns, links))


def gathered(pairs: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    """Return what each first name is joined to."""
    found: dict[str, list[str]] = {}
    for one, other in pairs:
        found.setdefault(one, []).append(other)
    return found


def by_means(net: _Net, place: int, forward: bool) -> None:
    """Put a column in the order of the mean places of its neighbours on one side."""
    joined = (net.before if forward else net.after)[place]
    ranks, own = net.ranks(place + (-1 if forward else 1)), net.ranks(place)
    size, here = max(len(ranks), 1), max(len(own), 1)

    def mean(name: str) -> float:
        others = joined.get(name)
        if not others:  # stays where it is, as far down
            return own[name] * size / here
        return sum(ranks[other] for other in others) / len(others)

    bands = []
    for name, names in net.columns[place]:
        ordered = sorted(names, key=lambda member: (round(mean(member), 6), member))
        middle = sum(map(mean, names)) / len(names)
        bands.append((round(middle, 6), name, ordered))
    net.columns[place] = [(name, names) for _, name, names in sorted(bands)]


def exchanged(net: _Net, place: int) -> bool:
    """Let neighbours of a column change places where that saves a crossing; tell if any did."""
    sides = net.sides(place)

    def saves(above: Sequence[str], below: Sequence[str]) -> bool:
        return crossing(below, above, sides) < crossing(above, below, sides)

    column = net.columns[place]
    changed = swap_neighbours(column, lambda one, other: saves(one[1], other[1]))
    for _, names in column:
        changed |= swap_neighbours(names, lambda one, other: saves([one], [other]))
    return changed


def swap_neighbours(items: list[T], better: Callable[[T, T], bool]) -> bool:
    """Go once through a list and change neighbours that stand better so; tell if any did."""
    changed = False
    for i in range(len(items) - 1):
        if better(items[i], items[i + 1]):
            items[i], items[i + 1] = items[i + 1], items[i]
            changed = True
    return changed


def crossing(
    above: Sequence[str],
    below: Sequence[str],
    sides: Sequence[tuple[Mapping[str, Sequence[str]], Mapping[str, int]]],
) -> int:
    """Return how many lines of some members cross lines of others that stand below them."""
    number = 0
    for joined, ranks in sides:
        upper = [ranks[name] for member in above for name in joined.get(member, ())]
        lower = [ranks[name] for member in below for name in joined.get(member, ())]
        number += sum(one > other for one in upper for other in lower)
    return number


def crossings_of(columns: Sequence[Column], links: Sequence[Links]) -> int:
    """Return how many pairs of lines cross between neighbouring columns; ends that meet do not."""
    number = 0
    for place, pairs in enumerate(links):
        left, right = (ranks_of(columns[place + side]) for side in (0, 1))
        ends = sorted((left[one], right[other]) for one, other in pairs)
        passed: list[int] = []
        for _, alike in groupby(ends, key=lambda ends: ends[0]):
            right_ends = [end for _, end in alike]
            number += sum(len(passed) - bisect_right(passed, end) for end in right_ends)
            for end in right_ends:
                insort(passed, end)
    return number


def ranks_of(column: Column) -> dict[str, int]:
    """Return where each member of a column stands, from the top."""
    return {name: i for i, name in enumerate(name for _, names in column for name in names)}
