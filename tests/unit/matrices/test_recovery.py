"""Where a study lies among simulated partial studies, and what is told of it."""

from dataclasses import replace

import pytest
from felloe.matrices.recovery import (
    ASTRAY,
    Simulated,
    Studied,
    kinds_like,
    of_one_kind,
    outside,
    where_it_lies,
)
from felloe.matrices.recovery_words import told

ONE = Simulated(300, 10, 30, 60, 0.3, 0.0, 1.0, 75, 3.2, 0, 3.0, 4, 0.8, 0.01, 0.5, 0.02)
SIZES = [
    ONE,
    replace(ONE, people=150, effective=6.0, class_rand=0.9, subclass_rand=0.6),
    replace(ONE, people=300, effective=12.0, class_rand=0.99, subclass_rand=0.9),
]
SMALL = [replace(one, terms=120, terms_each=30) for one in SIZES]
MADE = [
    replace(one, astray=astray, prior=prior)
    for one in (*SMALL, *SIZES)
    for astray in ASTRAY
    for prior in (0.0, 1.0)
]
STUDY = Studied(240, 10, 60.0, 1.0, 7.0)
CHARTED = {"source": "pooled", "weights": "plain"}
OBSERVED = {"prior": 1.0, "populations": {"pooled": {"median": 9.0}, "makers": {"median": 5.5}}}


def said_of(study, charted=CHARTED, made=MADE):
    """Return what is told, a narrow space before a sign of percent left out."""
    found = told(study, OBSERVED, charted, made)
    rows = [(row[0].replace("\u202f", ""), *row[1:]) for row in found.rows]
    return replace(found, rows=rows, follows=found.follows.replace("\u202f", ""))


@pytest.mark.parametrize(
    ("effective", "below", "above"),
    [(3.0, 75, 75), (4.0, 75, 150), (6.0, 150, 150), (11.9, 150, 300), (12.0, 300, 300)],
)
def test_the_nearest_studies_on_either_side_are_found_in_any_order(effective, below, above):
    place = where_it_lies(effective, SIZES[::-1])
    assert (place.below.people, place.above.people) == (below, above)


@pytest.mark.parametrize("effective", [2.9, 12.1])
def test_nothing_is_drawn_out_beyond_the_ends(effective):
    with pytest.raises(ValueError, match="end before it"):
        where_it_lies(effective, SIZES)


def test_studies_of_two_kinds_are_no_table():
    with pytest.raises(ValueError, match="one kind"):
        where_it_lies(5.0, [ONE, replace(ONE, astray=0.1)])
    with pytest.raises(ValueError, match="one kind"):
        where_it_lies(5.0, [])


def test_one_kind_leaves_out_others_and_rises():
    mixed = [*SIZES[::-1], replace(ONE, prior=0.0), replace(ONE, smaller_share=0.2), *SMALL]
    assert of_one_kind(mixed, 0.3, 300, 1.0) == SIZES


@pytest.mark.parametrize(
    ("terms", "classes", "prior", "held"),
    [(240, 10, 1.0, (300, 1.0)), (190, 10, 1.0, (300, 1.0)), (189, 10, 1.0, (120, 1.0)),
     (240, 15, 1.0, (120, 1.0)), (240, 10, 0.99, (300, 0.0)), (240, 10, 0.0, (300, 0.0)),
     (240, 10, 5.0, (300, 1.0))],
)  # fmt: skip
def test_a_study_is_held_against_classes_of_like_size_and_its_prior(terms, classes, prior, held):
    kinds = kinds_like(replace(STUDY, terms=terms, classes=classes, prior=prior), MADE)
    assert list(kinds) == list(ASTRAY)
    assert {(one.terms, one.prior) for kind in kinds.values() for one in kind} == {held}


INSIDE = [
    {"terms": 100, "classes": 10}, {"terms": 600, "classes": 20}, {"classes": 5},
    {"terms": 240, "classes": 20}, {"terms": 200, "classes": 20}, {"terms": 600, "classes": 10},
    {"terms_each": 15.0}, {"terms_each": 150.0}, {"prior": 0.0}, {"effective": 3.0},
    {"effective": 12.0},
]  # fmt: skip
OUTSIDE = [
    ({"terms": 99, "classes": 5}, "99 terms, for 100 to 600"),
    ({"terms": 601, "classes": 20}, "601 terms, for 100 to 600"),
    ({"terms": 29, "classes": 2}, "29 terms, for 100"), ({"classes": 4}, "4 classes, for 5 to 20"),
    ({"terms": 300, "classes": 21}, "21 classes, for 5 to 20"),
    ({"terms": 149, "classes": 15}, "9.9 terms a class, for 10 to 60"),
    ({"terms": 599, "classes": 9}, "66.6 terms a class"),
    ({"terms_each": 14.5}, "14.5 terms before each"), ({"terms_each": 151.0}, "151 terms before"),
    ({"prior": 1.5}, "matrices.prior of 1.5"), ({"effective": 2.98}, "2.98 people at every pair"),
    ({"effective": 12.02}, "12.02 people at every pair, for 3.00 to 12.00"),
]  # fmt: skip


@pytest.mark.parametrize("change", INSIDE)
def test_within_the_ends_a_study_has_a_place(change):
    study = replace(STUDY, **change)
    assert not outside(study, kinds_like(study, MADE)[0.3])
    said = said_of(study)
    assert len(said.rows) == len(ASTRAY)
    assert said.after
    assert "outside" not in said.before


@pytest.mark.parametrize(("change", "reason"), OUTSIDE)
def test_beyond_an_end_the_report_says_so_and_tells_no_number_of_what_came_back(change, reason):
    said = said_of(replace(STUDY, **change))
    assert "lies outside" in said.before
    assert reason in said.before
    assert said.rows == []
    assert said.caption == said.after == ""
    assert "supports alone" in said.follows


def test_every_end_that_a_study_lies_beyond_is_named():
    said = said_of(replace(STUDY, terms=20, classes=3, effective=1.0)).before
    assert all(words in said for words in ("20 terms", "3 classes", "6.7 terms a", "1.00 people"))


def test_the_table_has_what_came_back_on_either_side():
    assert [row[0] for row in said_of(STUDY).rows] == ["10%", "30%", "50%"]
    assert said_of(STUDY).rows[0][1:] == ("0.90 to 0.99", "0.60 to 0.90")
    assert said_of(replace(STUDY, effective=6.0)).rows[0][1:] == ("0.90", "0.60")
    assert "6.0 and 12.0 people at every pair" in said_of(STUDY).before


def test_it_is_said_which_number_of_people_counts():
    count = said_of(STUDY).count
    assert "In the median 9 placed both" in count
    assert "7.0 people placed every pair" in count
    assert "weigh the same" not in count
    equal = said_of(STUDY, {"source": "pooled", "weights": "equal"}).count
    assert "the populations weigh the same" in equal
    own = said_of(STUDY, {"source": "makers", "weights": "plain"}).count
    assert "In the median 5.5 of the charted population placed both" in own


def graded(**by_astray):
    """Return a table in which classes and subclasses came back so well, by percent astray."""
    return [
        replace(one, class_rand=by_astray[f"a{one.astray:.0%}"[:-1]][0],
                subclass_rand=by_astray[f"a{one.astray:.0%}"[:-1]][1])
        for one in MADE
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("classes", "subclasses", "said", "end"),
    [((1.0, 1.0, 0.9), (1.0, 0.95, 0.9), "back classes where up to 50%", "hardly for want"),
     ((1.0, 1.0, 0.9), (1.0, 0.95, 0.89), ", and subclasses where up to 30%", "ask more people"),
     ((1.0, 0.9, 0.89), (0.9, 0.89, 0.1), "back classes where up to 30%", "ask more people"),
     ((0.9, 0.89, 0.95), (0.9, 0.8, 0.1), "back classes where up to 10%", "ask more people"),
     ((0.9, 0.8, 0.7), (0.89, 0.8, 0.1), ", and subclasses not even where 10%", "ask more people")],
)  # fmt: skip
def test_what_follows_names_the_care_that_it_hangs_on(classes, subclasses, said, end):
    pairs = zip(classes, subclasses, strict=True)
    made = graded(**{f"a{one:.0%}"[:-1]: pair for one, pair in zip(ASTRAY, pairs, strict=True)})
    follows = said_of(STUDY, made=made).follows
    assert said in follows
    assert end in follows


def test_what_follows_is_drawn_from_the_studies_with_no_more_people():
    assert "back classes where up to 50%" in said_of(replace(STUDY, effective=6.0)).follows
    assert "back classes not even" in said_of(replace(STUDY, effective=5.99)).follows
    assert ", and subclasses where up to 50%" in said_of(replace(STUDY, effective=12.0)).follows
    assert ", and subclasses not even" in said_of(replace(STUDY, effective=11.99)).follows
