"""The rule, branch by branch."""

from dataclasses import replace

import pytest
from comparison_example import MARGINS
from felloe.comparison.verdict import Evidence, decide, holm

UNKNOWN = float("nan")
ALIKE = Evidence(
    mantel_p=0.0001,
    reliability=0.9,
    corrected_low=0.95,
    corrected_low_without=0.95,
    n_terms=100,
    named=0,
    class_changes=9,
    subclass_changes=20,
    expected_class_changes=8.0,
    usual_class_changes=14.0,
    named_class_changes=0,
    p_matched=0.5,
)
MOVED = replace(
    ALIKE, corrected_low=0.8, corrected_low_without=0.96, named=4, named_class_changes=3,
    p_matched=0.001,
)  # fmt: skip
OTHERS = replace(MOVED, named=30, named_class_changes=25, class_changes=34, corrected_low=0.4)
NOTHING_SHOWN = replace(ALIKE, corrected_low=0.7, corrected_low_without=0.7)


def said(evidence):
    found = decide(evidence, MARGINS)
    return found.verdict, found.reason


def test_populations_shown_alike_are_pooled():
    assert said(ALIKE) == ("pool", "equivalent")


def test_populations_shown_alike_but_for_few_named_terms_are_pooled_with_notes():
    assert said(MOVED) == ("pool_with_notes", "equivalent_without_named")


def test_a_named_term_is_a_note_even_where_all_terms_together_meet_the_margin():
    assert said(replace(MOVED, corrected_low=0.93, named=1)) == (
        "pool_with_notes",
        "equivalent_without_named",
    )


def test_more_named_terms_than_notes_can_carry_keep_populations_apart():
    assert said(OTHERS) == ("keep_apart", "different")


@pytest.mark.parametrize(
    "lacking", [{"p_matched": 0.06}, {"named": 0, "named_class_changes": 0, "p_matched": 0.001}]
)
def test_without_a_difference_shown_beyond_granularity_and_noise_nobody_can_tell(lacking):
    evidence = replace(OTHERS, corrected_low_without=0.4, **lacking)
    assert said(evidence) == ("cannot_tell", "not_shown")


def test_a_difference_that_changes_no_class_keeps_nobody_apart():
    evidence = replace(OTHERS, named_class_changes=0, class_changes=9, corrected_low_without=0.5)
    assert said(evidence) == ("cannot_tell", "not_shown")


def test_what_is_not_shown_is_no_permission():
    # few people: nothing is found, nothing is equivalent, few classes change
    assert said(NOTHING_SHOWN) == ("cannot_tell", "not_shown")
    assert said(replace(NOTHING_SHOWN, class_changes=0, subclass_changes=0)) == (
        "cannot_tell",
        "not_shown",
    )


@pytest.mark.parametrize("reliability", [0.69, -0.12, UNKNOWN])
def test_agreement_of_unreliable_matrices_shows_nothing(reliability):
    for evidence in (ALIKE, MOVED):
        unreliable = replace(evidence, reliability=reliability, p_matched=0.5)
        assert said(unreliable) == ("cannot_tell", "unreliable")


def test_a_difference_that_is_shown_counts_though_a_population_is_unreliable():
    assert said(replace(OTHERS, reliability=0.4)) == ("keep_apart", "different")


def test_unrelated_populations_are_not_pooled():
    assert said(replace(ALIKE, mantel_p=0.2)) == ("cannot_tell", "unrelated")


@pytest.mark.parametrize("p_value", [0.0001, 0.01, 0.05])
def test_how_small_the_p_of_mantel_is_decides_nothing(p_value):
    assert said(replace(ALIKE, mantel_p=p_value)) == said(ALIKE)


def test_more_changes_of_class_than_nearly_all_random_splits_stand_against_pooling():
    changed = replace(ALIKE, class_changes=15)
    assert said(changed) == ("cannot_tell", "not_shown")


def test_changes_within_what_random_splits_change_say_nothing():
    assert said(replace(ALIKE, class_changes=14))[0] == "pool"


def test_changes_of_an_unstable_cut_say_nothing_either_way():
    unstable = replace(
        ALIKE, expected_class_changes=11.0, usual_class_changes=20.0, class_changes=40
    )
    assert said(unstable)[0] == "pool"
    apart = replace(OTHERS, named_class_changes=0, expected_class_changes=11.0)
    assert said(apart)[0] == "cannot_tell"


def test_what_is_unknown_meets_no_criterion():
    nothing = replace(
        ALIKE, reliability=UNKNOWN, corrected_low=UNKNOWN, corrected_low_without=UNKNOWN,
        expected_class_changes=UNKNOWN, usual_class_changes=UNKNOWN, p_matched=UNKNOWN,
    )  # fmt: skip
    found = decide(nothing, MARGINS)
    assert found.verdict == "cannot_tell"
    met = {one.key for one in found.criteria if one.passed}
    assert met == {"related", "no_term_named", "few_terms_named"}


def test_every_criterion_shows_its_value_and_its_margin():
    criteria = {one.key: (one.value, one.margin) for one in decide(MOVED, MARGINS).criteria}
    assert criteria["few_terms_named"] == (0.04, 0.15)
    assert criteria["corrected_r_without"] == (0.96, 0.9)
    assert criteria["stable_cut"] == (0.08, 0.1)
    assert criteria["changing_class"] == (pytest.approx(0.01), 0.05)


def test_holms_adjustment_by_hand():
    assert holm([0.01, 0.04, 0.03]) == pytest.approx([0.03, 0.06, 0.06])


def test_holms_adjustment_of_one_p_is_itself():
    assert holm([0.2]) == [0.2]
