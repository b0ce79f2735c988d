"""The picture of two columns: what it says of its crossings is what is drawn."""

from itertools import combinations

import numpy as np
import pytest
from felloe.editions.columns.figure_columns import migration_of
from felloe.editions.columns.figure_words import crossings_told
from felloe.editions.tables import TERMS
from felloe.editions.wheels.hues import Partners

RINGS = ("a", "b", "c", "d"), ("v", "w", "x", "y", "z")


def rows(seed, count=40):
    rng = np.random.default_rng(seed)
    blank = dict.fromkeys(TERMS.names)
    return [
        blank
        | {
            "term": f"t{at:02}",
            "class_older": str(rng.choice(list(RINGS[0]))),
            "class_newer": str(rng.choice(list(RINGS[1]))),
        }
        for at in range(count)
    ]


def crossed(left, right):
    """Count the pairs of terms that change sides between two columns."""
    return sum(
        (left[one] - left[other]) * (right[one] - right[other]) < 0
        for one, other in combinations(sorted(left), 2)
    )


def in_runs(some, classes, side):
    """Put terms class by class; within a class by the class on the other side."""
    other = "class_newer" if side == "class_older" else "class_older"
    ring = RINGS[1] if side == "class_older" else RINGS[0]
    ordered = sorted(
        some, key=lambda row: (classes.index(row[side]), ring.index(row[other]), row["term"])
    )
    return {row["term"]: place for place, row in enumerate(ordered)}


@pytest.mark.parametrize("seed", range(6))
def test_crossings_are_those_of_the_lines_that_are_drawn(seed):
    drawn = migration_of(rows(seed), RINGS, Partners({}, {}))
    (_, first), (_, second) = drawn.columns
    assert crossed(first, second) == drawn.crossings.after


@pytest.mark.parametrize("seed", range(6))
def test_crossings_before_are_those_of_the_wheels(seed):
    some = rows(seed)
    first = in_runs(some, RINGS[0], "class_older")
    second = in_runs(some, RINGS[1], "class_newer")
    found = migration_of(some, RINGS, Partners({}, {})).crossings
    assert found.before == crossed(first, second)
    assert found.after <= found.before
    assert f"Crossings of lines: {found.after} " in crossings_told(found)
    assert crossings_told(found).endswith(f" {found.before}.")


def test_each_class_is_one_run_with_all_its_terms():
    some = rows(9)
    drawn = migration_of(some, RINGS, Partners({}, {}))
    for side, (classes, places) in zip(("class_older", "class_newer"), drawn.columns, strict=True):
        home = {row["term"]: row[side] for row in some}
        from_the_top = [home[term] for term in sorted(places, key=places.__getitem__)]
        assert list(dict.fromkeys(from_the_top)) == list(classes)
        changes = sum(a != b for a, b in zip(from_the_top[1:], from_the_top[:-1], strict=True))
        assert changes == len(classes) - 1
        assert set(places) == set(home)
        assert drawn.lowest >= max(places.values()) + 1


def test_a_class_that_is_not_on_the_ring_is_drawn_as_well():
    drawn = migration_of(rows(3), (("a", "b"), RINGS[1]), Partners({}, {}))
    assert set(drawn.columns[0][0]) == {"a", "b", "c", "d"}
