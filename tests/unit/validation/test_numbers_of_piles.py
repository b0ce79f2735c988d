"""How many piles people make, and would have made of fewer terms."""

from itertools import combinations

import numpy as np
import pytest
from felloe.validation.screened.granularity import (
    at_equal_number,
    numbers_at_equal_number,
    numbers_of_piles,
)


def test_piles_are_counted_without_what_was_not_placed():
    assert numbers_of_piles([[0, 0, 3, -1], [1, 2, 3, 4]]).tolist() == [2, 4]


def person(sizes):
    row = {"n_piles": len(sizes), "n_single_piles": sizes.count(1), "pairs_together_share": 0.5}
    return {**row, "pile_sizes": ";".join(map(str, sizes))}


def drawn(sizes, number):
    """Return the piles, and those of one term, over all ways of drawing so many of the terms."""
    terms = [pile for pile, size in enumerate(sizes) for _ in range(size)]
    found = [np.unique(own, return_counts=True)[1] for own in combinations(terms, number)]
    return np.mean([len(own) for own in found]), np.mean([(own == 1).sum() for own in found])


def test_people_who_were_shown_more_are_described_as_of_fewer_terms():
    people = [[4, 2, 1, 1], [2, 2], [1, 1, 1, 1, 2]]  # of eight, four and six terms
    found = at_equal_number([person(sizes) for sizes in people])
    for row, sizes in zip(found, people, strict=True):
        assert (row["n_piles"], row["n_single_piles"]) == pytest.approx(drawn(sizes, 4))
        assert row["pairs_together_share"] == 0.5


def test_of_equal_numbers_of_terms_piles_are_those_that_were_made():
    people = [person(sizes) for sizes in ([4, 2, 1, 1], [8], [2, 2, 2, 2])]
    assert at_equal_number(people) == people


def test_the_least_number_is_that_of_all_populations():
    piles = np.array([[0, 0, 1, 1, 2, 2], [0, 1, 2, 3, -1, -1]])
    assert numbers_at_equal_number(piles)[0] == pytest.approx(drawn([2, 2, 2], 4)[0])
    assert numbers_at_equal_number(piles[:1])[0] == 3  # alone: of all six terms, as was sorted
