"""Which choice moves terms, and how many keep their class, by counting."""

import pytest
from felloe.sensitivity import follow_words as follows


def universe(linkage, weighting, *terms):
    fixed = {"screening": "none", "n_classes": 4}
    return {**fixed, "linkage": linkage, "weighting": weighting, "terms_changing": terms}


ROWS = [
    universe("ward", "plain", "ash", "elm"),
    universe("ward", "equal", "ash"),
    universe("average", "plain"),
    universe("average", "equal", "ash"),
]


def test_the_choice_that_moves_most_is_named():
    # ash and elm: ward moves 3 of 4 places, average 1 of 4
    assert follows.cause(ROWS, ["ash", "elm"]) == ("linkage", "ward", 0.75, 0.25)
    said = follows.cause_sentence(ROWS, {"ash": "Ash", "elm": "Elm"})
    assert "with 'ward' a term leaves its class in 75 % of the analyses, otherwise in 25 %" in said


def test_no_choice_is_named_that_moves_less_than_twice_as_often():
    even = [universe("ward", "plain", "ash"), universe("average", "plain", "ash")]
    assert follows.cause(even, ["ash"]) is None
    assert follows.cause_sentence(even, {"ash": "Ash"}) == ""
    assert follows.cause(ROWS, []) is None


def test_terms_that_leave_together_are_told_as_a_block():
    rows = [
        universe("ward", "plain", "ash", "elm", "oak"),
        universe("ward", "equal", "ash", "elm", "oak", "beet"),
        universe("average", "plain", "ash"),
        universe("average", "equal", "beet"),
    ]
    published = [{"term": term, "class": "trees"} for term in ("ash", "elm", "oak", "fir")]
    published.append({"term": "beet", "class": "roots"})
    said = follows.blocks(rows, published, ["ash", "elm"], {"oak": "Oak"}, {"trees": "Trees"})
    # oak goes in two of three, beet is of another class, fir stays
    assert said.startswith(
        "3 of 4 analyses take ash, elm out of Trees, all together in 2 of these, mostly with Oak."
    )
    assert "is not recorded" in said
    assert follows.blocks(rows, published, [], {}, {}) == ""


@pytest.mark.parametrize(("share", "said"), [(0.8, "Every term"), (0.79, "1 of 2 terms keep")])
def test_terms_keep_their_class_from_the_bound(share, said):
    rows = [{"share_of_universes": share}, {"share_of_universes": 1.0}]
    assert said in follows.held(rows, 0.8)


def test_terms_that_are_not_asked_about_are_named():
    counted = {"share_of_universes": 0.25, "n_universes": 12}
    rows = [{"term": "ash", **counted}, {"term": "elm", **counted}]
    # a term may be placed by decision where some of the analyses put it without one
    assert "not so Elm (3 of 12)" in follows.named(rows, ["ash"], {"elm": "Elm"})
    assert "All of these" in follows.named(rows, ["ash", "elm"], {})
