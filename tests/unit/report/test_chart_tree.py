"""The tree of a chart: which joins redraws keep, and which only a committee has made."""

from itertools import pairwise

import numpy as np
import pytest
from felloe.ground.groups.tree import Tree
from felloe.ground.terms import Terms
from felloe.report.chart_tree import tree_entry

TERMS = Terms(("a", "b", "c", "d", "e"))


def tree(*merges):
    """Return a tree from (left, right, height), nodes counted as SciPy counts them."""
    sizes, rows = [1] * len(TERMS), []
    for left, right, height in merges:
        sizes.append(sizes[left] + sizes[right])
        rows.append((left, right, height, sizes[-1]))
    return Tree(TERMS, np.array(rows, dtype=float))


def support(**kept):
    """Return rows of a support table by the letters of a node."""
    return {frozenset(members): {"supported": held} for members, held in kept.items()}


def supported(published, rows, moved=()):
    """Return of every join, by its terms, whether redraws keep it."""
    entry, below, found = tree_entry(published, rows, moved), [], {}
    for merge in entry["merges"]:
        sides = [{r} if isinstance(r, str) else below[r] for r in (merge["left"], merge["right"])]
        below.append(sides[0] | sides[1])
        found["".join(sorted(below[-1]))] = merge["supported"]
    return found


# the data: ((a b) c) (d e)
DATA = support(ab=True, abc=False, de=True, abcde=True)


def test_every_join_of_the_data_has_its_own_support_and_the_last_none():
    found = supported(tree((0, 1, 0.2), (3, 4, 0.3), (5, 2, 0.4), (6, 7, 0.9)), DATA)
    assert found == {"ab": True, "de": True, "abc": False, "abcde": None}


def test_a_join_that_a_committee_made_has_none():
    # c was moved beside d: c joins (d e), and (a b) meets them at the root
    published = tree((0, 1, 0.2), (3, 4, 0.3), (6, 2, 0.5), (5, 7, 0.9))
    found = supported(published, DATA, ["c"])
    assert found["cde"] is None
    # what held c is known again without it: the lowest node of the data with these terms
    assert found["ab"] is True
    assert found["de"] is True


def test_a_term_moved_right_beside_another_makes_a_join_of_its_own():
    # c was moved to d alone, below e: neither (c d) nor what it is part of is new evidence
    published = tree((0, 1, 0.2), (2, 3, 0.25), (6, 4, 0.3), (5, 7, 0.9))
    found = supported(published, DATA, ["c"])
    assert found["cd"] is None
    assert found["cde"] is True  # the data's (d e), with what was put there


def test_of_two_nodes_that_are_the_same_without_the_moved_the_lower_is_meant():
    # without c the data's (a b) and (a b c) are both (a b)
    rows = support(ab=False, abc=True, de=True, abcde=True)
    published = tree((0, 1, 0.2), (3, 4, 0.3), (6, 2, 0.5), (5, 7, 0.9))
    assert supported(published, rows, ["c"])["ab"] is False


@pytest.mark.parametrize("moved", ["a", "b", "c", "d", "e"])
def test_merges_stand_from_the_lowest_to_the_root_and_name_what_they_join(moved):
    published = tree((0, 1, 0.2), (3, 4, 0.3), (5, 2, 0.4), (6, 7, 0.9))
    merges = tree_entry(published, DATA, [moved])["merges"]
    assert all(one["height"] <= other["height"] for one, other in pairwise(merges))
    assert [(m["left"], m["right"]) for m in merges] == [("a", "b"), ("d", "e"), (0, "c"), (1, 2)]
