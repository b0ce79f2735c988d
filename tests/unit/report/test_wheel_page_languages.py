"""The words of the wheel's page: in the language of the chart, and each of them used."""

import re

from felloe.report.languages.language_words import Words, interface_words
from felloe.report.screen.wheel_page import wheel_page
from felloe.report.typeface.shaping import typesetter
from page_reader import Reader
from wheel_page_example import PAGE_WORDS, WEAK, moved_beside, written


def test_what_is_not_translated_is_counted_at_the_top(small):
    lacking = [
        {"tier": "term", "id": "t001", "parts": ["label", "definition", "caution"]},
        {"tier": "term", "id": "t002", "parts": ["caution"]},
    ]
    page = written({**small, "language": "de", "untranslated": lacking})
    expected = "in der Sprache der Studie: 1 Name, 1 Definition, 2 Warnhinweise."
    header = page[page.index("<header>") : page.index("</header>")]
    assert expected in header
    assert 'class="untranslated"' not in written(small)


def test_the_cards_are_those_of_the_same_language(small):
    languages = {"": "en", ".de": "de"}
    for tag, language in languages.items():
        chart = {**small, "language": language}
        page = wheel_page(chart, typesetter(), WEAK, languages=languages)
        assert re.findall(r'href="(cards[^"]*)"', page) == [f"cards{tag}.html"]


def test_a_label_stands_in_a_german_sentence_as_a_quotation(chart):
    # `neben` asks for the dative, which a label of the study does not have
    page = written({**chart, "language": "de"})
    moved = moved_beside(chart)
    assert moved
    for _, label in moved:
        assert f"neben „{label}“: " in page


def test_other_languages_are_linked_by_their_own_names(small):
    languages = {"": "en", ".de": "de", ".th": "th"}
    page = wheel_page(small, typesetter(), WEAK, languages=languages)
    links = re.findall(r'<a href="wheel([^"]*)\.html" lang="(\w+)"[^>]*>([^<]*)</a>', page)
    assert links == [(".de", "de", "Deutsch"), (".th", "th", "th")]  # no file of Thai words


def test_the_language_is_the_charts(small, page):
    assert '<html lang="en">' in page
    assert '<html lang="de">' in written({**small, "language": "de"})


def test_sentences_can_be_those_of_another_language(small):
    words = Words("en", "en", {key: f"\u00bf{text}" for key, text in interface_words("en").items()})
    page = wheel_page(small, typesetter(), WEAK, words)
    read = Reader(page)
    at = read.all("label", for_="search")[0][0]
    assert read.content[at] == f"\u00bf{PAGE_WORDS['page.search']}"
    start = "page.script."
    told = {key.removeprefix(start): words[key] for key in words if key.startswith(start)}
    assert told
    assert read.data()["words"] == told
