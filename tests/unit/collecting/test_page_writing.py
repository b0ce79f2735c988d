"""The pages as written: the same bytes, nothing taken as markup, words in each language."""

import re
import string

import pytest
import yaml
from asked_example import CONSENT, HOSTILE, NO_CONSENT, TIMED, asked
from felloe.collecting.page import sort_page as module
from felloe.collecting.page.sort_page import HERE, colour_page, sort_page
from felloe.collecting.page.wording import page_languages, page_words
from felloe.report.languages.language_words import known_languages
from page_reader import Reader

PAGES = {"sort": sort_page, "colours": colour_page}
FILES = [*HERE.glob("*.js"), *HERE.glob("*.j2"), *HERE.glob("*.py")]


def written(kind="sort", **how):
    return PAGES[kind](asked(kind=kind, **how))


def data_of(page):
    return Reader(page).data()


@pytest.mark.parametrize("kind", PAGES)
def test_the_same_is_written_twice(kind):
    assert written(kind) == written(kind)


@pytest.mark.parametrize("kind", PAGES)
def test_a_page_forbids_itself_a_network(kind):
    page = written(kind)
    assert "default-src 'none'" in page
    assert "unsafe" not in page.split("<title>")[0]
    assert "http" not in page.split("</style>")[1].replace("http-equiv", "").replace("https", "", 1)
    reader = Reader(page)
    assert not any(name in ("src", "href") for _, found in reader.elements for name in found)


@pytest.mark.parametrize("kind", PAGES)
@pytest.mark.parametrize("language", page_languages())
def test_instruction_and_consent_stand_word_for_word(kind, language):
    text = " ".join(Reader(written(kind, language=language)).text.split())
    for told in (
        'Put together what "belongs together".', "There is <no> right or wrong.",
        "A shared vocabulary.", "It is made of many sorts.",
        CONSENT.stored, CONSENT.withdraw, CONSENT.contact,
    ):  # fmt: skip
        assert told in text


@pytest.mark.parametrize("kind", PAGES)
def test_what_means_harm_is_text(kind):
    page = written(kind, labels=HOSTILE, defined=HOSTILE)
    plain = written(kind, number=len(HOSTILE))
    assert len(Reader(page).elements) == len(Reader(plain).elements)
    assert [card["label"] for card in data_of(page)["cards"]] == list(HOSTILE.values())


def test_minutes_are_counted_only_if_the_consent_says_so():
    assert data_of(written())["minutes"] is False
    assert data_of(written(consent=TIMED))["minutes"] is True
    assert page_words("en")["page.holds_minutes"] in written(consent=TIMED)
    assert page_words("en")["page.holds_minutes"] not in written()


def test_without_a_consent_text_nobody_has_to_agree():
    assert 'id="agree"' in written()
    assert 'id="agree"' not in written(consent=NO_CONSENT)


def test_definitions_are_there_only_where_cards_have_them():
    assert "What word 3 is." in written(defined=["w03"])
    assert "What word" not in written()


def test_the_file_is_called_after_study_person_and_kind():
    assert data_of(written())["file"] == "guild-p07-sort.json"
    assert data_of(written("colours"))["file"] == "guild-p07-colours.json"


# The words


def places(text):
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", page_languages())
@pytest.mark.parametrize("consent", [CONSENT, TIMED], ids=["untimed", "timed"])
def test_who_begins_is_told_what_others_can_learn(language, consent):
    page = written(language=language, consent=consent)
    words = page_words(language)
    start = page[: page.index('id="start"')]
    assert words.fill("page.no_name", participant=asked().identity.participant) in start
    assert words["page.not_secret"] in start
    assert words["page.unique"] in start
    assert (words["page.timed"] in start) == consent.minutes
    assert words["page.unique"] not in written("colours", language=language)


def test_there_are_pages_in_every_language_of_the_products():
    assert page_languages() == known_languages()


@pytest.mark.parametrize("language", page_languages())
def test_a_language_has_the_keys_and_places_of_english(language):
    english, other = page_words("en"), page_words(language)
    assert {key: places(text) for key, text in other.items()} == {
        key: places(text) for key, text in english.items()
    }
    assert all(text and text == text.strip() for text in other.values())
    if language != "en":
        assert sum(other[key] == english[key] for key in english) < 12  # signs and bare places


@pytest.mark.parametrize("language", page_languages())
def test_no_key_of_a_language_stands_twice(language):
    text = (HERE / f"{language}.yaml").read_text(encoding="utf-8")
    keys = len(re.findall(r"^ *\w+:", text, flags=re.MULTILINE))

    def count(block):
        return sum(1 + (count(value) if isinstance(value, dict) else 0) for value in block.values())

    assert keys == count(yaml.safe_load(text))


def test_a_wider_language_stands_in():
    assert page_words("de-AT").language == "de"
    assert page_words("fr").language == "en"


def test_every_text_is_said_somewhere():
    told = "".join(path.read_text(encoding="utf-8") for path in FILES)
    for key in page_words("en"):
        parts = [part for part in key.split(".") if part not in ("one", "many", "script")]
        name = parts[-1].removesuffix("_does")
        assert re.search(rf"\b{re.escape(name)}\b", told), key


def test_every_script_and_style_is_used():
    used = {*module.SHARED, "page.css", "sort.css", "colours.css"}
    text = (HERE / "sort_page.py").read_text(encoding="utf-8")
    for path in [*HERE.glob("*.js"), *HERE.glob("*.css")]:
        assert path.name in used or path.name in text
