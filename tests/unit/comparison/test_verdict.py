"""The rule, branch by branch."""

from dataclasses import replace

import pytest
from felloe.comparison.verdict import Evidence, Margins, decide, holm

MARGINS = Margins(
    corrected_r=0.9, changing_class=0.05, changing_noted=0.15, alpha=0.05, overlap=0.2
)
ALIKE = Evidence(
    mantel_p=0.0001,
    corrected_low=0.95,
    class_changes=12,
    subclass_changes=20,
    expected_class_changes=11.0,
    differing_class_changes=0,
    n_terms=100,
    p_adjusted=0.5,
    p_unrestricted=0.4,
    overlap=0.8,
)
NOT_ALIKE = replace(ALIKE, corrected_low=0.7)


def said(evidence):
    found = decide(evidence, MARGINS)
    return found.verdict, found.reason


def test_populations_within_both_margins_are_pooled():
    assert said(ALIKE) == ("pool", "equivalent")


def test_populations_within_both_margins_are_pooled_though_a_large_sample_finds_a_difference():
    assert said(replace(ALIKE, p_adjusted=0.001)) == ("pool", "equivalent")


def test_populations_whose_charts_are_the_same_are_pooled():
    assert said(replace(NOT_ALIKE, class_changes=0, subclass_changes=0, p_adjusted=0.001)) == (
        "pool",
        "no_consequence",
    )


def test_one_changed_subclass_is_a_consequence():
    evidence = replace(NOT_ALIKE, class_changes=0, subclass_changes=1)
    assert said(evidence) == ("pool_with_notes", "few_changes")


def test_a_found_difference_with_more_changes_than_chance_keeps_populations_apart():
    assert said(replace(NOT_ALIKE, p_adjusted=0.05)) == ("keep_apart", "different")


def test_a_differing_term_that_changes_class_keeps_populations_apart():
    evidence = replace(NOT_ALIKE, p_adjusted=0.01, class_changes=9, differing_class_changes=1)
    assert said(evidence) == ("keep_apart", "different")


def test_a_found_difference_that_changes_no_class_beyond_noise_is_noted():
    evidence = replace(NOT_ALIKE, p_adjusted=0.01, class_changes=11)
    assert said(evidence) == ("pool_with_notes", "few_changes")


def test_few_changes_without_a_found_difference_are_noted():
    assert said(replace(NOT_ALIKE, class_changes=26)) == ("pool_with_notes", "few_changes")


def test_many_changes_are_no_ground_for_pooling_though_no_difference_is_found():
    assert said(replace(NOT_ALIKE, class_changes=27)) == ("keep_apart", "not_shown")


def test_many_changes_between_matrices_that_agree_are_noted():
    assert said(replace(ALIKE, class_changes=40)) == ("pool_with_notes", "unstable_cut")


def test_unrelated_populations_are_kept_apart_whatever_else():
    assert said(replace(ALIKE, mantel_p=0.2)) == ("keep_apart", "unrelated")


@pytest.mark.parametrize("p_value", [0.0001, 0.01, 0.05])
def test_how_small_the_p_of_mantel_is_decides_nothing(p_value):
    assert said(replace(NOT_ALIKE, mantel_p=p_value)) == said(NOT_ALIKE)


def test_without_overlap_of_granularity_the_unrestricted_test_counts():
    evidence = replace(NOT_ALIKE, overlap=0.1, p_unrestricted=0.01)
    assert said(evidence) == ("keep_apart", "different")
    assert said(replace(evidence, overlap=0.2)) == ("pool_with_notes", "few_changes")


def test_what_is_unknown_meets_no_criterion():
    unknown = float("nan")
    evidence = replace(
        ALIKE, corrected_low=unknown, p_adjusted=unknown, p_unrestricted=unknown, overlap=unknown
    )
    met = {one.key: one.passed for one in decide(evidence, MARGINS).criteria}
    assert not met["corrected_r"]
    assert not met["overlap"]
    assert not met["no_difference_found"]


def test_every_criterion_shows_its_value_and_its_margin():
    shown = {one.key: (one.value, one.margin) for one in decide(ALIKE, MARGINS).criteria}
    assert shown["corrected_r"] == (0.95, 0.9)
    assert shown["changing_class"] == (pytest.approx(0.01), 0.05)
    assert shown["no_change"] == (32, 0)


def test_holms_adjustment_by_hand():
    # Holm (1979): the smallest times 3, the next times 2, never falling
    assert holm([0.01, 0.04, 0.03]) == pytest.approx([0.03, 0.06, 0.06], abs=1e-15)


def test_holms_adjustment_of_one_p_is_itself():
    assert holm([0.2]) == [0.2]
