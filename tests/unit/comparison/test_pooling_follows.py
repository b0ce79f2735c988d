"""Which criteria decided a verdict: as the rule has it, whatever the verdict."""

import pytest
from felloe.comparison import follow_words as follows
from felloe.comparison.verdict import Evidence, Margins, decide

MARGINS = {
    "alpha": 0.05,
    "reliability": 0.7,
    "corrected_r": 0.9,
    "named_terms": 0.15,
    "stable_cut": 0.1,
    "changing_class": 0.05,
}
ALIKE = {
    "mantel_p": 0.001,
    "reliability": 0.9,
    "corrected_low": 0.95,
    "corrected_low_without": 0.95,
    "n_terms": 100,
    "named": 0,
    "class_changes": 3,
    "subclass_changes": 5,
    "expected_class_changes": 2.0,
    "usual_class_changes": 6.0,
    "named_class_changes": 0,
    "p_matched": 0.5,
}
NAMED = {"named": 5, "named_class_changes": 1}


def dossier(**changes):
    found = decide(Evidence(**{**ALIKE, **changes}), Margins(**MARGINS))
    criteria = [vars(one) for one in found.criteria]
    return {"verdict": found.verdict, "criteria": criteria, "compared": True}


def deciding(found):
    return {key for key, role in follows.roles(found).items() if role == follows.DECIDES}


CASES = [
    ({}, "pool"),
    ({"expected_class_changes": 20.0}, "pool"),
    (NAMED, "pool_with_notes"),
    ({**NAMED, "corrected_low_without": 0.5, "p_matched": 0.01}, "keep_apart"),
    ({"reliability": 0.5}, "cannot_tell"),
    ({"corrected_low": 0.8}, "cannot_tell"),
    ({**NAMED, "corrected_low_without": 0.5}, "cannot_tell"),
]


@pytest.mark.parametrize(("changes", "verdict"), CASES)
def test_a_row_that_is_said_not_to_decide_does_not(changes, verdict):
    # the oracle is the rule itself: with such a row's value turned the verdict stays
    found = dossier(**changes)
    assert found["verdict"] == verdict
    aside = {key for key, role in follows.roles(found).items() if role == follows.REPORTED}
    turned = {
        "corrected_r": ("corrected_low", 0.95, 0.5),
        "corrected_r_without": ("corrected_low_without", 0.95, 0.5),
        "no_difference_found": ("p_matched", 0.5, 0.01),
        "related": ("mantel_p", 0.001, 0.5),
        "reliability": ("reliability", 0.9, 0.5),
    }
    for key in aside & set(turned):
        name, *values = turned[key]
        for value in values:
            assert dossier(**{**changes, name: value})["verdict"] == verdict, key


@pytest.mark.parametrize(
    ("changes", "verdict", "turn"),
    [
        ({}, "pool", {"reliability": 0.5}),
        ({}, "pool", {"corrected_low": 0.5}),
        ({}, "pool", {"named": 30}),
        ({}, "pool", {"class_changes": 30}),
        (NAMED, "pool_with_notes", {"corrected_low_without": 0.5}),
        (NAMED, "pool_with_notes", {"named": 30}),
    ],
)
def test_a_row_that_decides_turns_the_verdict(changes, verdict, turn):
    of = {
        "corrected_low": "corrected_r",
        "corrected_low_without": "corrected_r_without",
        "named": "no_term_named" if verdict == "pool" else "few_terms_named",
        "class_changes": "changing_class",
        "reliability": "reliability",
    }
    ((name, _),) = turn.items()
    assert of[name] in deciding(dossier(**changes))
    assert dossier(**{**changes, **turn})["verdict"] != verdict


def test_not_met_without_weight_is_explained_and_not_shown_as_a_failure():
    found = dossier(expected_class_changes=20.0)
    assert found["verdict"] == "pool"
    assert follows.look("stable_cut", found) == "aside"
    assert "speak neither for nor against pooling" in follows.criteria(found)
    assert "all of these are met" in follows.criteria(found)


def test_what_is_not_met_is_named():
    found = dossier(corrected_low=0.8)
    assert follows.look("corrected_r", found) == "fail"
    assert "not met: agree, noise allowed for" in follows.criteria(found)


def test_keeping_apart_is_told_as_a_difference():
    found = dossier(**{**NAMED, "corrected_low_without": 0.5, "p_matched": 0.01})
    assert "a difference was found" in follows.criteria(found)


@pytest.mark.parametrize(("r", "said"), [(0.879, "agree less"), (0.88, "about as well")])
def test_agreement_is_held_against_random_splits(r, said):
    ceiling = {"observed_r": r, "random_split_r": {"5": 0.88}}
    assert said in follows.splits({"compared": True, "noise_ceiling": ceiling})


def test_without_a_comparison_the_blocks_are_told():
    assert "Dark blocks" in follows.splits({"compared": False})


def test_own_charts_that_differ_are_told_by_the_verdict():
    assert "costs nobody" in follows.own_charts({"Makers": 0}, 9, "pool")
    assert "not as another opinion" in follows.own_charts({"Makers": 2}, 9, "pool")
    assert "Ask the populations" in follows.own_charts({"Makers": 2}, 9, "cannot_tell")
