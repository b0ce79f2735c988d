"""Several functions called out of one set of keywords."""

import pytest
from felloe.ground.in_turn import in_turn


def test_functions_are_called_in_turn_each_with_what_it_names():
    called = []

    def first(*, a, b):
        called.append(("first", a, b))

    def second(*, b, c=3, d=4):
        called.append(("second", b, c, d))

    in_turn([first, second], {"b": 2, "d": 5, "a": 1})
    assert called == [("first", 1, 2), ("second", 2, 3, 5)]


def test_a_function_that_takes_any_keyword_gets_all():
    called = []
    in_turn([lambda *, a, **others: called.append((a, others))], {"a": 1, "b": 2})
    assert called == [(1, {"b": 2})]


def test_a_keyword_that_no_function_takes_stops_before_any_is_called():
    called = []
    with pytest.raises(TypeError, match="no function takes b, c"):
        in_turn([lambda *, a: called.append(a)], {"a": 1, "c": 3, "b": 2})
    assert called == []


def test_a_keyword_that_is_missing_is_an_error_as_in_a_call():
    with pytest.raises(TypeError, match="'b'"):
        in_turn([lambda *, a, b: None], {"a": 1})
