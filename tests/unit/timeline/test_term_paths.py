"""Paths of terms through several editions, by their definition."""

from itertools import pairwise

import pytest
from felloe.timeline.paths import RETURNED, Step, paths_of


def names(terms, steps):
    return [path.name for path in paths_of([each.split() for each in terms], steps)]


def changes(path):
    return [step and step.change for step in path.steps]


def test_a_term_that_is_kept_has_one_path():
    kept = [[Step("dill", "dill", "kept")]] * 2
    (path,) = paths_of([["dill"]] * 3, kept)
    assert path.terms == ("dill", "dill", "dill")
    assert changes(path) == [None, "kept", "kept"]


def test_a_term_that_is_renamed_twice_has_one_path():
    steps = [[Step("hot", "burn", "renamed")], [Step("burn", "heat", "renamed")]]
    (path,) = paths_of([["hot"], ["burn"], ["heat"]], steps)
    assert path.name == "hot > burn > heat"
    assert path.last_term == "heat"


def test_a_split_term_has_a_path_for_each_part_and_a_merge_joins_them_again():
    split = [Step("sour", "soft", "split"), Step("sour", "sharp", "split")]
    merged = [Step("soft", "acid", "merged"), Step("sharp", "acid", "merged")]
    found = paths_of([["sour"], ["soft", "sharp"], ["acid"]], [split, merged])
    assert [path.name for path in found] == ["sour > sharp > acid", "sour > soft > acid"]
    assert changes(found[0]) == [None, "split", "merged"]


def test_terms_that_merge_have_paths_that_end_alike():
    merged = [Step("soil", "earth", "merged"), Step("mud", "earth", "merged")]
    assert names(["soil mud", "earth"], [merged]) == ["mud > earth", "soil > earth"]


def test_a_term_that_was_retired_and_is_there_again_has_come_back():
    (path,) = paths_of([["leek"], [], ["leek"]], [[], []])
    assert path.name == "leek > _ > leek"
    assert path.places == (0, 2)
    assert changes(path) == [None, None, RETURNED]


def test_what_was_declared_retired_and_new_in_neighbouring_editions_is_another_thing():
    assert names(["leek", "leek"], [[]]) == ["_ > leek", "leek > _"]


def test_an_id_that_goes_on_under_another_name_does_not_come_back():
    steps = [[Step("hot", "heat", "renamed")], [Step("heat", "heat", "kept")]]
    assert names(["hot", "heat", "heat hot"], steps) == ["hot > heat > heat", "_ > _ > hot"]


def test_a_term_that_came_from_another_has_not_come_back():
    # what is called leek in the last edition is the onion of the one before
    steps = [[], [Step("onion", "leek", "renamed")]]
    assert names(["leek", "onion", "leek"], steps) == ["_ > onion > leek", "leek > _ > _"]


def test_a_term_can_come_back_more_than_once():
    assert names(["leek", "", "leek", "", "leek"], [[]] * 4) == ["leek > _ > leek > _ > leek"]


@pytest.mark.parametrize("number", [3, 5])
def test_every_term_of_every_edition_lies_on_a_path(number):
    terms = [[f"t{(7 * place + at) % 9}" for at in range(5)] for place in range(number)]
    steps = [
        [Step(one, one, "kept") for one in sorted(set(a) & set(b))] for a, b in pairwise(terms)
    ]
    paths = paths_of(terms, steps)
    on_paths = {(place, path.terms[place]) for path in paths for place in path.places}
    assert on_paths == {(place, term) for place, here in enumerate(terms) for term in here}
    assert len({path.name for path in paths}) == len(paths)
