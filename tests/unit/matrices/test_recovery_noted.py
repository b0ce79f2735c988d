"""The planning notes' own simulation, terms dealt at random, made again with the project's code."""

from functools import cache

import numpy as np
import pytest
from felloe.foresight.assumptions import Habits, even_truth
from felloe.foresight.expected import recovery
from felloe.foresight.sorters import drawn_sorts

RUNS, NOTED_RUNS, ROUNDING = 8, 4, 0.005
# METHODS.md, "Partial sorts", and the planning notes: 300 terms in 10 classes of 3 subclasses, 60
# before each person, half of the people coarse, 30 % astray, mean of 4 runs. By people: classes
# without and with the prior, subclasses with it; from 600 people on all but 0.99 was 1
NOTED = {75: (0.66, 0.89, 0.51), 150: (0.88, 0.97, 0.66), 300: (0.998, 1.00, 0.93)}


@cache
def found(people):
    """Return what came back of classes without and with the prior, and of subclasses, by run."""
    rows, truth = [], even_truth(300, 10, 3)
    for run in range(RUNS):
        rng = np.random.default_rng([people, run])
        shown = np.zeros((people, 300), dtype=bool)
        for person in shown:
            person[rng.choice(300, 60, replace=False)] = True
        piles = drawn_sorts(rng, truth, Habits(0.5, 0.3), shown)
        without, prior = (recovery(piles, truth, one, "average") for one in (0.0, 1.0))
        rows.append((without.classes, prior.classes, prior.subclasses))
    return np.array(rows)


@pytest.mark.parametrize("people", NOTED)
def test_terms_dealt_at_random_give_back_what_was_noted_within_the_error_of_both(people):
    # three standard errors of the difference; the notes' runs spread as ours do
    ours, spread = found(people).mean(axis=0), found(people).std(axis=0, ddof=1)
    error = spread * np.sqrt(1 / RUNS + 1 / NOTED_RUNS)
    assert (np.abs(ours - NOTED[people]) <= 3 * error + ROUNDING).all()
