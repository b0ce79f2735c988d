"""The terms that each person of a population is shown, and in which order."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from felloe.allocation.known_designs import known_design
from felloe.allocation.observers import least_squares, pair_counts
from felloe.allocation.search import UNSEEN, Tally, searched
from felloe.ground.arrays import Array, Ints
from felloe.ground.randomness import Streams

# work is people times terms times terms of each: what is looked at in one pass of exchanges
WORK_OF_STARTS = 15_000_000  # more starts than one where they stay within; seconds
WORK_OF_PASSES = 4_000_000_000  # with 10,000 people and 100 of 1,000 terms four passes; minutes
MOST_STARTS = 20  # the best is taken
MOST_PASSES = 100  # two dozen are usually enough


@dataclass(frozen=True)
class Group:
    """
    A population: who was issued which terms, and who comes anew.

    Attributes
    ----------
    issued : dict of str to (n_shown,) array of int
        Places of the terms, by participant; never changed.
    late : tuple of str
        Participants without terms, in sorted order.
    """

    issued: Mapping[str, Ints]
    late: tuple[str, ...]


def allocated(
    streams: Streams, population: str, group: Group, n_terms: int, each: int
) -> dict[str, Ints]:
    """
    Give terms to everybody of a population who has none.

    What is issued stays. New people are shown what was seen least: by a known design where it
    leaves nothing to improve, else by whichever is more even, design or search.

    Parameters
    ----------
    streams : Streams
    population : str
    group : Group
    n_terms, each : int
        As many as there are, or more, for each: everybody is shown all.

    Returns
    -------
    dict of str to (n_shown,) array of int
        Places of the terms of each new participant, sorted.
    """
    people = tuple(sorted(group.late))
    if each >= n_terms:
        return {person: np.arange(n_terms) for person in people}
    issued = [np.sort(group.issued[person]) for person in sorted(group.issued)]
    counts = pair_counts(issued, n_terms)
    sets, cost = designed(streams, population, issued, len(people), (n_terms, each))
    if sets is None or cost > even_cost(counts, len(people) * each * (each - 1) // 2):
        found, cost_found = best_search(streams, population, people, counts, each)
        sets = found if sets is None or cost_found < cost else sets
    return {person: np.sort(terms) for person, terms in zip(people, sets, strict=True)}


def for_everybody(
    streams: Streams,
    people: Mapping[str, str],
    issued: Mapping[str, Ints],
    n_terms: int,
    each: int,
) -> dict[str, Ints]:
    """
    Give terms to everybody who has none, each population for itself.

    Parameters
    ----------
    streams : Streams
    people : mapping of str to str
        Population of each participant, in any order.
    issued : mapping of str to array of int
        Places of the terms of those who have some.
    n_terms, each : int

    Returns
    -------
    dict of str to array of int
        Of the new participants, in sorted order.
    """
    given: dict[str, Ints] = {}
    for population in sorted(set(people.values())):
        of_it = sorted(person for person, name in people.items() if name == population)
        group = Group(
            {person: issued[person] for person in of_it if person in issued},
            tuple(person for person in of_it if person not in issued),
        )
        given |= allocated(streams, population, group, n_terms, each)
    return dict(sorted(given.items()))


def shown_to_each(design: Mapping[str, Any], n_terms: int) -> int:
    """
    Return how many terms each person is to be shown.

    Parameters
    ----------
    design : mapping
        That section of the settings.
    n_terms : int
        Of the lexicon; a small one is shown whole.
    """
    each: int = n_terms if n_terms <= design["whole_up_to"] else design["terms_per_participant"]
    return min(each, n_terms)


def even_cost(counts: Ints, more: int) -> int:
    """Return what no allocation can undercut: all pairs as even as whole numbers can be."""
    pairs = len(counts) * (len(counts) - 1) // 2
    total = int(np.triu(counts, 1).sum()) + more
    return least_squares(pairs, total) + UNSEEN * max(0, pairs - total)


def best_search(
    streams: Streams, population: str, people: Sequence[str], counts: Ints, each: int
) -> tuple[list[Ints], int]:
    """Search from several starts, if that is quick; return the best sets and their cost."""
    work = max(1, len(people) * len(counts) * each)
    starts = min(MOST_STARTS, max(1, WORK_OF_STARTS // work))
    passes = min(MOST_PASSES, max(1, WORK_OF_PASSES // work))
    found = []
    for start in range(starts):
        generators = [
            streams.generator(f"terms shown\n{population}\n{person}", start) for person in people
        ]
        # every other start from chance: what was seen least leads to a like place each time
        found.append(searched(counts, each, generators, passes, by_chance=start % 2 == 1))
    return min(found, key=lambda one: one[1])  # the first of equals


def designed(
    streams: Streams,
    population: str,
    issued: Sequence[Ints],
    people: int,
    size: tuple[int, int],
) -> tuple[list[Ints] | None, int]:
    """
    Give people the sets of a known design, taken as often as it takes.

    Every copy has its terms shuffled. Sets that were issued before count as given away, so that who
    comes late completes the copy that others began.

    Returns
    -------
    sets : list of array of int or None
        None where no design is known.
    cost : int
    """
    n_terms, each = size
    design = known_design(n_terms, each)
    if design is None:
        return None, 0
    gone = Counter(tuple(terms.tolist()) for terms in issued)
    tally = Tally(pair_counts(issued, n_terms))
    sets: list[Ints] = []
    copy = 0
    while len(sets) < people:
        rng = streams.generator(f"known design\n{population}", copy)
        terms = np.sort(rng.permutation(n_terms)[design], axis=1)
        left = not_yet_given(rng.permutation(terms), gone)
        while len(left) and len(sets) < people:
            # within a copy, the set whose terms were shown least, so that terms stay even too
            sets.append(left[(place := int(np.argmin(tally.people[left].sum(axis=1))))])
            left = np.delete(left, place, axis=0)
            tally.add(sets[-1])
        copy += 1
    return sets, tally.cost


def not_yet_given(sets: Array, gone: Counter[tuple[int, ...]]) -> Array:
    """Return the sets that are not among those given away; each of these counts once."""
    keep = []
    for place, terms in enumerate(sets):
        key = tuple(terms.tolist())
        if gone[key]:
            gone[key] -= 1
        else:
            keep.append(place)
    return sets[keep]


def shown_order(streams: Streams, participant: str, terms: Ints) -> Ints:
    """Return a participant's terms in the random order in which they are shown."""
    return streams.generator(f"order shown\n{participant}").permutation(terms)
