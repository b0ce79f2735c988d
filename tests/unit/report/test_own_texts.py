"""What stands in the study's own language bears its tag, on the wheel's page and on the cards."""

import re

import pytest
from card_example import LETTERING, chart_with, term
from felloe.report.cards.deck import deck_of
from felloe.report.cards.page import cards_page
from felloe.report.chart import chart_terms
from felloe.report.filling import tagged
from felloe.report.languages.own_texts import own_texts
from felloe.report.languages.translation import translated
from felloe.report.screen.wheel_page import wheel_page
from felloe.report.typeface.shaping import typesetter
from page_reader import Reader
from test_chart import chart_of

LABEL, DEFINITION = "gebrannter Zucker", "Wie Zucker, der dunkel wird."


def row(name, **given):
    """Return a row of labels in German; what is not given is not translated."""
    texts = {"label": "", "definition": "", "reference": "", "caution": "", **given}
    return {"tier": "term", "id": name, "language": "de", **texts}


def spoken(page):
    """Return (language, direction) of each text of a page, by the element nearest to it."""
    reader = Reader(page)
    return {
        text.strip(): (reader.elements[at][1].get("lang"), reader.elements[at][1].get("dir"))
        for at, text in sorted(reader.content.items())
    }


@pytest.fixture(scope="module")
def own(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("own"), n_classes=3, n_terms=12)


@pytest.fixture(scope="module")
def german(own):
    """The chart in German, of which one word has a label and a definition and no more."""
    _, _, first = next(chart_terms(own))
    return translated(own, [row(first["id"], label=LABEL, definition=DEFINITION)], "de")


def test_what_is_not_translated_is_in_the_language_of_the_study(german):
    terms = [term for *_, term in chart_terms(german)]
    known = own_texts(german)
    assert known.of("term", terms[0]["id"]) == known.of("term", terms[0]["id"], "definition") == ""
    assert known.of("term", terms[0]["id"], "reference") == "en"
    assert {known.of("term", term["id"]) for term in terms[1:]} == {"en"}


def test_a_chart_in_the_language_of_the_study_has_nothing_to_tell_apart(own):
    known = own_texts(own)
    assert known.language == ""
    assert {known.of("term", term["id"]) for *_, term in chart_terms(own)} == {""}


def test_texts_of_the_wheels_page_have_their_language(german):
    told = spoken(wheel_page(german, typesetter(), 0.5))
    first, second, *_ = [term for *_, term in chart_terms(german)]
    assert told[LABEL] == told[DEFINITION] == (None, "auto")
    assert told[first["reference"]] == ("en", "auto")
    assert told[second["label"]] == ("en", "auto")
    assert told[german["title"]] == ("en", "auto")
    assert told[german["instruction"]] == ("en", "auto")


def test_the_page_in_the_language_of_the_study_has_no_other_within(own):
    page = wheel_page(own, typesetter(), 0.5)
    assert re.findall(r'lang="([^"]*)"', page) == ["en"]


def test_texts_of_the_cards_have_their_language():
    told_of = {"tier": "term", "id": "a", "parts": ["label", "reference"]}
    terms = [term("a", definition=DEFINITION), term("b", label=LABEL)]
    chart = chart_with(terms, language="de", own_language="en", untranslated=[told_of])
    caution = "Ask about nuts."
    page = cards_page(deck_of(chart, {"cautions": [caution]}), LETTERING)
    told = spoken(page)
    assert told["Term a"] == told["5 g of a."] == ("en", "auto")
    assert told[caution] == told[chart["title"]] == ("en", "auto")
    assert LABEL in told
    assert not {told[LABEL][0], told[DEFINITION][0]} - {None}


def test_a_part_in_another_language_is_marked_and_made_safe():
    assert str(tagged("Frage: <b>?", "<b>", "en")) == (
        'Frage: <span lang="en" dir="auto">&lt;b&gt;</span>?'
    )
    for text in (tagged("x <b>", "<b>", ""), tagged("x <b>", "", "en"), tagged("x <b>", "y", "en")):
        assert type(text) is str  # to be made safe by the template
