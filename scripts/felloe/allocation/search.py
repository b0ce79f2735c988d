"""Sets of terms by search: first what was seen least, then terms are exchanged."""

from collections.abc import Sequence

import numpy as np

from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.squares import condensed

UNSEEN = 4  # a pair that nobody sees costs as much more as four squares: its distance is unknown


class Tally:
    """
    Observers of every pair so far, and what one more would cost.

    A pair with v observers costs v squared, and `UNSEEN` where v is zero. That is convex: the cost
    is least where observers are as equal as can be.

    Parameters
    ----------
    counts : (n_terms, n_terms) array of int
        As `pair_counts` returns it.
    """

    def __init__(self, counts: Ints) -> None:
        self.people = np.diag(counts).copy()
        self.pairs = counts.astype(np.int32)
        np.fill_diagonal(self.pairs, 0)

    @property
    def cost(self) -> int:
        """Sum of the costs of all pairs."""
        observers = condensed(self.pairs).astype(np.int64)
        return int((observers**2).sum() + UNSEEN * (observers == 0).sum())

    def add(self, terms: Ints) -> None:
        """Count one more person who is shown these terms."""
        self.pairs[np.ix_(terms, terms)] += 1
        self.pairs[terms, terms] = 0
        self.people[terms] += 1

    def exchange(self, out: int, into: int, kept: Ints) -> None:
        """Count for one person one term in place of another, beside those that are kept."""
        for term, more in ((out, -1), (into, 1)):
            self.pairs[term, kept] += more
            self.pairs[kept, term] += more
            self.people[term] += more


def price(observers: Array) -> Array:
    """Return what one more observer costs."""
    prices: Array = 2 * observers + 1
    prices[observers == 0] -= UNSEEN
    return prices


def searched(
    counts: Ints,
    each: int,
    people: Sequence[np.random.Generator],
    passes: int,
    by_chance: bool,
) -> tuple[list[Ints], int]:
    """
    Give every person a set of terms.

    Parameters
    ----------
    counts : (n_terms, n_terms) array of int
        Observers that there are already, as `pair_counts` returns them.
    each : int
        Terms for each person; fewer than there are.
    people : sequence of numpy.random.Generator
        One for each person; they settle between terms that are equally good.
    passes : int
        Exchanges are tried with all people so many times at the most, and no longer than they help.
    by_chance : bool
        Whether the exchanges start from sets of chance, not from those of what was seen least.

    Returns
    -------
    sets : list of (each,) array of int
    cost : int
        Of all pairs, what there was already included.
    """
    tally = Tally(counts)
    sets = []
    for rng in people:
        chance = rng.random(len(counts))
        sets.append(np.argsort(chance)[:each] if by_chance else least_seen(tally, each, chance))
        tally.add(sets[-1])
    for _ in range(passes):
        if not sum(improved(tally, terms) for terms in sets):
            break
    return sets, tally.cost


def least_seen(tally: Tally, each: int, chance: Floats) -> Ints:
    """Return a person's terms: one after the other, the cheapest beside those that are chosen."""
    # between terms of one price the one that fewer people see, then chance; prices are whole
    between = (tally.people + chance) / (tally.people.max() + 1)
    prices = between.copy()
    chosen = np.zeros(each, dtype=np.int64)
    for place in range(each):
        chosen[place] = term = int(np.argmin(prices))
        prices += price(tally.pairs[term])
        prices[term] = np.inf
    return chosen


def improved(tally: Tally, terms: Ints) -> int:
    """
    Exchange a person's terms for others, the best exchange first, until none makes it cheaper.

    `terms` and the tally are changed in place.

    Returns
    -------
    int
        Exchanges made.
    """
    others = np.setdiff1d(np.arange(len(tally.pairs)), terms, assume_unique=True)
    made = 0
    while True:
        within = tally.pairs[np.ix_(terms, terms)]
        saved = price(within - 1)
        np.fill_diagonal(saved, 0)
        prices = price(tally.pairs[np.ix_(terms, others)])
        gain = prices.sum(axis=0) - prices - saved.sum(axis=0)[:, None]
        place, other = divmod(int(np.argmin(gain)), len(others))
        if gain[place, other] >= 0:
            return made
        out, into = int(terms[place]), int(others[other])
        tally.exchange(out, into, np.delete(terms, place))
        terms[place], others[other] = into, out
        made += 1
