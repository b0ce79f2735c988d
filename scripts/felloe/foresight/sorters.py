"""Sorts of invented people: some coarse, some fine, each with some terms astray."""

import numpy as np

from felloe.foresight.assumptions import Habits, Truth
from felloe.ground.arrays import Bools, Ints
from felloe.ground.people.sorts import UNPLACED


def drawn_sorts(rng: np.random.Generator, truth: Truth, habits: Habits, shown: Bools) -> Ints:
    """
    Draw the sorts of some people.

    Parameters
    ----------
    rng : numpy.random.Generator
        The draws of one person stand before those of the next, so that fewer people are the first
        of more.
    truth : Truth
    habits : Habits
    shown : (n_people, n_terms) array of bool
        The terms before each person.

    Returns
    -------
    (n_people, n_terms) array of int
        Piles; `UNPLACED` where a term was not shown.
    """
    piles = np.full(shown.shape, UNPLACED)
    for person, terms in enumerate(shown):
        chances = rng.random((2, len(terms)))
        groups = truth.classes if rng.random() < habits.coarse else truth.subclasses
        own = groups[terms]
        names = np.unique(own)
        anywhere = names[(chances[1, terms] * len(names)).astype(int)]
        piles[person, terms] = np.where(chances[0, terms] < habits.astray, anywhere, own)
    return piles


def least_seen(rng: np.random.Generator, n_people: int, n_terms: int, each: int) -> Bools:
    """
    Show terms to one person after the other, what was seen together least first.

    A real allocation may exchange terms afterwards and is a little more even; this one is even at
    every number of people, so that one sequence serves them all.

    Parameters
    ----------
    rng : numpy.random.Generator
    n_people, n_terms, each : int
        With `each` as many as there are terms, or more, everybody is shown all.

    Returns
    -------
    (n_people, n_terms) array of bool
    """
    shown = np.zeros((n_people, n_terms), dtype=bool)
    if each >= n_terms:
        return ~shown
    pairs = np.zeros((n_terms, n_terms))
    people = np.zeros(n_terms)
    for person in range(n_people):
        price = (people + rng.random(n_terms)) / (people.max() + 1.0)
        chosen = np.empty(each, dtype=int)
        for place in range(each):
            chosen[place] = term = int(np.argmin(price))
            price += 2.0 * pairs[term] + 1.0
            price[term] = np.inf
        shown[person, chosen] = True
        pairs[np.ix_(chosen, chosen)] += 1.0
        people[chosen] += 1.0
    return shown
