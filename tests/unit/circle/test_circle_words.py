"""What is said of map and ring: every code has its words, and bounds come from the records."""

import pytest
from felloe.circle import figure_words, words
from felloe.circle.record import warnings_of

MAP = {
    "type_asked": "ordinal",
    "type": "metric",
    "ties": None,
    "degenerate": False,
    "null": {"replicates": 19, "reached": 0},
    "restart_agreement": {"replicates": True, "median": 0.25},
    "saturated_share": 0.2,
}


def warned(**changed):
    record = {**MAP, **changed}
    return words.warnings({**record, "warnings": warnings_of(record)})


def test_a_good_map_carries_no_warning():
    assert warned() == []


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"degenerate": True}, "The ordinal map is degenerate"),
        ({"restart_agreement": {"replicates": False, "median": 0.25}}, "agreement 0.25"),
        ({"null": {"replicates": 19, "reached": 1}}, "no better than maps of sorts without"),
        ({"saturated_share": 0.625}, "62 % of the pairs were put together by nobody"),
    ],
)
def test_what_is_wrong_with_a_map_is_said(changed, said):
    (sentence,) = warned(**changed)
    assert said in sentence


@pytest.mark.parametrize(("found", "said"), [(True, "at most 0.1"), (False, "above 0.1")])
def test_the_finding_names_the_bound_of_the_settings(found, said):
    sentence = words.finding({"found": found, "agree_up_to_p": 0.1})
    assert ("agree more than by chance" in sentence) == found
    assert said in sentence


def test_an_agreement_with_a_map_that_does_not_replicate_is_not_to_be_quoted():
    agreement = {"found": True, "agree_up_to_p": 0.05, "fisher_lee": 0.5, "p": 0.01}
    said = figure_words.agreement_beside({**agreement, "map_angles_replicate": False})
    assert "0.50" in said
    assert said.endswith("Not to be quoted: the map's directions do not replicate.")


@pytest.mark.parametrize(("below", "said"), [(0.5, "fewer than half"), (0.4, "fewer than 40 %")])
def test_the_bound_of_weak_neighbours_is_said(below, said):
    assert said in figure_words.bars_and_lines(below, 0.25)


def test_only_neighbours_below_the_bound_are_weak():
    names = ("class", "other_class", "support", "neighbours")
    rows = [("a", "b", 0.4, True), ("b", "c", 0.39, True), ("a", "c", 0.1, False)]
    found = words.weak_neighbours([dict(zip(names, row, strict=True)) for row in rows], 0.4)
    assert [(row["class"], row["other_class"]) for row in found] == [("b", "c")]
