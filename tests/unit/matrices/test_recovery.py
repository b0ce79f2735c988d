"""Where a study lies among simulated partial studies, and the table that it is held against."""

from dataclasses import replace

import pytest
from felloe.matrices.recovery import Simulated, of_one_kind, where_it_lies
from felloe.matrices.recovery_words import CARELESS, what_follows, where_sentences

ONE = Simulated(300, 10, 30, 60, 0.3, 0.0, 1.0, 75, 3.0, 0, 4, 0.8, 0.01, 0.5, 0.02)
MADE = [ONE, replace(ONE, people=150, observers=6.0), replace(ONE, people=300, observers=12.0)]


@pytest.mark.parametrize(
    ("observers", "below", "above"),
    [(2.9, None, 75), (3.0, 75, 75), (4.0, 75, 150), (6.0, 150, 150), (12.1, 300, None)],
)
def test_the_nearest_studies_on_either_side_are_found_in_any_order(observers, below, above):
    place = where_it_lies(observers, MADE[::-1])
    assert [one and one.people for one in (place.below, place.above)] == [below, above]


def test_studies_of_two_kinds_are_no_table():
    with pytest.raises(ValueError, match="one kind"):
        where_it_lies(5.0, [ONE, replace(ONE, astray=0.1)])
    with pytest.raises(ValueError, match="one kind"):
        where_it_lies(5.0, [])


def test_one_kind_leaves_out_others_and_rises():
    mixed = [*MADE[::-1], replace(ONE, prior=0.0), replace(ONE, smaller_share=0.2)]
    assert of_one_kind(mixed, 0.3, 60, 1.0) == MADE


@pytest.mark.parametrize(
    ("observers", "said"),
    [(0.5, "less than"), (1000.0, "at least"), (8.0, "for the subclasses with")],
)
def test_sentences_say_on_which_side_of_the_studies_one_lies(observers, said):
    kinds = [replace(one, astray=astray) for one in MADE for astray in CARELESS]
    sentences = where_sentences(observers, kinds)
    assert len(sentences) == len(CARELESS) + 2
    assert all(said in one for one in sentences[1:-1])


@pytest.mark.parametrize(
    ("observers", "said"),
    [(2.9, "classes and subclasses in doubt"), (5.9, "classes and subclasses in doubt"),
     (6.0, "but hardly subclasses"), (11.9, "but hardly subclasses"),
     (12.0, "carry classes and subclasses")],
)  # fmt: skip
def test_what_follows_is_drawn_from_the_simulated_studies_with_fewer_observers(observers, said):
    made = [replace(MADE[0], class_rand=0.89), replace(MADE[1], class_rand=0.9),
            replace(MADE[2], class_rand=1.0, subclass_rand=0.9)]  # fmt: skip
    careful = [replace(one, astray=0.1, class_rand=1.0, subclass_rand=1.0) for one in made]
    assert said in what_follows(observers, [*made, *careful])
