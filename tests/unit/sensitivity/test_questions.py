"""Which questions are put to the committee, and in which order."""

from felloe.sensitivity.questions import open_questions


def published(term, of_class, status="firm", home=1.0):
    return {"term": term, "class": of_class, "status": status, "home_probability": home}


def group(tier, own, parent="", proposed=False, n_terms=2):
    return {
        "chart": "published", "tier": tier, "id": own, "parent": parent, "proposed": proposed,
        "n_terms": n_terms,
    }  # fmt: skip


PUBLISHED = [
    published("ash", "ash"),
    published("beet", "ash", "doubtful", 0.7),
    published("clove", "clove", "doubtful", 0.6),
    published("dill", "clove", "undecided", 0.45),
    published("egg", "ash", "moved", 0.1),
    published("fig", "clove"),
    published("gum", "gum"),
]
EVIDENCE = [
    {"term": row["term"], "class": row["class"], "reason": f"why-{row['term']}"}
    for row in PUBLISHED
]
EVIDENCE[4] = {"term": "egg", "class": "egg", "reason": "weak_class"}
CLASSES = [
    {"class": "ash", "holds": True, "reason": ""},
    {"class": "clove", "holds": True, "reason": ""},
    {"class": "egg", "holds": False, "reason": "few_terms"},
    {"class": "gum", "holds": False, "reason": "low_support"},
]
GROUPS = [
    group("class", "ash"),
    group("class", "gum", proposed=True, n_terms=1),
    group("subclass", "clove", "clove", True),
    group("subclass", "ash", "ash", True),
    {**group("subclass", "fig", "clove", True), "chart": "data_only"},
]
DECIDED = [
    {"term": "egg", "status": "applied", "note": ""},
    {"term": "gone", "status": "void", "note": "term_gone"},
    {"term": "gum", "status": "void", "note": "already_together"},
]
HELD = {"ash": 0.79, "beet": 0.1, "fig": 0.5, "gum": 0.8}


def asked():
    return open_questions(PUBLISHED, EVIDENCE, GROUPS, CLASSES, DECIDED, HELD, 0.8)


def test_the_most_pressing_come_first():
    found = [(row["kind"], row["tier"], row["subject"]) for row in asked()]
    assert found == [
        ("term", "term", "dill"),
        ("term", "term", "clove"),
        ("term", "term", "beet"),
        ("sensitive", "term", "fig"),
        ("sensitive", "term", "ash"),
        ("class", "class", "gum"),
        ("void", "term", "gone"),
        ("void", "term", "gum"),
        ("name", "subclass", "ash"),
        ("name", "subclass", "clove"),
        ("name", "class", "gum"),
    ]
    assert [row["number"] for row in asked()] == list(range(1, 12))


def test_each_says_why_it_is_asked_and_where_it_stands():
    found = {(row["kind"], row["subject"]): (row["class"], row["reason"]) for row in asked()}
    assert found["term", "dill"] == ("clove", "why-dill")
    assert found["sensitive", "ash"] == ("ash", "few_analyses")
    assert found["class", "gum"] == ("gum", "low_support")
    assert found["void", "gone"] == ("", "term_gone")
    assert found["name", "clove"] == ("clove", "proposed")
    assert found["name", "gum"] == ("gum", "proposed;lone_term")


def test_a_decision_that_confirms_where_an_unsettled_term_stands_has_settled_it():
    stays = [{"term": "dill", "status": "void", "note": "already_together"}]
    found = open_questions(PUBLISHED, EVIDENCE, GROUPS, CLASSES, stays, HELD, 0.8)
    assert "dill" not in {row["subject"] for row in found}
    gone = [{"term": "dill", "status": "void", "note": "beside_gone"}]
    found = open_questions(PUBLISHED, EVIDENCE, GROUPS, CLASSES, gone, HELD, 0.8)
    assert [row["kind"] for row in found if row["subject"] == "dill"] == ["term", "void"]


def test_a_weak_class_that_all_its_terms_have_left_is_not_asked_about():
    assert ("class", "egg") not in {(row["kind"], row["subject"]) for row in asked()}


def test_nothing_is_asked_where_all_is_settled():
    assert (
        open_questions(PUBLISHED[:1], EVIDENCE, GROUPS[:1], CLASSES[:1], [], {"ash": 1.0}, 0.8)
        == []
    )
