"""What the dossier says in words, from codes and numbers."""

import pytest
from comparison_example import LABELS, MARGINS
from felloe.comparison import words
from felloe.comparison.verdict import Evidence, decide


def compared(verdict="keep_apart", reason="different", p_granularity=0.5):
    return {
        "compared": True,
        "verdict": verdict,
        "reason": reason,
        "granularity_difference": {"p_value": p_granularity},
        "terms": {"alpha": 0.05},
        "populations": ["makers", "panel"],
        "n_people": {"makers": 19, "panel": 20},
    }


def criterion(key, value, margin, passed=True):
    return {"key": key, "value": value, "margin": margin, "passed": passed}


def test_a_verdict_names_both_populations_and_its_reason():
    said = words.verdict_sentence(compared(), LABELS)
    assert said.startswith("Makers and Panel: The populations are kept apart. People who sort")


def test_a_verdict_in_a_word_or_two_names_both_populations_and_no_reason():
    assert words.verdict_title(compared("cannot_tell", "unreliable"), LABELS) == (
        "Cannot be told: Makers and Panel"
    )


@pytest.mark.parametrize(
    ("override", "turn"), [("always", "AGAINST the verdict"), ("never", "as the verdict says")]
)
def test_an_override_is_said_in_words(override, turn):
    said = words.override_sentence(compared(), override)
    assert f"comparison.pooling is '{override}'" in said
    assert turn in said


def test_an_override_of_an_open_verdict_is_not_called_one_against_it():
    said = words.override_sentence(compared("cannot_tell", "unreliable"), "always")
    assert "though the verdict leaves it open (cannot_tell)" in said


def test_the_chart_of_one_where_nobody_can_tell_names_its_setting():
    said = words.override_sentence(compared("cannot_tell", "unreliable"), "one")
    assert "comparison.cannot_tell is 'one'" in said


def test_nothing_is_overridden_where_the_verdict_decides():
    assert words.override_sentence(compared(), None) == ""


def test_nothing_is_overridden_where_there_is_one_population():
    record = {"compared": False, "verdict": None, "populations": ["makers"]}
    assert words.override_sentence(record, "always") == ""


def test_an_override_without_a_reason_says_so():
    assert words.reason_sentence(None).startswith("No reason was given")
    assert words.reason_sentence("One chart.") == "The reason given: One chart."


@pytest.mark.parametrize(
    ("verdict", "p", "said"),
    [("cannot_tell", 0.01, True), ("cannot_tell", 0.2, False), ("keep_apart", 0.01, False)],
)
def test_a_difference_in_granularity_is_told_where_it_may_be_why_nobody_can_tell(verdict, p, said):
    assert words.granularity_differs(compared(verdict, "not_shown", p)) is said


@pytest.mark.parametrize("named", [0, 2])
def test_criteria_without_the_named_terms_are_shown_only_where_terms_are_named(named):
    rows = [criterion("no_term_named", named, 0), criterion("corrected_r_without", 0.95, 0.9)]
    assert [row["key"] for row in words.asked(rows)] == [row["key"] for row in rows][: 1 + named]


def test_a_chart_of_the_largest_population_says_that_none_was_named():
    said = words.chart_sentence(
        {"source": "panel", "weights": "plain", "chosen_by": "size", "provisional": False}, LABELS
    )
    assert said.startswith("The chart is that of Panel alone")
    assert "comparison.chart_population names none" in said


@pytest.mark.parametrize(("weights", "who"), [("equal", "population"), ("plain", "participant")])
def test_a_pooled_chart_says_who_weighs_the_same(weights, who):
    chart = {"source": "pooled", "weights": weights, "chosen_by": "verdict", "provisional": False}
    assert f"every {who} weighs the same" in words.chart_sentence(chart, LABELS)


def test_a_provisional_chart_says_so():
    chart = {"source": "pooled", "weights": "plain", "chosen_by": "verdict", "provisional": True}
    assert "provisional" in words.chart_sentence(chart, LABELS)


def test_only_the_corrected_correlation_can_be_met_narrowly():
    criteria = [criterion("corrected_r", 0.915, 0.9), criterion("changing_class", 0.05, 0.05)]
    assert words.narrowly_met(criteria, 0.02) == ["corrected_r"]
    assert words.narrowly_met(criteria, 0.01) == []


def test_an_unknown_value_is_not_near_its_margin():
    assert words.narrowly_met([criterion("corrected_r", None, 0.9, False)], 0.02) == []


def test_a_population_of_the_bound_itself_is_not_few():
    assert words.few_people(compared(), 20) == ["makers"]


def test_the_error_of_a_difference_is_that_of_two_independent_shares():
    # by hand: sqrt(0.25 / 50 + 0.25 / 50) = 0.1
    assert words.error_of_difference(50) == "0.10"


@pytest.mark.parametrize(
    ("ratio", "reading"),
    [
        (3.0, "one way of sorting, not"),
        (2.0, "one way of sorting, agreed"),
        (1.99, "little agreement"),
    ],
)
def test_the_usual_reading_of_the_ratio_of_eigenvalues(ratio, reading):
    assert words.culture_reading(ratio).startswith(reading)


def test_overlap_and_matched_people_are_told_together():
    record = {
        **compared(),
        "granularity_difference": {"overlap": 0.15},
        "label_permutation": {"n_matched": 12},
    }
    said = words.overlap_sentence(record)
    assert "overlaps by 0.15; 12 of 39 people could be matched" in said


@pytest.mark.parametrize(
    ("named", "p_matched", "said"),
    [
        (["ash", "elm"], 0.001, "2 of the terms are placed differently"),
        ([], 0.001, "looks like such a blur"),
        ([], 0.4, "No term is placed differently beyond that"),
    ],
)
def test_a_difference_is_called_a_blur_or_another_structure(named, p_matched, said):
    record = {
        "shape": {"clearer": "panel", "astray": 0.21},
        "terms": {"differing": named, "alpha": 0.05},
        "label_permutation": {"p_matched_holm": p_matched},
    }
    sentence = words.blur_sentence(record, LABELS)
    assert sentence.startswith("Panel are more of one mind: misplacing 21\u202f%")
    assert said in sentence


def test_one_pair_of_populations_needs_no_word_on_several():
    assert words.multiplicity_sentence(1) == ""
    assert "Holm" in words.multiplicity_sentence(3)


def test_every_criterion_of_the_rule_has_its_words():
    evidence = Evidence(
        mantel_p=0.5, reliability=0.5, corrected_low=0.5, corrected_low_without=0.5, n_terms=9,
        named=0, class_changes=1, subclass_changes=1, expected_class_changes=0.0,
        usual_class_changes=0.0, named_class_changes=0, p_matched=0.5,
    )  # fmt: skip
    keys = {one.key for one in decide(evidence, MARGINS).criteria}
    assert keys == set(words.QUESTIONS) == set(words.SHORT_QUESTIONS)


@pytest.mark.parametrize(
    ("says", "because", "said"),
    [
        ("at_least", "above_one", "no upper bound can be given: the estimate lies above 1"),
        ("at_least", "unreliable", "no upper bound can be given: the matrix of at least one"),
        ("no_bound", "unreliable", "neither a value nor a bound can be given"),
        ("nothing", "uncorrectable", "It cannot be corrected for noise: there are too few"),
    ],
)
def test_a_correlation_without_a_value_is_told_by_its_bound(says, because, said):
    assert said in words.bound_sentence({"says": says, "because": because})


def test_a_value_needs_no_such_words():
    assert words.bound_sentence({"says": "value", "because": None}) == ""
