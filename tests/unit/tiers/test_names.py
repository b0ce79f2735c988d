"""Names hang on anchors: they follow a moved boundary, and an ambiguous anchor stops the run."""

import numpy as np
import pytest
from felloe.errors import StudyError
from felloe.ground.distances import Distances
from felloe.ground.terms import Terms
from felloe.tiers.names import GivenName, Naming, central_term, name_groups

TERMS = Terms("abcdefg")
GROUPS = tuple("aaaddff")
APART = Distances(TERMS, np.abs(np.subtract.outer(np.arange(7.0), np.arange(7.0))) / 7)


def names(rows, groups=GROUPS, moved=(), unfit="refuse"):
    given = [GivenName("class", **row) for row in rows]
    naming = Naming({term: term.upper() for term in TERMS}, APART, moved, unfit)
    return name_groups("class", groups, given, naming)


def test_a_name_goes_to_the_group_of_its_anchor():
    found = names([{"anchor": "e", "name": "Middle"}])
    assert found["d"].name == "Middle"
    assert not found["d"].proposed


def test_a_name_follows_its_anchor_when_a_boundary_moves():
    moved = tuple("aadddff")
    rows = [{"anchor": "e", "name": "Middle"}, {"anchor": "a", "name": "Low"}]
    assert names(rows)["d"].name == names(rows, moved)["d"].name == "Middle"
    assert names(rows)["a"].name == names(rows, moved)["a"].name == "Low"


def test_without_a_name_the_most_central_term_is_proposed():
    found = names([])
    assert found["a"].name == "B"
    assert found["a"].proposed


@pytest.mark.parametrize("seed", range(5))
def test_the_central_term_has_the_least_mean_distance(seed):
    rng = np.random.default_rng(seed)
    square = rng.random((9, 9))
    square = square + square.T
    np.fill_diagonal(square, 0)
    group, apart = "bdei", Distances(Terms("abcdefghi"), square)
    means = {
        one: np.mean([apart.on([one, other]).D[0, 1] for other in group if other != one])
        for one in group
    }
    assert central_term(apart, group) == min(means, key=means.get)


def test_of_equally_central_terms_the_first_is_taken():
    assert central_term(Distances(Terms("abcd"), 1.0 - np.eye(4)), ["d", "b", "c"]) == "b"


def test_names_that_meet_in_one_group_may_be_left_out_for_a_proposal():
    rows = [{"anchor": "d", "name": "One"}, {"anchor": "e", "name": "Two"}]
    found = names([*rows, {"anchor": "a", "name": "Low"}], unfit="propose")
    assert (found["d"].name, found["d"].proposed) == ("D", True)
    assert (found["a"].name, found["a"].proposed) == ("Low", False)


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
    groups = tuple("aaadddg")
    with pytest.raises(StudyError, match="only term"):
        names([{"anchor": "g", "name": "Alone", "absorbs": True}], groups)


def test_all_ambiguous_names_are_listed_at_once():
    rows = [{"anchor": anchor, "name": anchor * 2} for anchor in "abde"]
    with pytest.raises(StudyError) as caught:
        names(rows)
    assert len(caught.value.faults) == 2
