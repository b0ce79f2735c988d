"""What follows from the classes' colours turns at the difference that is wanted."""

import pytest
from felloe.colours.follow_words import classes


@pytest.mark.parametrize(
    ("least", "said"), [(10.0, "can be told apart"), (9.9, "less than the 10")]
)
def test_colours_are_told_apart_from_the_bound(least, said):
    assert said in classes([{"min_delta_e_pair": least}, {"min_delta_e_pair": 30.0}], 10.0)


def test_one_class_has_nothing_to_be_told_from():
    assert "nothing to tell apart" in classes([{"min_delta_e_pair": None}], 10.0)
