"""What follows from the tables on the tree turns where the numbers do."""

import pytest
from felloe.clustering import follow_words as follows


@pytest.mark.parametrize(("cut", "said"), [(0.89, "Every class is cut below"), (0.9, "above the")])
def test_classes_are_held_against_the_chance_line(cut, said):
    assert said in follows.tree(cut, 0.9)


def linkage(*terms, chosen=False):
    return {"terms_changing_class": terms, "chosen": chosen}


def test_terms_that_most_linkages_move_are_named():
    rows = [linkage(chosen=True), linkage("ash"), linkage("ash", "elm"), linkage()]
    said = follows.linkages(rows, {"ash": "Ash"})
    assert "0 to 2 terms" in said
    assert "under most of them Ash:" in said  # two of three; elm in one of three
    assert "no term under most" in follows.linkages([*rows, linkage()], {})
    assert "does not matter" in follows.linkages([rows[0], linkage()], {})


def test_terms_that_bend_the_tree_are_held_against_the_questions():
    rows = [{"term": "ash"}, {"term": "elm"}]
    assert "1 of these" in follows.unfit(rows, ["elm"])
    assert "None of these is in doubt" in follows.unfit(rows, ["oak"])


def test_one_term_is_not_told_in_the_plural():
    assert follows.ties(1).startswith("This term stands")
    assert follows.ties(2).startswith("These 2 terms stand")


CLASSES = [
    {"class": "ash", "holds": True, "reason": "", "jaccard": 1.0, "members": ("ash",)},
    {"class": "elm", "holds": False, "reason": "few_terms", "jaccard": 1.0, "members": ("elm",)},
]


def place(term, status):
    return {"term": term, "status": status, "class_name": "Trees"}


def test_classes_that_do_not_hold_are_named():
    said = follows.classes(CLASSES, {"elm": "Elms"}, {}, [place("elm", "doubtful")])
    assert "1 of 2 classes of the data hold. Not: Elms." in said
    assert "All 1 classes" in follows.classes(CLASSES[:1], {}, {}, [])


def test_a_class_that_a_decision_dissolved_is_told_by_its_label_and_where_it_went():
    said = follows.classes(CLASSES, {}, {"elm": "Elm wood"}, [place("elm", "moved")])
    assert "Not: Elm wood (moved by decision, now in Trees)." in said


@pytest.mark.parametrize(("jaccard", "said"), [(0.75, True), (0.74, False)])
def test_a_class_that_is_stable_and_too_small_is_told_why_it_does_not_hold(jaccard, said):
    rows = [{**CLASSES[1], "jaccard": jaccard}]
    assert ("too small for a class" in follows.classes(rows, {}, {}, [])) == said


@pytest.mark.parametrize(("share", "said"), [(0.1, "no accident"), (0.11, "11 % of the pairs")])
def test_blocks_are_clear_up_to_a_bound(share, said):
    assert said in follows.pairs(share)


@pytest.mark.parametrize(("rank", "said"), [(1.5, "5 classes would do"), (1.51, "No other number")])
def test_a_number_ranked_nearly_as_well_is_named(rank, said):
    rows = [
        {"tier": "class", "n_classes": n, "below_null": True, "mean_rank": found}
        for n, found in ((4, 1.0), (5, rank), (6, float("nan")))
    ]
    assert said in follows.numbers(rows, 4)


@pytest.mark.parametrize(
    ("number", "fixed", "span", "said"),
    [
        (12, False, (6, 12), "The 12 classes stand at the upper end of the range 6 to 12"),
        (
            6,
            False,
            (6, 12),
            "lower end of the range 6 to 12 (tiers.classes_range): whether few",
        ),
        (11, False, (6, 12), ""),
        (12, True, (6, 12), ""),  # chosen by people, who know what they did not look at
        (2, False, (2, 12), ""),  # one class divides nothing
        (8, False, (8, 8), ""),
    ],
)
def test_a_number_at_an_end_of_its_range_is_told_so(number, fixed, span, said):
    told = follows.end_of_range("classes", {"number": number, "fixed": fixed, "range": span})
    assert said in told
    assert bool(told) == bool(said)
