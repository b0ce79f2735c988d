"""What follows from two editions compared turns where the numbers do."""

import pytest
from felloe.editions import follow_words as follows


@pytest.mark.parametrize(("robust", "is_said"), [(1, True), (2, False)])
def test_a_single_robust_move_may_be_chance(robust, is_said):
    rows = [{"migration": "robust"}] * robust + [{"migration": "noise"}] * 3
    assert ("This one alone may also be chance" in follows.moves(rows)) is is_said


def test_only_robust_moves_are_to_be_announced():
    rows = [{"migration": "robust"}, {"migration": "possible"}]
    assert "1 of 2 is robust" in follows.moves(rows)
    assert "announce none" in follows.moves(rows[1:])


@pytest.mark.parametrize("others", [(), ("possible",), ("noise",), ("possible", "noise")])
def test_moves_that_are_noise_are_never_called_possible(others):
    said = follows.moves([{"migration": grade} for grade in ("robust", "robust", *others)])
    assert ("graded possible no more than that" in said) == ("possible" in others)
    assert ("graded noise out" in said) == ("noise" in others)


@pytest.mark.parametrize(("by_chance", "is_said"), [(1, False), (2, True), (3, True)])
def test_as_many_robust_moves_as_chance_brings_are_not_to_be_announced(by_chance, is_said):
    rows = [{"migration": "robust"}] * 2 + [{"migration": "possible"}]
    assert ("announce none" in follows.moves(rows, by_chance)) is is_said


def test_classes_that_went_on_are_counted():
    rows = [{"relation": "stayed"}, {"relation": "split"}]
    assert follows.classes(rows).startswith("1 class went on")
    assert follows.classes(rows[1:]).startswith("No class went on")


@pytest.mark.parametrize(("index", "said"), [(0.6, "By and large"), (0.59, "not the same")])
def test_divisions_are_alike_from_the_bound(index, said):
    assert said in follows.agreement(index)


@pytest.mark.parametrize(
    ("low", "said"), [(0.9, "much alike"), (0.89, "is not shown"), (None, "is not shown")]
)
def test_studies_are_alike_from_the_lower_bound(low, said):
    assert said in follows.distances(0.8, {"low": low})
    assert "is not shown" in follows.distances(0.8, None)
