"""What the numbers of the tree say in words."""

from typing import get_args

import pytest
from felloe.clustering.choice import Failure
from felloe.clustering.figure_words import SCALES, class_title, tree_key
from felloe.clustering.replicates.summary import Reading
from felloe.clustering.words import READINGS, class_rows, failure, tied_terms, tightness, whose_tree
from felloe.ground.groups.linkage import METHODS


def test_every_reading_of_the_jaccard_index_has_words():
    assert set(READINGS) == set(get_args(Reading))


def test_every_linkage_says_what_its_heights_are():
    assert set(SCALES) == set(METHODS)


@pytest.mark.parametrize("code", get_args(Failure))
def test_every_reason_why_a_group_does_not_hold_has_words(code):
    assert bool(failure(code, 2, 0.5)) == bool(code)


def test_a_reason_names_the_limit_that_is_not_reached():
    assert failure("few_terms", 3, 0.5) == "fewer than 3 terms"
    assert failure("low_support", 3, 0.5) == "support below 0.5"


def test_rows_of_classes_are_told_in_words_and_keep_their_numbers():
    row = {"class": "ash", "jaccard": 0.7, "convention": "pattern", "reason": "chance_support"}
    assert class_rows([row], 2, 0.5) == [
        {
            "class": "ash",
            "jaccard": 0.7,
            "convention": "a pattern, its members doubtful",
            "reason": "support no better than without structure",
        }
    ]


def test_a_class_that_does_not_hold_is_called_independent():
    assert class_title("Woods", 0.314, holds=True) == "Woods  0.31"
    assert class_title("Woods", 0.314, holds=False) == "Woods  0.31, independent"


def test_terms_that_depend_on_ties_stand_worst_first():
    shares = {"ash": 0.1, "beet": 0.0, "clove": 0.4, "dill": 0.1}
    rows = [{"term": term, "class_depends_on_tie_break": one} for term, one in shares.items()]
    assert [row["term"] for row in tied_terms(rows)] == ["clove", "ash", "dill"]


def test_the_key_speaks_of_ties_where_there_are_any():
    assert "diamonds" in tree_key(True, "Whose tree.")
    assert "diamonds" not in tree_key(False, "Whose tree.")


def test_the_key_says_whose_tree_it_is():
    assert tree_key(False, "Whose tree.").startswith("Whose tree.\n")


LABELS = {"panel": "Trained panel", "makers": "Makers"}


@pytest.mark.parametrize("weights", ["plain", "equal"])
def test_a_tree_of_one_population_names_it(weights):
    # with one population there is nothing to weigh it against, whatever the record says
    told = whose_tree({"source": "makers", "weights": weights}, LABELS)
    assert "the sorts of Makers alone; every participant weighs the same" in told


def test_a_pooled_tree_says_what_weighs_the_same():
    equal = whose_tree({"source": "pooled", "weights": "equal"}, LABELS)
    plain = whose_tree({"source": "pooled", "weights": "plain"}, LABELS)
    assert "all participants; every population weighs the same" in equal
    assert "all participants; every participant weighs the same" in plain


def counted(**below):
    return [
        {"tier": "class", "n_classes": int(number[1:]), "below_null": one}
        for number, one in below.items()
    ]


def test_a_number_that_no_structure_bears_out_is_called_a_convention():
    assert "a convention, not a finding" in tightness(counted(k6=False, k7=False))


def test_numbers_that_are_no_tighter_than_chance_are_named():
    told = tightness(counted(k6=False, k7=False, k8=True))
    assert told.startswith("With 6, 7 classes")


def test_subclasses_say_nothing_about_the_classes():
    rows = [*counted(k6=True), {"tier": "subclass", "n_classes": 18, "below_null": False}]
    assert tightness(rows).startswith("Every number of classes")
