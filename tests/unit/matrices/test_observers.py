"""How many observers of every pair would leave distances as noisy: by definition and simulated."""

import numpy as np
import pytest
from felloe.ground.people.counts import Counts, counts_of, drawn_to_mean
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.terms import Terms
from felloe.matrices.observers import (
    averaged_observers,
    charted_observers,
    effective_observers,
    observers_of,
    observers_record,
)
from felloe.matrices.recovery import Studied
from felloe.matrices.recovery_words import studied


def in_a_slow_loop(boths):
    """Return P (1 / mean(1 / (n + 1)) - 1) over pairs and P populations, one after the other."""
    total, number = 0.0, 0
    for both in boths:
        for i in range(len(both)):
            for j in range(i):
                total += 1.0 / (both[i, j] + 1)
                number += 1
    return len(boths) * (number / total - 1.0)


def counts(rng, people, n_terms=7, shown=0.6):
    """Return counts of people who placed some of the terms each."""
    piles = rng.integers(3, size=(people, n_terms))
    piles[rng.random(piles.shape) > shown] = UNPLACED
    ids = tuple(f"p{at}" for at in range(people))
    terms = Terms(f"t{at}" for at in range(n_terms))
    return counts_of(Sorts(ids, ("all",) * people, terms, piles, 1.0))


def test_of_one_population_it_is_the_slow_loop_whatever_was_not_placed():
    for seed in range(5):
        found = counts(np.random.default_rng(seed), 9)
        assert observers_of(found)["effective"] == pytest.approx(in_a_slow_loop([found.both]))


@pytest.mark.parametrize("number", [0, 1, 3, 12])
def test_where_all_pairs_have_as_many_it_is_their_number(number):
    assert effective_observers(np.full(10, number)) == pytest.approx(number)


def test_uneven_pairs_count_less_than_their_mean_and_more_than_the_least():
    assert effective_observers(np.array([0, 6])) == pytest.approx(
        2 / (1 + 1 / 7) - 1
    )  # 0.75, not 3
    assert averaged_observers([2.0, 2.0]) == pytest.approx(4.0)
    assert averaged_observers([9.0]) == pytest.approx(9.0)


def test_populations_that_weigh_the_same_are_the_slow_loop_over_both():
    rng = np.random.default_rng(3)
    parts = {"large": counts(rng, 24), "small": counts(rng, 6)}
    together = {
        name: sum(getattr(one, name) for one in parts.values()) for name in ("together", "both")
    }
    pooled = Counts(parts["large"].terms, **together, prior=1.0)
    found = observers_record({**parts, "pooled": pooled}, 1.0)["populations"]
    equal = charted_observers(found, "pooled", "equal")
    assert equal == pytest.approx(in_a_slow_loop([one.both for one in parts.values()]))
    plain = charted_observers(found, "pooled", "plain")
    assert plain == pytest.approx(in_a_slow_loop([pooled.both]))
    assert equal < plain  # the smaller one sets the noise
    own = charted_observers(found, "small", "plain")
    assert own == pytest.approx(in_a_slow_loop([parts["small"].both]))
    place = studied(
        {"prior": 1.0, "populations": found}, {"source": "small", "weights": "plain"}, 7, 2, 4
    )
    assert place == Studied(7, 2, 4, 1.0, own)


def spread(rng, both, n_draws=4000):
    """Return the mean variance of shares drawn with chance one half, as partial sorts tell them."""
    drawn = rng.binomial(both, 0.5, size=(n_draws, len(both)))
    return drawn_to_mean(drawn, np.asarray(both), 1.0, 0.5).var(axis=0).mean()


@pytest.mark.parametrize("both", [[4] * 20, [2, 6] * 10, [3, 12] * 10, [5] * 15 + [20] * 5])
def test_so_many_observers_of_every_pair_are_as_noisy_in_a_simulation(both):
    # even numbers on either side of the told one enclose the noise; those at the mean do not
    rng, told = np.random.default_rng(8), effective_observers(np.array(both))
    noise = spread(rng, both)
    around = [
        spread(rng, [number] * 20) for number in (np.floor(told * 0.85), np.ceil(told * 1.15))
    ]
    assert around[0] > noise > around[1]


def test_at_the_mean_number_uneven_pairs_are_noisier():
    rng = np.random.default_rng(9)
    assert spread(rng, [3, 13] * 10) > 1.2 * spread(rng, [8] * 20)
