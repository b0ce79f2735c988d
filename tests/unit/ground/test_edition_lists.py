"""What lists of editions ask for."""

import pytest
from felloe.errors import StudyError
from felloe.ground.edition_lists import check_order, folder_of, homes_of, pairs_of, timelines_of


def test_a_list_is_its_consecutive_pairs_and_a_pair_is_one_however_many_lists_hold_it():
    assert pairs_of([["a", "b", "c"]]) == [("a", "b"), ("b", "c")]
    assert pairs_of([["b", "c"], ["a", "b", "c", "d"]]) == [("b", "c"), ("a", "b"), ("c", "d")]


def test_lists_of_three_and_more_have_a_timeline():
    lists = [["a", "b"], ["a", "b", "c"], ["x", "y", "z", "w"]]
    assert timelines_of(lists) == {("a", "c"): ["a", "b", "c"], ("x", "w"): ["x", "y", "z", "w"]}


def test_a_timeline_shares_its_folder_with_the_pair_of_its_ends():
    assert homes_of([["a", "b", "c"], ["a", "c"]]) == [("a", "b"), ("b", "c"), ("a", "c")]
    assert folder_of(("a", "c")) == "a--c"


@pytest.mark.parametrize(
    ("first", "second"),
    [("2006", "2016"), ("2016", "2016"), ("2016-05", "2016"), ("2016", "2016-05-12"),
     ("2016-05-12", "2016-05-13")],
)  # fmt: skip
def test_an_edition_may_stand_before_one_that_is_not_older(first, second):
    check_order([["a", "b"]], {"a": first, "b": second}, "mine.yaml")


@pytest.mark.parametrize(
    ("first", "second"), [("2016", "2006"), ("2016-05", "2015"), ("2016-05-13", "2016-05-12")]
)
def test_an_edition_before_an_older_one_is_refused_with_both_and_a_cure(first, second):
    lists, dates = [["x", "a", "b"]], {"x": "1999", "a": first, "b": second}
    with pytest.raises(
        StudyError, match=f"edition of {first}, the second that of {second}"
    ) as told:
        check_order(lists, dates, "mine.yaml")
    assert "mine.yaml" in str(told.value)
    assert "[a, b]" in str(told.value)
    assert "Write the older edition first" in str(told.value)
