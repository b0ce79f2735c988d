"""What the committee is asked, in words: every kind, its cheapest answers, and what follows."""

from typing import get_args

import pytest
from felloe.tiers import follow_words as follows
from felloe.tiers import question_words as words
from felloe.tiers.decisions import WhyVoid
from felloe.tiers.words import reason

RULE = {"firm_probability": 0.8, "undecided_probability": 0.4}


def place(term, class_, status="firm", home=0.9, rival=""):
    return {
        "term": term,
        "class": class_,
        "subclass": term,
        "class_name": class_.title(),
        "subclass_name": term.title(),
        "home_probability": home,
        "rival_class": rival,
        "rival_probability": 0.1 if rival else 0.0,
        "status": status,
    }


PUBLISHED = [
    place("ash", "trees", "undecided", 0.3, "roots"),
    place("elm", "trees"),
    place("beet", "roots"),
    place("kale", "leaves"),
]


def question(number, kind, subject, reason, tier="term"):
    return {
        "number": number,
        "kind": kind,
        "tier": tier,
        "subject": subject,
        "class": "trees",
        "reason": reason,
    }


QUESTIONS = [
    question(1, "term", "ash", "below_undecided"),
    question(2, "sensitive", "elm", "few_analyses"),
    question(3, "class", "trees", "few_terms", "class"),
    question(4, "void", "elm", "already_together"),
    question(5, "name", "ash", "proposed", "subclass"),
    question(6, "name", "kale", "proposed;lone_term", "subclass"),
]
HELD = [{"term": "ash", "share_of_universes": 0.5}, {"term": "elm", "share_of_universes": 0.75}]


def price(term, class_, subclass, then, tree, rank=1, now=0.3, note=""):
    return {
        "term": term,
        "class": class_,
        "subclass": subclass,
        "home_probability": then,
        "home_probability_now": now,
        "cophenetic_change": tree,
        "rank": rank,
        "note": note,
    }


PRICES = [
    price("ash", "trees", "elm", 0.3, 0.0, rank=1),
    price("ash", "leaves", "kale", 0.1, -0.001, rank=2, note="empties_subclass"),
    price("ash", "roots", "beet", 0.6, -0.02, rank=3),
    price("elm", "roots", "beet", 0.0, -0.03, now=0.9),
    price("elm", "leaves", "kale", 0.0, -0.01, now=0.9),
]


def test_doubtful_and_sensitive_terms_are_asked_about_each_with_its_reason():
    ash, elm = words.terms(QUESTIONS, PUBLISHED, HELD, RULE, 0.8)
    assert ash["reason"] == "home-class probability below 0.4"
    assert elm["reason"] == "fewer than 80 % of the analyses agree"
    assert (ash["status"], elm["status"]) == ("undecided", "firm, sensitive")
    assert elm["share_of_universes"] == 0.75


def test_a_term_without_a_rival_is_said_to_be_spread():
    asked = [question(1, "term", "oak", "ties"), question(2, "term", "ash", "chance")]
    published = [PUBLISHED[0], place("oak", "trees", "doubtful")]
    rule = {**RULE, "chance_similarity": 0.1}
    oak, ash = words.terms(asked, published, HELD, rule, 0.8)
    assert (oak["reason"], ash["reason"]) == (reason("ties", rule), reason("chance", rule))
    assert "spread over several classes" in oak["rival_class"]
    assert oak["rival_probability"] == ""
    assert (ash["rival_class"], ash["rival_probability"]) == ("roots", 0.1)


def test_cheapest_is_what_most_redraws_back_then_what_costs_the_tree_least():
    found = words.alternatives(QUESTIONS, PRICES, PUBLISHED)
    # the cheapest are chosen, among them one place within the class; nearest first, as ranked
    assert [(row["number"], row["place"], row["within"]) for row in found] == [
        (1, "Trees \u203a Elm", True),
        (1, "Leaves \u203a Kale", False),
        (1, "Roots \u203a Beet", False),
        (2, "Leaves \u203a Kale", False),
    ]
    assert found[1]["note"] == "its subclass ends"


def test_whatever_else_is_asked_is_said():
    groups = [{"tier": "subclass", "id": "ash", "name": "Ash wood"}]
    said = words.others(QUESTIONS, {"trees": "Trees"}, groups, {"elm": "Elm"})
    assert said == [
        "Question 3: keep Trees as a class, or dissolve it? It has too few terms to be a class by "
        "itself.",
        "Question 4: keep the decision on Elm, or take it back? It came to nothing: the data put "
        "the two terms in one subclass already.",
        "Names are still proposals, the most central term of each: Ash wood (subclass, question "
        "5).",
        "Groups of one term, which go by that term and need no name: 1 (question 6).",
    ]


@pytest.mark.parametrize("code", [code for code in get_args(WhyVoid) if code])
def test_every_void_decision_can_be_asked_about(code):
    (said,) = words.others([question(1, "void", "elm", code)], {}, [], {})
    assert "came to nothing" in said


def regrouping(kind, change, setting="", note="others_first"):
    row = {"kind": kind, "class": "trees", "other": "roots", "classes": 3, "n_terms": 1}
    return {**row, "setting": setting, "note": note, "silhouette_class_change": change}


def test_regroupings_are_told_with_the_setting_that_makes_them():
    rows = [
        regrouping("merge", 0.0),
        regrouping("split", 0.1, "tiers: {classes: 3}", ""),
        regrouping("number", 0.2, note="same_as_split"),
    ]
    merged, parted = words.regroupings(rows, {"trees": "Trees", "roots": "Roots"})
    assert (merged["what"], parted["what"]) == ("merge Trees with Roots", "split Trees")
    assert merged["setting"] == "none; it would change other classes too"
    assert parted["setting"] == "tiers: {classes: 3}"
    # a change of exactly nothing makes no class more distinct
    assert follows.regroupings([merged, parted]).endswith("come of: split Trees (moves 1 term).")
    assert "None of these" in follows.regroupings([merged])
    assert "No other classes" in follows.regroupings([])


@pytest.mark.parametrize(("change", "terms", "said"), [(0.1, "ash", True), (0.0, "ash", False)])
def test_a_regrouping_that_takes_terms_asked_about_is_named(change, terms, said):
    row = {"what": "split Trees", "setting": "x", "terms": (terms, "oak")}
    found = follows.regrouped(
        [{**row, "silhouette_class_change": change}], [{"term": "ash"}], {"ash": "Ash"}
    )
    assert ("split Trees (takes Ash; setting: x)" in found) == said
    others = [{**row, "terms": ("oak",), "silhouette_class_change": 0.1}]
    assert follows.regrouped(others, [{"term": "ash"}], {}) == ""


@pytest.mark.parametrize(
    ("as_good", "setting", "asked"),
    [([3], "tiers: {classes: 3}", True), ([4], "tiers: {classes: 3}", False), ([3], "", False)],
)
def test_one_class_or_two_is_asked_where_that_number_would_do_as_well(as_good, setting, asked):
    row = {"kind": "merge", "class": "trees", "other": "roots", "setting": setting}
    between = {"term": "ash", "class": "trees", "rival_class": "roots"}
    elsewhere = {"term": "elm", "class": "trees", "rival_class": "leaves"}
    names, labels = {"trees": "Trees", "roots": "Roots"}, {"ash": "Ash", "elm": "Elm"}
    said = follows.one_or_two([row], as_good, 4, [between, elsewhere], labels, names)
    assert len(said) == asked
    for text in said:
        assert text.startswith("Trees and Roots: one class or two?")
        assert "settle Ash:" in text
        assert text.endswith("the setting tiers: {classes: 3}.")
    assert follows.one_or_two([{**row, "kind": "split"}], as_good, 4, [], {}, {}) == []


def test_what_happens_if_nothing_is_decided():
    asked = words.terms(QUESTIONS, PUBLISHED, HELD, RULE, 0.8)
    assert follows.asked(asked).startswith(
        "If you decide nothing, 1 term stands on the chart marked as not settled and 1 term stands "
        "unmarked"
    )


def test_a_move_is_backed_by_more_redraws_than_the_place_where_the_term_stands():
    better = {**price("ash", "roots", "beet", 0.31, 0.0), "within": False}
    equal = {**price("ash", "roots", "beet", 0.3, 0.0), "within": False}
    assert "present place of Ash" in follows.favoured([better], {"ash": "Ash"})
    assert "No move to another class is backed" in follows.favoured([equal], {})


@pytest.mark.parametrize(
    ("tree", "ring", "said"), [(0.0001, 0, True), (0, -0.0001, True), (0, 0.0001, False)]
)
def test_a_move_within_the_class_that_fits_better_is_named(tree, ring, said):
    row = {**price("ash", "trees", "elm", 0.3, tree), "ring_change": ring}
    found = follows.favoured([{**row, "within": True, "place": "Trees > Elm"}], {"ash": "Ash"})
    assert ("Ash to Trees > Elm" in found) == said
    assert "leaves the term's redraws" in found


def decision(status, after=0.6):
    return {"term": "ash", "status": status, "home_probability_after": after}


def test_decisions_that_count_are_counted():
    assert follows.decisions([decision("applied")]).startswith("It stands")
    assert follows.decisions([decision("applied"), decision("void")]).startswith("1 of 2 counts")


@pytest.mark.parametrize(("after", "said"), [(0.39, "Against the sorts stands: Ash"), (0.4, "No ")])
def test_a_decision_against_the_sorts_is_named(after, said):
    held = [{"term": "ash", "share_of_universes": 0.25, "n_universes": 12}]
    assert follows.prices([decision("applied", after)], {"ash": "Ash"}, 0.4, held).startswith(said)
    assert follows.prices([decision("void", 0.0)], {}, 0.4, held).startswith("No ")


def test_what_backs_a_decision_against_the_sorts_is_told():
    held = [{"term": "ash", "share_of_universes": 0.25, "n_universes": 12}]
    said = follows.prices([decision("applied", 0.1)], {"ash": "Ash"}, 0.4, held)
    assert "Ash (10\u202f% of redraws and 3 of 12 analyses put it there too)" in said
    alone = follows.prices([decision("applied", 0.1)], {"ash": "Ash"}, 0.4, [])
    assert "Ash (10\u202f% of redraws put it there too)" in alone


def test_populations_that_pull_apart_are_counted():
    apart = {"term": "ash", "populations_agree": False}
    assert follows.undecided([apart], ["ash"]).endswith("a choice of whom the chart is for.")
    # the test on pooling names no such term: the two sections must not contradict each other
    assert "For 1 of these" in follows.undecided([apart], ["elm"])
    assert "no difference there beyond" in follows.undecided([apart], ["elm"])
    assert "lean the same way" in follows.undecided([{**apart, "populations_agree": True}], [])
