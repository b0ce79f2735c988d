"""What the numbers of the tree say in words."""

from typing import get_args

import pytest
from felloe.clustering.choice import Failure
from felloe.clustering.figure_words import SCALES, class_title, tree_key
from felloe.clustering.summary import Reading
from felloe.clustering.words import READINGS, class_rows, failure, tied_terms
from felloe.ground.linkage import METHODS


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
    assert "diamonds" in tree_key(tied=True)
    assert "diamonds" not in tree_key(tied=False)
