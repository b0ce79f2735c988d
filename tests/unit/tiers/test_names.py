"""Names hang on anchors: they follow a moved boundary, and an ambiguous anchor stops the run."""

import numpy as np
import pytest
from felloe.errors import StudyError
from felloe.tiers.names import central_term, name_groups

TERMS = tuple("abcdefg")
WORDS = tuple(word.upper() for word in TERMS)
LABELS = np.array([0, 0, 0, 1, 1, 2, 2])
D = np.abs(np.subtract.outer(np.arange(7.0), np.arange(7.0))) / 7


def names(rows, labels=LABELS, moved=(), unfit="refuse"):
    given = [{"tier": "class", "absorbs": "no", **row} for row in rows]
    return name_groups("class", labels, given, TERMS, WORDS, D, moved, unfit)


def test_a_name_goes_to_the_group_of_its_anchor():
    found = names([{"anchor": "e", "name": "Middle"}])
    assert found[1].name == "Middle"
    assert not found[1].proposed


def test_a_name_follows_its_anchor_when_a_boundary_moves():
    moved = np.array([0, 0, 1, 1, 1, 2, 2])
    rows = [{"anchor": "e", "name": "Middle"}, {"anchor": "a", "name": "Low"}]
    assert names(rows)[1].name == names(rows, moved)[1].name == "Middle"
    assert names(rows)[0].name == names(rows, moved)[0].name == "Low"


def test_without_a_name_the_most_central_term_is_proposed():
    found = names([])
    assert found[0].name == "B"
    assert found[0].proposed


@pytest.mark.parametrize("seed", range(5))
def test_the_central_term_has_the_least_mean_distance(seed):
    rng = np.random.default_rng(seed)
    square = rng.random((9, 9))
    square = square + square.T
    np.fill_diagonal(square, 0)
    group = [1, 3, 4, 8]
    means = {i: np.mean([square[i, j] for j in group if j != i]) for i in group}
    assert central_term(square, group) == min(means, key=means.get)


def test_of_equally_central_terms_the_first_is_taken():
    assert central_term(1.0 - np.eye(4), [3, 1, 2]) == 1


def test_names_that_meet_in_one_group_may_be_left_out_for_a_proposal():
    rows = [{"anchor": "d", "name": "One"}, {"anchor": "e", "name": "Two"}]
    found = names([*rows, {"anchor": "a", "name": "Low"}], unfit="propose")
    assert (found[1].name, found[1].proposed) == ("D", True)
    assert (found[0].name, found[0].proposed) == ("Low", False)


def test_two_names_for_one_group_are_refused_with_the_groups_that_have_none():
    with pytest.raises(StudyError) as caught:
        names([{"anchor": "d", "name": "One"}, {"anchor": "e", "name": "Two"}])
    message = str(caught.value)
    assert "'d'" in message
    assert "'e' for 'Two'" in message
    assert "'b' (a, b, c)" in message
    assert "'f' (f, g)" in message


def test_an_anchor_that_a_decision_moved_is_said_to_have_been_moved():
    with pytest.raises(StudyError, match="moved there by a decision"):
        names([{"anchor": "d", "name": "One"}, {"anchor": "e", "name": "Two"}], moved={"e"})


def test_an_unknown_anchor_is_refused():
    with pytest.raises(StudyError, match="is no term of the study"):
        names([{"anchor": "zz", "name": "Nowhere"}])


def test_a_group_cannot_lose_its_only_term_to_its_name():
    labels = np.array([0, 0, 0, 1, 1, 1, 2])
    with pytest.raises(StudyError, match="only term"):
        names([{"anchor": "g", "name": "Alone", "absorbs": "yes"}], labels)


def test_all_ambiguous_names_are_listed_at_once():
    rows = [{"anchor": anchor, "name": anchor * 2} for anchor in "abde"]
    with pytest.raises(StudyError) as caught:
        names(rows)
    assert len(caught.value.faults) == 2
