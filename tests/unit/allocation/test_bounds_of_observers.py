"""Observers of pairs by their definition; bounds against every allocation that there is."""

import math
from itertools import combinations, combinations_with_replacement, product

import numpy as np
import pytest
from felloe.allocation.allocating import Group, allocated
from felloe.allocation.observers import (
    bound,
    deviation_by_chance,
    evenness,
    observers,
    pair_counts,
)
from felloe.allocation.words import observer_lines
from felloe.ground.randomness import Streams

# terms, terms each, people: small enough to try every allocation
SMALL = [(4, 2, 3), (4, 3, 3), (5, 2, 4), (5, 3, 2), (5, 3, 4), (5, 4, 5), (6, 3, 3), (6, 3, 4),
         (6, 4, 3), (6, 5, 4), (7, 3, 3), (7, 5, 3)]  # fmt: skip


def counted(sets, n_terms):
    """Count by the definition: the observers of each pair, in a list."""
    return [sum(i in own and j in own for own in sets) for i, j in combinations(range(n_terms), 2)]


def every_allocation(n_terms, each, people):
    """Yield the observers of every allocation that there is."""
    for sets in combinations_with_replacement(combinations(range(n_terms), each), people):
        yield counted(sets, n_terms)


def random_sets(seed, n_terms, people):
    rng = np.random.default_rng(seed)
    return [np.flatnonzero(rng.random(n_terms) < rng.uniform(0.2, 0.9)) for _ in range(people)]


@pytest.mark.parametrize("seed", range(5))
def test_observers_equal_the_definition(seed):
    sets = random_sets(seed, 9, 7)
    found, one_by_one = observers(sets, 9), counted([set(own.tolist()) for own in sets], 9)
    assert (found.people, found.terms, found.pairs) == (7, 9, 36)
    assert (found.least, found.largest) == (min(one_by_one), max(one_by_one))
    assert found.median == sorted(one_by_one)[17] / 2 + sorted(one_by_one)[18] / 2
    assert found.mean == pytest.approx(sum(one_by_one) / 36)
    of_squares = sum((each - found.mean) ** 2 for each in one_by_one)
    assert found.spread == pytest.approx(math.sqrt(of_squares / 36))
    pairs = combinations(range(9), 2)
    unseen = [list(pair) for pair, each in zip(pairs, one_by_one, strict=True) if not each]
    assert found.unseen.tolist() == unseen
    people = [sum(term in own for own in sets) for term in range(9)]
    assert (found.fewest, found.most) == (min(people), max(people))
    assert np.diag(pair_counts(sets, 9)).tolist() == people


@pytest.mark.parametrize(("n_terms", "each", "people"), SMALL)
def test_no_allocation_beats_the_bound(n_terms, each, people):
    limit = bound([each] * people, n_terms)
    for seen in every_allocation(n_terms, each, people):
        assert min(seen) <= limit.least
        assert max(seen) >= limit.largest
        assert seen.count(0) >= limit.unseen
        assert np.std(seen) >= limit.spread - 1e-12


@pytest.mark.parametrize("sizes", [(2, 3, 4), (1, 5, 3), (4, 4, 2), (5, 5, 1)])
def test_nor_where_people_are_shown_different_numbers_of_terms(sizes):
    limit = bound(sizes, 5)
    kinds = [list(combinations(range(5), size)) for size in sizes]
    for sets in ((a, b, c) for a in kinds[0] for b in kinds[1] for c in kinds[2]):
        seen = counted(sets, 5)
        assert min(seen) <= limit.least
        assert max(seen) >= limit.largest
        assert seen.count(0) >= limit.unseen
        assert np.std(seen) >= limit.spread - 1e-12


def test_the_bound_of_a_known_design_is_its_own_number():
    # (7, 3, 7): every pair once
    limit = bound([3] * 7, 7)
    assert (limit.least, limit.largest, limit.unseen, limit.spread) == (1, 1, 0, 0.0)


def test_fewer_people_than_terms_cannot_see_every_pair_equally_often():
    # 16 terms, 6 each, 8 people: the numbers would give 1 for every pair and each term to 3 people,
    # and Fisher's inequality (people >= terms, 1940, from memory) forbids it
    limit = bound([6] * 8, 16)
    assert 8 * math.comb(6, 2) == math.comb(16, 2)
    assert (limit.least, limit.largest) == (0, 2)
    assert limit.spread > 0


def test_a_term_needs_a_whole_number_of_people():
    # Schönheim (1964): to see all pairs of 8 terms in threes a term needs 4 people (7 others, 2
    # at a time), so 11 people in all; 10 have pairs enough and cannot
    assert math.comb(8, 2) <= 10 * math.comb(3, 2)
    limit = bound([3] * 10, 8)
    assert limit.least == 0
    assert limit.unseen >= 1
    assert bound([3] * 11, 8).unseen == 0


@pytest.mark.parametrize(("n_terms", "each", "people"), SMALL)
def test_what_people_get_is_as_even_as_the_best_of_all_allocations(n_terms, each, people):
    late = tuple(f"p{n}" for n in range(people))
    sets = allocated(Streams(1, "s"), "panel", Group({}, late), n_terms, each).values()
    best = min(sum(v * v for v in seen) for seen in every_allocation(n_terms, each, people))
    assert sum(v * v for v in counted([set(own.tolist()) for own in sets], n_terms)) == best


@pytest.mark.parametrize("sizes", [(2, 3), (4, 4), (1, 5), (3, 3)])
def test_the_deviation_of_random_sets_is_that_of_all_that_could_be_drawn(sizes):
    kinds = [list(combinations(range(5), size)) for size in sizes]
    variances = [np.var(counted(sets, 5)) for sets in product(*kinds)]
    assert deviation_by_chance(sizes, 5) == pytest.approx(math.sqrt(np.mean(variances)))


def told(sets, n_terms):
    """Return how even sets are called, and the last lines that are said of them."""
    sizes = [len(own) for own in sets]
    found, limit = observers(sets, n_terms), bound(sizes, n_terms)
    terms = [f"t{n}" for n in range(n_terms)]
    lines = observer_lines("Panel", found, limit, sizes, terms)
    return evenness(found, limit, deviation_by_chance(sizes, n_terms)), "\n".join(lines)


def dealt(n_terms, each, people):
    late = tuple(f"p{n:03}" for n in range(people))
    return list(allocated(Streams(1, "s"), "panel", Group({}, late), n_terms, each).values())


def test_it_is_said_in_words_how_even_a_design_is():
    fano = np.array([[0, 1, 2], [0, 3, 4], [0, 5, 6], [1, 3, 5], [1, 4, 6], [2, 3, 6], [2, 4, 5]])
    how, said = told(list(fano), 7)
    assert how == "best"
    assert said.endswith("no way of dealing the terms is more even")
    assert told(dealt(40, 14, 20), 40)[0] == "near"
    how, said = told(dealt(40, 14, 40), 40)
    assert how == "expected"
    assert (
        "of random sets the standard deviation is 2.03" in said
    )  # 40 (p - p^2), p = 14 13 / 40 39
    rng = np.random.default_rng(3)
    how, said = told([rng.choice(40, 14, replace=False) for _ in range(40)], 40)
    assert how == "uneven"
    assert "less even than can be expected" in said


def test_pairs_that_have_to_be_unseen_are_told_and_none_is_not():
    # one person sees 3 of the 21 pairs of 7 terms
    assert "at least 18 pairs are seen by nobody, however" in told([np.arange(3)], 7)[1]
    assert "however" not in told(dealt(7, 3, 7), 7)[1]
