"""Which terms each person picks colours for: every term about equally often, drawn by keys."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from felloe.ground.randomness import Streams


def dealt(
    streams: Streams,
    people: Mapping[str, str],
    issued: Mapping[str, Sequence[str]],
    terms: Sequence[str],
    each: int,
) -> dict[str, tuple[str, ...]]:
    """
    Deal terms to everybody who has none.

    A person gets the terms that the fewest people of the population have, of these those that the
    fewest have in all; the rest is chance. So within a population no term is dealt more than once
    more often than another, as long as everybody is dealt as many.

    Parameters
    ----------
    streams : Streams
    people : mapping of str to str
        Population of each participant, in any order.
    issued : mapping of str to sequence of str
        Terms of those who have some; they stay as they are.
    terms : sequence of str
    each : int
        As many as there are, or more: everybody is dealt all.

    Returns
    -------
    dict of str to tuple of str
        Of the new participants, each in the order in which the terms are shown.
    """
    in_all = Counter(term for own in issued.values() for term in own)
    within = counted_within(people, issued)
    found: dict[str, tuple[str, ...]] = {}
    for person in sorted(set(people) - set(issued)):
        there = within.setdefault(people[person], Counter())
        chance = shuffled(streams, f"colours dealt\n{person}", sorted(terms))
        chosen = sorted(chance, key=lambda term: (there[term], in_all[term]))[:each]
        in_all.update(chosen)
        there.update(chosen)
        found[person] = tuple(shuffled(streams, f"colours shown\n{person}", sorted(chosen)))
    return found


def counted_within(
    people: Mapping[str, str], issued: Mapping[str, Iterable[str]]
) -> dict[str, Counter[str]]:
    """Return how many people of each population have each term."""
    found: dict[str, Counter[str]] = {}
    for person, own in issued.items():
        if person in people:
            found.setdefault(people[person], Counter()).update(own)
    return found


def shuffled(streams: Streams, purpose: str, terms: Sequence[str]) -> list[str]:
    """Return terms in an order by chance."""
    return [terms[place] for place in streams.generator(purpose).permutation(len(terms))]
