"""How many piles people make."""

from felloe.validation.granularity import numbers_of_piles


def test_piles_are_counted_without_what_was_not_placed():
    assert numbers_of_piles([[0, 0, 3, -1], [1, 2, 3, 4]]).tolist() == [2, 4]
