"""What the demo's terms say: definitions, references, and cautions that leave nothing out."""

import re

import pytest
from demo_tables import STUDIES, read, terms_of, terms_of_all


@pytest.mark.parametrize("study", STUDIES)
def test_every_term_has_a_definition_a_reference_and_a_caution(study):
    rows = terms_of(study).values()
    assert all(row["label"] and row["reference"] and row["caution"] for row in rows)
    assert all(8 <= len(row["definition"].split()) <= 25 for row in rows)


def test_what_must_only_be_smelt_is_never_offered_for_tasting():
    rows = terms_of_all()
    smelt = [row for row in rows if row["reference"].startswith("Smell only")]
    assert len(smelt) > 20
    assert not [row["term"] for row in smelt if re.search(r"\b(chew|; taste)\b", row["reference"])]
    warned = [row for row in rows if "smell only" in row["caution"].lower()]
    assert {row["term"] for row in warned} <= {row["term"] for row in smelt}


@pytest.mark.parametrize(
    ("kin", "stems", "warning"),
    [
        (
            "umbellifers",
            "coriander|parsley|chervil|lovage|fennel|dill|caraway|celery|carrot|anise|cumin",
            "umbellifer",
        ),
        (
            "the cabbage family",
            "cabbage|kraut|radish|turnip|mustard|cauliflower|horseradish",
            "mustard",
        ),
        ("gourds", "cucumber|melon|courgette", "allergy related to pollen"),
    ],
)
def test_kin_warn_alike(kin, stems, warning):
    # kinship is botany's (Apiaceae, Brassicaceae, Cucurbitaceae; from memory)
    rows = terms_of_all()
    holding = [row for row in rows if re.search(rf"\b(?:{stems})", row["reference"])]
    assert holding
    silent = [row["term"] for row in holding if warning not in row["caution"]]
    assert not silent, kin


def test_no_caution_says_that_nothing_is_known():
    texts = [row["caution"] for row in terms_of_all()]
    texts += [row["caution"] for row in read("brine-2026/labels.csv")]
    assert not [text for text in texts if re.search(r"none known|nichts bekannt", text, re.I)]
    recorded = [text for text in texts if "None recorded" in text]
    assert recorded
    assert all("None recorded; ask for allergies." in text for text in recorded)


def test_what_causes_asthma_is_said_first():
    struck = terms_of("brine-2026")["struck-match"]
    assert struck["caution"].startswith("Smell only; not for people with asthma.")


@pytest.mark.parametrize("study", STUDIES)
def test_nobody_is_told_to_taste_an_amount_of_an_amount(study):
    amount = r"[\d.]+ m?[gl]\b"
    bad = re.compile(rf"\b[Tt]aste,? {amount} of {amount}")
    assert bad.search("Taste 10 ml of 5 ml soy sauce in 100 ml of water.")
    assert not [row["term"] for row in terms_of(study).values() if bad.search(row["reference"])]


def test_what_has_a_german_definition_has_a_german_caution():
    rows = [row for row in read("brine-2026/labels.csv") if row["definition"]]
    assert len(rows) > 20
    assert not [row["id"] for row in rows if not row["caution"]]


@pytest.mark.parametrize(
    ("ingredient", "allergen"),
    [
        ("mustard", "mustard"),
        ("celery", "celery"),
        ("sesame", "sesame"),
        ("soy", "soy"),
        ("anchovy", "fish"),
        ("shrimp", "crustacean"),
        ("walnut", "nuts"),
        ("hazelnut", "nuts"),
        ("malt", "gluten"),
        ("wheat", "gluten"),
        ("egg", "egg"),
        ("cheese", "milk"),
        ("buttermilk", "milk"),
        ("yoghurt", "milk"),
        ("soured cream", "milk"),
        ("sulphured dried", "sulphites"),
    ],
)
def test_an_allergen_in_a_reference_is_named_in_its_caution(ingredient, allergen):
    # the allergens are those that food law in the European Union has declared
    # (Regulation 1169/2011, Annex II; from memory)
    rows = terms_of_all()
    holding = [row for row in rows if re.search(rf"\b{ingredient}", row["reference"])]
    assert holding
    assert not [row["term"] for row in holding if allergen not in row["caution"].lower()]
