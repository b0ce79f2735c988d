"""What follows from the tables on people turns where the numbers do."""

import pytest
from felloe.validation import follow_words as follows

BOTH = {"Makers": 48, "Panel": 22}
POOLED = {"source": "pooled", "weights": "equal"}


def test_the_weight_of_a_small_population_is_told():
    # 48 / 22 = 2.18...
    assert "counts as 2.2 of the largest" in follows.speaks_for(BOTH, POOLED)
    plain = follows.speaks_for(BOTH, {**POOLED, "weights": "plain"})
    assert "69 % of the say" in plain  # 48 / 70
    assert "one population alone" in follows.speaks_for(BOTH, {**POOLED, "source": "panel"})
    assert "nobody else" in follows.speaks_for({"Makers": 48}, POOLED)


@pytest.mark.parametrize(("p", "said"), [(0.05, True), (0.051, False)])
def test_a_difference_in_coarseness_warns_up_to_alpha(p, said):
    assert ("do not sort equally coarsely" in follows.granularity(p, 0.05)) == said


def test_one_population_is_compared_with_none():
    assert "nothing is compared" in follows.granularity(None, 0.05)


def plans(part, everybody):
    values = {"panel": part, "": everybody}
    return [
        {"population": name, "reliability": value, "target": 0.9} for name, value in values.items()
    ]


@pytest.mark.parametrize(
    ("part", "everybody", "said"),
    [
        (0.9, 0.9, "every target is reached"),
        (0.89, 0.9, "Panel alone is less sure"),
        (None, 0.9, "Panel alone is less sure"),
        (0.9, 0.89, "More people would make the chart surer"),
    ],
)
def test_whether_more_people_are_needed(part, everybody, said):
    assert said in follows.reliability(plans(part, everybody), {"panel": "Panel"})


@pytest.mark.parametrize(("last", "said"), [(0.515, "flattened"), (0.525, "still rises")])
def test_a_curve_is_flat_below_the_bound(last, said):
    rows = [{"quantity": "class_agreement", "mean": mean} for mean in (0.2, 0.5, last)]
    assert said in follows.curve(rows)
    assert "too few people" in follows.curve(rows[:1])


def test_what_the_lexicon_lacks_is_counted():
    whole = {"definition": "x", "reference": "y"}
    assert "nothing is left" in follows.lexicon([whole])
    assert "1 of 2 terms have no reference" in follows.lexicon([whole, {**whole, "reference": ""}])


@pytest.mark.parametrize(("n", "said"), [(0, "nothing to look into"), (1, "look at it before")])
def test_findings_are_to_be_looked_at_where_there_are_any(n, said):
    assert said in follows.findings(n)


def test_one_departure_is_not_told_in_the_plural():
    assert "this point was" in follows.departures(1)
    assert "these 2 points was" in follows.departures(2)


def test_long_lists_are_cut():
    assert follows.listed(["a", "b", "c"]) == "a, b and c"
    assert follows.listed(list("abcd"), most=2) == "a, b and 2 more"
