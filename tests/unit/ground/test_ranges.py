"""How many groups some terms can carry, and at how many all charts are cut alike."""

import dataclasses

import pytest
from felloe.ground.groups.ranges import GroupNumbers, clipped, common_number, most_groups

DEMO = GroupNumbers("auto", (6, 12), "auto", (18, 32))


def test_numbers_found_in_a_range_are_its_middle():
    assert DEMO.common(96) == (9, 25)


def test_numbers_that_were_set_are_taken():
    assert GroupNumbers(8, (6, 12), 20, (18, 32)).common(96) == (8, 20)


def test_there_are_never_fewer_subclasses_than_classes():
    assert GroupNumbers("auto", (6, 12), 4, (18, 32)).common(96) == (9, 9)


@pytest.mark.parametrize("n_terms", range(3, 40))
def test_few_terms_are_cut_into_fewer_groups_than_terms(n_terms):
    classes, subclasses = DEMO.common(n_terms)
    assert 2 <= classes <= subclasses < n_terms or (classes, subclasses) == (2, 2)


def test_numbers_come_from_settings_by_their_names():
    settings = {"subclasses_range": [18, 32], "subclasses": "auto", "classes": 7}
    assert GroupNumbers(**settings, classes_range=[6, 12]).common(96) == (7, 25)


def test_numbers_once_read_do_not_change():
    with pytest.raises(dataclasses.FrozenInstanceError):
        DEMO.classes = 5


@pytest.mark.parametrize(
    ("setting", "bounds", "n_terms", "expected"),
    [("auto", (6, 12), 15, 6), (7, (6, 12), 5, 4), ("auto", (6, 12), 2, 2)],
)
def test_a_common_number_is_one_that_the_terms_can_carry(setting, bounds, n_terms, expected):
    # 15 terms carry 6 or 7 classes of the range: the middle, rounded down, is 6
    assert common_number(setting, bounds, 2, n_terms // 2, n_terms) == expected


def test_half_and_three_quarters_of_the_terms_are_the_most_groups():
    assert most_groups(15) == (7, 11)


def test_a_range_beyond_what_is_possible_is_moved_into_it():
    assert clipped((6, 12), 2, 4) == (4, 4)


def test_the_most_is_never_below_the_least():
    assert clipped((6, 12), 5, 3) == (5, 5)
