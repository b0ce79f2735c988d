"""What a pilot says of the habits of people."""

import numpy as np

from felloe.comparison.exchanging.shape import mean_agreement
from felloe.foresight.assumptions import Habits, Truth
from felloe.foresight.sorters import drawn_sorts
from felloe.ground.arrays import Array
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.people.pairs import pair_vectors
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.randomness import Streams

SEARCHES = 8  # halvings of the share astray
MOST_ASTRAY = 0.95
MOST_PEOPLE = 100  # of the pilot that are looked at, evenly spaced
DRAWS = 3  # simulated pilots at each share


def share_coarse(piles: Array, truth: Truth) -> float:
    """Return the share of people who agree more with the classes than with the subclasses."""
    coarse = []
    for pile in piles:
        placed = pile != UNPLACED
        with_classes = adjusted_rand(pile[placed], truth.classes[placed])
        with_subclasses = adjusted_rand(pile[placed], truth.subclasses[placed])
        coarse.append(with_classes > with_subclasses)
    return float(np.mean(coarse))


def habits_of(piles: Array, truth: Truth, prior: float | None, streams: Streams) -> Habits:
    """
    Return the habits of simulated people who agree with one another as those of a pilot do.

    The share astray is found by halving: it is where the mean covariance between two simulated
    people is that between two people of the pilot. That is what reliability hangs on; it does not
    use how well the pilot's own chart fits the people whom it was made from.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    truth : Truth
        The pilot's own classes and subclasses.
    prior : float or None
        Of partial sorts.
    streams : felloe.ground.randomness.Streams

    Returns
    -------
    Habits
    """
    if len(piles) > MOST_PEOPLE:
        piles = piles[np.linspace(0, len(piles) - 1, MOST_PEOPLE).round().astype(int)]
    coarse, shown = share_coarse(piles, truth), piles != UNPLACED
    wanted = mean_agreement(pair_vectors(piles, prior))

    def agreement(astray: float) -> float:
        drawn = [
            drawn_sorts(streams.generator("pilot", one), truth, Habits(coarse, astray), shown)
            for one in range(DRAWS)
        ]
        return float(np.mean([mean_agreement(pair_vectors(each, prior)) for each in drawn]))

    low, high = 0.0, MOST_ASTRAY
    for _ in range(SEARCHES):
        middle = (low + high) / 2.0
        low, high = (middle, high) if agreement(middle) > wanted else (low, middle)
    return Habits(coarse, (low + high) / 2.0)
