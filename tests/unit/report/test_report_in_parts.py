"""What the report says of a study whose people were shown a part of the terms each."""

import re

import pytest
from felloe.report.telling.glossary_words import IN_PARTS
from report_example import copied, sorted_in_parts, told, words_of


@pytest.fixture(scope="module")
def whole(small_results, tmp_path_factory):
    return told(copied(small_results, tmp_path_factory.mktemp("whole")))


@pytest.fixture(scope="module")
def parts(small_results, tmp_path_factory):
    folder = copied(small_results, tmp_path_factory.mktemp("parts"))
    return told(sorted_in_parts(folder))


def summary(text):
    return words_of(re.search(r'id="summary">(.*?)</header>', text, re.DOTALL)[1])


def passed_on(text):
    return words_of(re.search(r"What may be passed on\?</th>(.*?)</tr>", text)[1])


def test_the_summary_sends_to_no_command_that_refuses_the_study(whole, parts):
    assert "run share guild" in summary(whole)
    assert "run share" not in summary(parts)
    assert "pass on the drawn wheel and the cards" in summary(parts)
    assert "Whole sorts can follow from the counts" not in summary(whole)


def test_an_auditor_is_told_that_an_archive_without_people_may_give_sorts_away(whole, parts):
    assert "may give whole sorts away" in passed_on(parts)
    assert "may give whole sorts away" not in passed_on(whole)


@pytest.mark.parametrize("word", IN_PARTS, ids=lambda word: word.name)
def test_words_of_sorts_in_parts_stand_in_its_list_alone(whole, parts, word):
    assert f'<dt id="{word.anchor}">' in parts
    assert f'<dt id="{word.anchor}">' not in whole
    assert f'href="#{word.anchor}"' not in whole


@pytest.mark.parametrize(("name", "said"), [("shown", "shown"), ("observer", "observer")])
def test_words_of_sorts_in_parts_lead_to_the_list_where_they_first_stand(parts, name, said):
    (word,) = (one for one in IN_PARTS if one.name == name)
    link = f'<a class="word" href="#{word.anchor}">{said}</a>'
    assert link in parts
    assert not word.short or f"{link}</dfn> ({word.short})" in parts
