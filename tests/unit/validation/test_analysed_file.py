"""The analysed sorts as a file."""

import numpy as np
import pytest
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.validation.analysed import read_analysed, read_shown, write_analysed
from felloe.validation.tables import ANALYSED, DESIGN, SORTS
from write_design import main as write_design


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


@pytest.mark.parametrize("share", [0.1, 1.0])
def test_analysed_sorts_are_the_table_that_is_declared(share, tmp_path):
    rng = np.random.default_rng(1)
    piles = rng.integers(200, size=(7, 5))
    piles[rng.random(piles.shape) > share] = UNPLACED
    piles[3] = UNPLACED
    names = tuple("gbcdefa")
    sorts = Sorts(names, ("makers",) * 3 + ("panel",) * 4, tuple("uvwxy"), piles)
    write_analysed(tmp_path / "fast.csv", sorts)
    rows = [
        [name, population, *(None if pile == UNPLACED else pile for pile in row)]
        for name, population, row in sorted(zip(names, sorts.populations, piles.tolist()))
    ]
    ANALYSED.write(tmp_path / "slow.csv", rows, sorts.terms)
    assert (tmp_path / "fast.csv").read_bytes() == (tmp_path / "slow.csv").read_bytes()
    found = read_analysed(tmp_path / "fast.csv", 1.0)
    for row in ANALYSED.read(tmp_path / "slow.csv"):
        place = found.participants.index(row["participant"])
        cells = [UNPLACED if row[term] is None else row[term] for term in sorts.terms]
        assert found.piles[place].tolist() == cells
        assert found.populations[place] == row["population"]


def test_a_file_of_other_columns_is_refused(tmp_path):
    (tmp_path / "s.csv").write_text("person,population,u\na,panel,1\n")
    with pytest.raises(ValueError, match="columns"):
        read_analysed(tmp_path / "s.csv")
    with pytest.raises(ValueError, match="columns"):
        write_design(sorts=str(tmp_path / "s.csv"), design=str(tmp_path / "d.csv"))
    with pytest.raises(ValueError, match="columns"):
        read_shown(tmp_path / "s.csv", Sorts(("a",), ("panel",), ("u",), np.ones((1, 1))))


def test_the_design_is_what_the_checked_sorts_hold_rows_for(tmp_path):
    placed = [("a", "u", 1, 2), ("a", "v", None, 1), ("b", "v", 1, None), ("c", "u", 1, 1)]
    SORTS.write(tmp_path / "sorts.csv", placed)
    write_design(sorts=str(tmp_path / "sorts.csv"), design=str(tmp_path / "design.csv"))
    DESIGN.write(tmp_path / "slow.csv", [(who, term, at) for who, term, _, at in placed])
    assert (tmp_path / "design.csv").read_bytes() == (tmp_path / "slow.csv").read_bytes()
    sorts = Sorts(("b", "a"), ("panel",) * 2, ("u", "v"), np.ones((2, 2), dtype=int))
    shown = read_shown(tmp_path / "design.csv", sorts)
    assert shown.tolist() == [[False, True], [True, True]]
