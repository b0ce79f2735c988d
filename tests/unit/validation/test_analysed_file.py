"""The analysed sorts as a file."""

import numpy as np
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.validation.analysed import read_analysed, write_analysed


def test_analysed_sorts_survive_a_round_trip(tmp_path):
    piles = np.array([[1, 2, UNPLACED], [1, 1, 1]], dtype=np.int16)
    sorts = Sorts(("p1", "p2"), ("makers", "panel"), ("a", "b", "c"), piles)
    write_analysed(tmp_path / "s.csv", sorts)
    read = read_analysed(tmp_path / "s.csv")
    assert (read.participants, read.populations, read.terms) == (
        ("p1", "p2"),
        ("makers", "panel"),
        ("a", "b", "c"),
    )
    assert (read.piles == piles).all()
    assert read.of("panel").participants == ("p2",)
    assert read.of("pooled") is read
