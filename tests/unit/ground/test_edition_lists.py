"""What lists of editions ask for."""

from felloe.ground.edition_lists import folder_of, homes_of, pairs_of, timelines_of


def test_a_list_is_its_consecutive_pairs_and_a_pair_is_one_however_many_lists_hold_it():
    assert pairs_of([["a", "b", "c"]]) == [("a", "b"), ("b", "c")]
    assert pairs_of([["b", "c"], ["a", "b", "c", "d"]]) == [("b", "c"), ("a", "b"), ("c", "d")]


def test_lists_of_three_and_more_have_a_timeline():
    lists = [["a", "b"], ["a", "b", "c"], ["x", "y", "z", "w"]]
    assert timelines_of(lists) == {("a", "c"): ["a", "b", "c"], ("x", "w"): ["x", "y", "z", "w"]}


def test_a_timeline_shares_its_folder_with_the_pair_of_its_ends():
    assert homes_of([["a", "b", "c"], ["a", "c"]]) == [("a", "b"), ("b", "c"), ("a", "c")]
    assert folder_of(("a", "c")) == "a--c"
