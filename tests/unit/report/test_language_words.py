"""The words of each language: the same keys, the same places, found by the tag."""

import re
import string

import pytest
import yaml
from felloe.comparison.provisional_words import MARK, marked
from felloe.ground.files.numbers import NARROW
from felloe.provenance import files_of
from felloe.report.languages import language_words
from felloe.report.languages.language_words import (
    FOLDER,
    interface_words,
    known_languages,
    texts_of,
)
from felloe.report.mark_words import MARKS

GROUPS = set(
    "numbers marks sorted sheet page cards status language vocabulary ballot kit members".split()
)


def places(text):
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def test_english_and_german_are_there():
    assert {"en", "de"} <= set(known_languages())


@pytest.mark.parametrize("language", known_languages())
def test_a_language_has_the_keys_and_places_of_english(language):
    english, other = texts_of("en"), texts_of(language)
    assert set(other) == set(english)
    assert {key: places(text) for key, text in other.items()} == {
        key: places(text) for key, text in english.items()
    }


@pytest.mark.parametrize("language", known_languages())
def test_every_text_is_one_and_has_no_blanks_at_its_ends(language):
    assert [
        key for key, text in texts_of(language).items() if not text or text != text.strip()
    ] == []


@pytest.mark.parametrize("language", known_languages())
def test_every_value_is_quoted_text(language):
    # `no`, `on` and `1.5` without quotes would be no text to a reader of YAML
    def leaves(block):
        for value in block.values():
            yield from leaves(value) if isinstance(value, dict) else [value]

    content = yaml.safe_load((FOLDER / f"{language}.yaml").read_text(encoding="utf-8"))
    assert [value for value in leaves(content) if not isinstance(value, str)] == []
    assert set(content) == GROUPS


def test_no_key_stands_twice():
    for language in known_languages():
        text = (FOLDER / f"{language}.yaml").read_text(encoding="utf-8")
        group, seen = (), set()
        for indent, key in re.findall(r"^( *)(\w+):", text, flags=re.MULTILINE):
            group = (*group[: len(indent) // 2], key)
            assert group not in seen, f"{language}: {group}"
            seen.add(group)


def test_german_is_german():
    # letters that English has not, and no text left over but names and bare places
    english, german = texts_of("en"), texts_of("de")
    same = {key for key, text in german.items() if text == english[key] and len(text) > 3}
    names = {"Status", "Name", "Definition", "Status: {status}"}
    words = {re.sub(r"\{\w+\}|[^\w ]", "", german[key]).strip() for key in same}
    assert words <= {re.sub(r"\{\w+\}|[^\w ]", "", name).strip() for name in names} | {""}
    assert sum(bool(set("äöüßÄÖÜ") & set(text)) for text in german.values()) > 40


def test_counted_words_stand_in_no_dative():
    # "mit 93 Wörter" would be wrong: words are counted in the nominative
    pattern = re.compile(r"\b(?:aus|bei|mit|nach|von|zu)\b[^:.]*\{(?:terms|words)\}")
    assert [key for key, text in texts_of("de").items() if pattern.search(text)] == []


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("de", "de"),
        ("de-AT", "de"),
        ("de-Latn-CH", "de"),
        ("en-GB", "en"),
        ("fr", "en"),
        ("zh-Hant", "en"),
    ],
)
def test_words_are_those_of_the_tag_then_of_its_language_then_english(asked, found):
    words = interface_words(asked)
    assert (words.language, words.asked) == (found, asked)
    assert dict(words) == texts_of(found)


def test_a_file_of_the_very_tag_goes_before_the_language(tmp_path, monkeypatch):
    for tag in ("en", "de", "de-AT"):
        (tmp_path / f"{tag}.yaml").write_text(f'page: {{name: "{tag}"}}\n', encoding="utf-8")
    monkeypatch.setattr(language_words, "FOLDER", tmp_path)
    texts_of.cache_clear()
    try:
        found = [
            interface_words(tag)["page.name"] for tag in ("de-AT", "de-CH", "de-AT-1996", "fr")
        ]
    finally:
        texts_of.cache_clear()
    assert found == ["de-AT", "de", "de-AT", "en"]


@pytest.mark.parametrize(("asked", "told"), [("de-AT", False), ("en", False), ("fr", True)])
def test_a_language_without_words_is_told_in_one_line(asked, told):
    notice = interface_words(asked).notice
    assert bool(notice) == told
    assert "\n" not in notice
    assert not told or "fr.yaml" in notice


def test_places_are_filled_and_a_missing_value_is_an_error():
    words = interface_words("de")
    assert words.fill("sheet.edition", edition="2031") == "Ausgabe 2031."
    with pytest.raises(KeyError):
        words.fill("sheet.edition")


@pytest.mark.parametrize(
    ("language", "number", "text"),
    [("en", 1, "1 word"), ("en", 2, "2 words"), ("de", 0, "0 Wörter"), ("de", 1, "1 Wort")],
)
def test_things_are_counted(language, number, text):
    assert interface_words(language).counted("page.count.term", number) == text


def test_numbers_have_the_sign_of_the_language():
    english, german = interface_words("en"), interface_words("de")
    assert english.number(0.75, "decimal2") == "0.75"
    assert german.number(0.75, "decimal2") == "0,75"
    assert german.number(0.004, "percent") == f"0,4{NARROW}%"
    assert german.number(1234, "count") == f"1{NARROW}234"


def test_a_group_of_words_is_found_by_its_name():
    marks = interface_words("en").group("marks")
    assert {"provisional", "preview"} <= set(marks)
    assert marks["preview"] == interface_words("en")["marks.preview"]


def test_marks_are_told_alike_wherever_they_stand():
    marks = interface_words("en").group("marks")
    assert {code: marks[code] for code in MARKS} == MARKS
    assert marks["provisional_short"] == MARK
    marked_alike = interface_words("en").fill("marks.title", title="A", mark=MARK)
    assert marked_alike == marked("A", True)
    for language in known_languages():
        told = interface_words(language).group("marks")
        assert set(told) == {"title", *MARKS, *(f"{code}_short" for code in MARKS)}
        for code in MARKS:
            assert told[code].lower().startswith(f"{told[f'{code}_short']}: ".lower())


def test_an_edited_word_reruns_who_prints_it():
    files = set(FOLDER.glob("*.yaml"))
    assert files <= set(files_of("write_hand_off"))
    assert not files & set(files_of("assemble_chart"))
